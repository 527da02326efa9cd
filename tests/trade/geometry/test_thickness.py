"""Is the sheet thick enough: against the table of sheets and points."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platebook.trade.geometry.thickness import (
    SheetAnswer,
    customary_gauge,
    judge_sheet,
    layers_needed,
    ring_bore_mm,
    thinnest_gauge,
    ways_out,
)
from platebook.trade.lengths import gauge_mm
from platebook.trade.records import Sheet, Stone
from platebook.trade.rules import RuleBook
from platebook.trade.stones import Profile, profile

TABLE = Path(__file__).parents[2] / "reference" / "sheet-and-culet.csv"


def rows() -> list[dict[str, str]]:
    """Derived arithmetic: table flush, crown 16.2 %, girdle 3 %, margin 0.20 mm."""
    with TABLE.open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def stone_of(row: dict[str, str]) -> Profile:
    """The stone of one row."""
    stone = Stone(
        diameter_mm=float(row["stone_mm"]), depth_mm=float(row["total_depth_mm"]), girdle="medium"
    )
    return profile(stone)


@pytest.mark.parametrize("row", rows(), ids=lambda row: f"{row['stone_mm']} at {row['depth_pct']}")
def test_sheet_and_culet_table(row: dict[str, str]) -> None:
    """Every column of the table to 0.001 mm."""
    stone = stone_of(row)
    gauge = customary_gauge(stone.diameter_mm)
    answer = judge_sheet(stone, Sheet(sheet_mm=gauge_mm(gauge)))
    assert gauge == answer.customary_gauge == int(row["customary_gauge"])
    stands_out = float(row["culet_stands_out_mm"])
    assert answer.culet_clearance_mm == pytest.approx(-stands_out, abs=0.001)
    assert answer.ledge_mm == pytest.approx(float(row["ledge_under_girdle_mm"]), abs=0.001)
    assert answer.enclosing_mm == pytest.approx(float(row["enclosing_thickness_mm"]), abs=0.001)
    assert thinnest_gauge(answer.enclosing_mm) == int(row["single_gauge"])
    assert layers_needed(answer.enclosing_mm, 18) == int(row["layers_of_18_ga"])
    assert layers_needed(answer.enclosing_mm, 20) == int(row["layers_of_20_ga"])


def judged(diameter_mm: float, thickness_mm: float) -> SheetAnswer:
    """The answer for a stone whose depth is 60 %."""
    stone = Stone(diameter_mm=diameter_mm, depth_mm=0.6 * diameter_mm)
    return judge_sheet(profile(stone), Sheet(sheet_mm=thickness_mm))


@pytest.mark.parametrize(
    ("thickness_mm", "holds", "encloses", "culet_out"),
    [(0.5, False, False, True), (0.812, True, False, True), (1.3, True, False, False)],
)
def test_the_two_questions_are_answered_apart(
    thickness_mm: float, *, holds: bool, encloses: bool, culet_out: bool
) -> None:
    """A 2 mm stone: too thin; holds with the point out; holds with the point nearly out."""
    answer = judged(2.0, thickness_mm)
    assert (answer.holds, answer.encloses, answer.culet_out) == (holds, encloses, culet_out)


def test_thick_enough_needs_no_way_out() -> None:
    """With the margin under the point there is nothing to add; exactly the margin is enough."""
    answer = judged(2.0, 1.4)
    assert answer.encloses
    assert answer.ways_out == ()
    assert answer.sentences[1] == (
        "Will the point stand out? No: 0.20 mm of room under it, 0.20 wanted."
    )


def test_too_thin_is_never_cut_off_at_zero() -> None:
    """A 3 mm stone in 0.4 mm sheet: its girdle would lie 0.176 mm below the back."""
    answer = judged(3.0, 0.4)
    assert answer.ledge_mm == pytest.approx(0.4 - 0.192 * 3.0, abs=0.0005)
    assert answer.sentences[0].startswith("Will it hold? No: the girdle would lie 0.18 mm below")


def test_ring_behind() -> None:
    """A 2 mm stone 1.2 deep in 0.8 sheet: 0.6 to add; pavilion 2·0.4/0.816 wide there + 0.1."""
    stone = profile(Stone(diameter_mm=2.0, depth_mm=1.2))
    ring = next(w for w in ways_out(stone, Sheet(sheet_mm=0.8)) if w.way == "ring behind")
    assert ring.height_mm == pytest.approx(0.6)
    assert ring.bore_mm == pytest.approx(2.0 * 0.4 / 0.816 + 0.1, abs=0.0005)


def test_layers_add_up() -> None:
    """Two layers of 0.812 are 1.624 mm, enough for a 2 mm stone 1.2 deep."""
    sheet = Sheet(sheet_mm=0.812, layers=2)
    answer = judge_sheet(profile(Stone(diameter_mm=2.0, depth_mm=1.2)), sheet)
    assert answer.thickness_mm == sheet.thickness_mm == 1.624
    assert answer.encloses


def test_a_ring_below_the_point_needs_no_bore() -> None:
    """With the point inside the sheet already, any ring clears it."""
    assert ring_bore_mm(profile(Stone(diameter_mm=2.0, depth_mm=1.2)), 1.25) == 0


def test_foil_gets_no_ring() -> None:
    """In 0.3 mm sheet the whole girdle would stand in the ring: a narrower one cannot clear it."""
    ways = [w.way for w in judged(2.0, 0.3).ways_out]
    assert "raised" in ways
    assert "ring behind" not in ways


def test_a_point_just_inside_takes_any_ring() -> None:
    """With the point inside but no margin a ring needs a height and no bore."""
    ring = next(w for w in judged(2.0, 1.3).ways_out if w.way == "ring behind")
    assert ring.sentence == "A ring 0.10 mm high soldered behind."


def test_thick_sheet_has_nothing_to_add() -> None:
    """Asked all the same, the ways out of sheet that is thick enough add no ring and no disc."""
    stone = profile(Stone(diameter_mm=2.0, depth_mm=1.2))
    ways = {w.way for w in ways_out(stone, Sheet(sheet_mm=2.0))}
    assert ways == {"single sheet", "layers"}


def test_beyond_the_thickest_gauge_only_layers_and_rings_remain() -> None:
    """A 10 mm stone 6.3 deep asks for 6.5 mm, 2 ga; deeper than 0 ga there is no single sheet."""
    deep = profile(Stone(diameter_mm=10.0, depth_mm=8.1))
    assert [w.way for w in ways_out(deep, Sheet(sheet_mm=1.0))] == [
        "layers",
        "layers",
        "raised",
    ]


def test_another_custom_for_the_sheet() -> None:
    """Common practice: another custom is the stone's depth plus 0.2 mm."""
    book = RuleBook(chosen=("sheet-depth-plus-0.2",))
    stone = profile(Stone(diameter_mm=2.0, depth_mm=1.2))
    assert judge_sheet(stone, Sheet(sheet_mm=0.8), book).customary_gauge == 15


@given(st.floats(0.7, 10), st.floats(0.35, 1), st.floats(0.1, 6), st.integers(1, 9))
def test_every_way_out_is_one(
    diameter_mm: float, ratio: float, sheet_mm: float, layers: int
) -> None:
    """Whatever is offered reaches the enclosing thickness; nothing is offered past it."""
    stone = profile(Stone(diameter_mm=diameter_mm, depth_mm=ratio * diameter_mm))
    answer = judge_sheet(stone, Sheet(sheet_mm=sheet_mm, layers=layers))
    assert bool(answer.ways_out) != answer.encloses
    for way in answer.ways_out:
        assert way.thickness_mm >= answer.enclosing_mm - 0.001
