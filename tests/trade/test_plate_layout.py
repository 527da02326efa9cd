"""Practice plates: as many numbered positions as fit."""

import math
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platebook.trade.plate_layout import layout_plate
from platebook.trade.validation import TradeError


def test_a_plate_for_2_mm_stones() -> None:
    """50 by 25 mm, 5 mm edges, 6 mm pitch: 7 across and 3 rows (arithmetic), centred."""
    found = layout_plate(50, 25, (2.0,))
    assert (found.across, found.rows, len(found.positions)) == (7, 3, 21)
    first, last = found.positions[0], found.positions[-1]
    assert (first.number, first.x_mm, first.y_mm) == (1, 7.0, 6.5)
    assert (last.number, last.x_mm, last.y_mm) == (21, 43.0, 18.5)
    assert found.sentence == "21 positions, 3 by 7, 6.0 mm apart, 5.0 mm from the edge."


def test_rows_take_the_stones_in_turn() -> None:
    """A mixed plate: a row each, spaced for the largest."""
    found = layout_plate(60, 60, (1.5, 3.0))
    assert found.pitch_mm == 8.0
    assert {p.stone_mm for p in found.positions if p.row % 2 == 0} == {1.5}
    assert {p.stone_mm for p in found.positions if p.row % 2 == 1} == {3.0}


def test_exactly_fitting_metal_takes_its_last_position() -> None:
    """Rounding never loses a position: 2 · 3.3 + 9 · 0.7 is 12.9."""
    assert layout_plate(12.9, 6.6, (0.3,), edge_mm=3.3, pitch_mm=0.7).across == 10


def test_too_small_a_plate_says_how_large() -> None:
    """No position, and the size that one would take."""
    found = layout_plate(9.9, 50, (2.0,))
    assert found.positions == ()
    assert (found.across, found.rows) == (0, 0)
    assert found.sentence == "Nothing fits: one position takes 10.0 mm each way."


def test_one_position() -> None:
    """The smallest plate has its one position in the middle."""
    found = layout_plate(10, 10, (2.0,))
    assert [(p.x_mm, p.y_mm) for p in found.positions] == [(5, 5)]
    assert found.sentence.startswith("1 position, 1 by 1")


@given(st.floats(5, 150), st.floats(5, 150), st.floats(1.0, 4.0))
def test_positions_keep_their_distances(width_mm: float, height_mm: float, stone_mm: float) -> None:
    """No centre is nearer the edge or its neighbour than wanted, and one more row would be."""
    found = layout_plate(width_mm, height_mm, (stone_mm,))
    for p in found.positions:
        room = min(p.x_mm, width_mm - p.x_mm, p.y_mm, height_mm - p.y_mm)
        assert room >= found.edge_mm - 0.002
    for one, other in combinations(found.positions[: found.across + 2], 2):
        apart = math.hypot(one.x_mm - other.x_mm, one.y_mm - other.y_mm)
        assert apart >= found.pitch_mm - 0.003
    assert [p.number for p in found.positions] == list(range(1, len(found.positions) + 1))
    assert 2 * found.edge_mm + found.across * found.pitch_mm > width_mm - 0.01 or not found.rows


@pytest.mark.parametrize(
    ("width_mm", "stones_mm", "edge_mm", "pitch_mm", "field"),
    [
        (0, (2.0,), None, None, "width_mm"),
        (-5, (2.0,), None, None, "width_mm"),
        (5000, (2.0,), None, None, "width_mm"),
        (50, (), None, None, "stones_mm"),
        (50, (2.0, 0.0), None, None, "stones_mm"),
        (50, (2.0,), None, 2.0, "pitch_mm"),
        (50, (2.0,), 1.0, None, "edge_mm"),
    ],
)
def test_impossible_plates_are_refused_by_name(
    width_mm: float,
    stones_mm: tuple[float, ...],
    edge_mm: float | None,
    pitch_mm: float | None,
    field: str,
) -> None:
    """The field, what was read and what is possible."""
    with pytest.raises(TradeError) as refused:
        layout_plate(width_mm, 50, stones_mm, edge_mm=edge_mm, pitch_mm=pitch_mm)
    assert [fault.field for fault in refused.value.faults] == [field]
