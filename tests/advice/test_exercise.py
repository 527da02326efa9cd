"""Balanced blocks: the plan's balance, its fold and what a drawer allows."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platebook.advice.exercise import BlockPlan, Factor, block_factors, block_plan
from platebook.trade.records import Drawer, Tool

FOUR = (
    Factor(name="seat_bur_mm", low=1.85, high=1.95),
    Factor(name="pilot_mm", low=0.6, high=0.8),
    Factor(name="burnisher_tip_mm", low=0.8, high=1.2),
    Factor(name="burnish_passes", low="1", high="3+"),
)


def _signs(plan: BlockPlan) -> list[tuple[int, ...]]:
    return [tuple(1 if r.levels[f.name] == "high" else -1 for f in plan.factors) for r in plan.runs]


@given(number=st.integers(1, 20), seed=st.integers(0, 10_000))
def test_every_pair_of_choices_is_balanced(number: int, seed: int) -> None:
    """Resolution IV (Box, Hunter & Hunter, chapter 6): columns sum to 0 and are orthogonal."""
    rows = _signs(block_plan(FOUR, number=number, seed=seed))
    for column in range(4):
        assert sum(row[column] for row in rows) == 0
    for one, two in combinations(range(4), 2):
        assert sum(row[one] * row[two] for row in rows) == 0


def test_two_blocks_hold_all_sixteen_combinations_once() -> None:
    """The folded block is the other half: I = ABCD, then I = -ABCD."""
    first, second = _signs(block_plan(FOUR, number=1)), _signs(block_plan(FOUR, number=2))
    assert {a * b * c * d for a, b, c, d in first} == {1}
    assert {a * b * c * d for a, b, c, d in second} == {-1}
    assert len(set(first) | set(second)) == 16


def test_the_order_follows_from_the_seed() -> None:
    """The same seed and number give the same order, another seed another one."""
    assert block_plan(FOUR, seed=7) == block_plan(FOUR, seed=7)
    orders = {tuple(_signs(block_plan(FOUR, seed=seed))) for seed in range(10)}
    assert len(orders) > 5


@pytest.mark.parametrize("count", [1, 2, 3])
def test_fewer_choices_are_repeated_evenly(count: int) -> None:
    """Every combination of fewer choices comes equally often."""
    rows = _signs(block_plan(FOUR[:count]))
    assert len(rows) == 8
    assert {rows.count(row) for row in rows} == {8 // 2**count}


def test_values_are_the_levels_sizes() -> None:
    """Each run names the size or word to use."""
    for run in block_plan(FOUR).runs:
        wanted = 1.95 if run.levels["seat_bur_mm"] == "high" else 1.85
        assert run.values["seat_bur_mm"] == wanted
    assert [run.run for run in block_plan(FOUR).runs] == list(range(1, 9))


def test_a_block_of_nothing_or_of_equal_levels_is_refused() -> None:
    """Nothing to vary is a programming fault."""
    with pytest.raises(ValueError, match="1 to 4"):
        block_plan(())
    with pytest.raises(ValueError, match="pilot_mm"):
        block_plan((Factor(name="pilot_mm", low=0.7, high=0.7),))


def _bur(size_mm: float, shape: str = "setting") -> Tool:
    return Tool(kind="bur", shape=shape, size_mm=size_mm)


def test_a_drawer_gives_the_sizes_within_the_trade_limits() -> None:
    """Burs 0.05 to 0.15 mm under the stone, pilots about a third of it (common practice)."""
    drawer = Drawer(
        tools=(
            *(_bur(size) for size in (1.6, 1.85, 1.9, 1.95, 2.0)),
            _bur(1.87, "ball"),
            *(Tool(kind="twist drill", size_mm=size) for size in (0.4, 0.6, 0.7, 0.8, 1.2)),
            Tool(kind="burnisher", size_mm=1.0),
        )
    )
    found = {f.name: (f.low, f.high) for f in block_factors(drawer, 2.0, bur_shape="setting")}
    assert found == {
        "seat_bur_mm": (1.85, 1.95),
        "pilot_mm": (0.6, 0.8),
        "burnish_passes": ("1", "3+"),
    }


def test_tools_of_the_last_settings_are_varied_where_the_drawer_has_none_of_their_kind() -> None:
    """As Now takes them for at hand; a drawer that holds a bur is asked alone."""
    used = tuple(_bur(size) for size in (1.85, 1.9, 1.95))
    found = block_factors(Drawer(last_used=used), 2.0, bur_shape="setting")
    assert {f.name: (f.low, f.high) for f in found}["seat_bur_mm"] == (1.85, 1.95)
    own = Drawer(tools=(_bur(1.9),), last_used=used)
    assert [f.name for f in block_factors(own, 2.0, bur_shape="setting")] == ["burnish_passes"]


def test_an_empty_drawer_still_varies_the_passes() -> None:
    """The passes need no tool."""
    found = block_factors(Drawer(), 2.0, bur_shape="setting")
    assert [f.name for f in found] == ["burnish_passes"]
    assert len(block_plan(found).runs) == 8
