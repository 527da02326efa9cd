"""What is written beside a section: dimensions in words, what is out of order, and small gaps."""

from typing import get_args

import pytest

from platebook.reports.drawings.section_marks import (
    STATE_AT,
    Gap,
    alarm,
    gaps_of,
    label,
    middle,
    verdict,
)
from platebook.trade.geometry.section import Dimension, Line, Point, Section, Shape, State
from platebook.values import replace

BACK_MM = 1.5


def a_dimension(name: Line, mm: float) -> Dimension:
    """A dimension of this size whose line is of no matter."""
    return Dimension(name, (0, 0), (0, mm), mm)


def a_section(
    *, seat_mm: float = 2.4, above_mm: float = 0.5, under_mm: float = 0.4, inside_mm: float = 0.3
) -> Section:
    """A 2 mm stone in 1.5 mm sheet, with a seat, table, ledge and point of these sizes."""
    edge, culet = BACK_MM - under_mm, BACK_MM - inside_mm
    rows: tuple[tuple[Line, Point, Point, float], ...] = (
        ("stone", (-1.0, edge), (1.0, edge), 2.0),
        ("seat", (-seat_mm / 2, 0.0), (seat_mm / 2, 0.0), seat_mm),
        ("table height", (0.0, -above_mm), (0.0, 0.0), above_mm),
        ("ledge", (1.0, edge), (1.0, BACK_MM), under_mm),
        ("culet clearance", (0.0, culet), (0.0, BACK_MM), inside_mm),
    )
    stone = ((0.6, -above_mm), (1.0, edge), (0.0, culet), (-1.0, edge), (-0.6, -above_mm))
    metal = ((seat_mm / 2, 0.0), (2.0, 0.0), (2.0, BACK_MM), (0.5, BACK_MM))
    return Section(
        shapes=(Shape(name="sheet right", points=metal), Shape(name="stone", points=stone)),
        dimensions=tuple(Dimension(n, a, b, mm) for n, a, b, mm in rows),
        states=(),
        line="",
    )


@pytest.mark.parametrize(
    ("name", "mm", "expected"),
    [
        ("stone", 1.98, "stone 1.98"),
        ("sheet", 0.812, "sheet 0.812"),
        ("seat", 1.9, "seat 1.90"),
        ("table height", 0.1, "table 0.10 above"),
        ("table height", -0.123, "table 0.12 below"),
        ("table height", 0.0049, "table level"),
        ("table height", -0.0049, "table level"),
        ("culet clearance", 0.2, "point 0.20 inside"),
        ("culet clearance", 0.0, "point 0.00 inside"),
        ("culet clearance", -0.39, "point 0.39 out"),
        ("ledge", 0.35, "under girdle 0.35"),
        ("ledge", -0.05, "girdle out by 0.05"),
        ("seat depth", 0.3, "seat depth 0.30"),
        ("seat depth", -0.02, "girdle 0.02 above"),
    ],
)
def test_a_dimension_is_said_without_a_sign(name: Line, mm: float, expected: str) -> None:
    """A word tells the side that a minus would; lengths have two decimals, or three if needed."""
    assert label(a_dimension(name, mm)) == expected


def test_the_middle_of_a_dimension_is_half_way_down_its_line() -> None:
    """From 0.2 above the metal to 1 below it is 0.4 below."""
    line = Dimension(name="seat depth", start=(1.0, -0.2), end=(1.0, 1.0), mm=1.2)
    assert middle(line) == pytest.approx(0.4)


def test_every_state_is_seen_at_a_dimension_that_there_is() -> None:
    """Nothing can be out of order without a place to say it."""
    assert set(STATE_AT) == set(get_args(State))
    assert set(STATE_AT.values()) <= set(get_args(Line))


def test_what_is_out_of_order_stands_at_its_own_dimension() -> None:
    """In capitals, several in the order given; nothing at a dimension as it should be."""
    states: tuple[State, ...] = ("too thin", "proud", "point out")
    assert alarm(a_dimension("ledge", 0.0), states) == "TOO THIN"
    assert alarm(a_dimension("table height", 0.2), states) == "PROUD"
    assert alarm(a_dimension("seat", 1.9), states) == ""
    assert alarm(a_dimension("table height", 0.2), ("proud", "sunk")) == "PROUD, SUNK"


def test_the_verdict_names_everything_in_one_line() -> None:
    """In the order of the section, which has the worst first."""
    section = a_section()
    assert verdict(section) == "Nothing out of order."
    out = replace(section, states=("too tight", "point out"))
    assert verdict(out) == "Mind: TOO TIGHT. The point stands out at the back."


def test_a_point_that_stands_out_is_said_and_not_shouted() -> None:
    """Where the back may be open it always does: no capitals at its dimension, nor in the line."""
    states: tuple[State, ...] = ("point out",)
    assert alarm(a_dimension("culet clearance", -0.3), states) == ""
    assert label(a_dimension("culet clearance", -0.3)) == "point 0.30 out"
    out = replace(a_section(), states=states)
    assert verdict(out) == "The point stands out at the back."


@pytest.mark.parametrize(
    ("sizes", "words", "mm"),
    [
        ({"seat_mm": 2.04}, "beside the girdle, free", 0.02),
        ({"seat_mm": 1.96}, "beside the girdle, tight", -0.02),
        ({"above_mm": 0.05}, "table proud", 0.05),
        ({"above_mm": -0.05}, "table sunk", -0.05),
        ({"under_mm": 0.03}, "girdle above the back", 0.03),
        ({"under_mm": -0.03}, "girdle below the back", -0.03),
        ({"inside_mm": 0.099}, "point inside", 0.099),
        ({"inside_mm": -0.099}, "point out", -0.099),
    ],
)
def test_a_gap_under_a_tenth_is_small(sizes: dict[str, float], words: str, mm: float) -> None:
    """It is called for its side; beside the girdle it is half of what the seat is wider."""
    (gap,) = gaps_of(a_section(**sizes))
    assert gap.words == words
    assert gap.mm == pytest.approx(mm)


def test_a_tenth_is_not_small_and_next_to_nothing_is_no_gap() -> None:
    """From 0.1 mm on it is seen as it is; up to half a thousandth there is nothing to see."""
    assert gaps_of(a_section(above_mm=0.1, under_mm=-0.1, inside_mm=0.15)) == ()
    assert gaps_of(a_section(seat_mm=2.0, above_mm=0.0005, under_mm=-0.0005)) == ()


@pytest.mark.parametrize("sizes", [{"seat_mm": 2.04}, {"above_mm": 0.05}, {"inside_mm": -0.05}])
def test_a_gap_lies_between_two_points_as_far_apart_as_it_is(sizes: dict[str, float]) -> None:
    """Straight across or straight down, by geometry."""
    (gap,) = gaps_of(a_section(**sizes))
    across, down = (abs(b - a) for a, b in zip(gap.start, gap.end, strict=True))
    assert sorted((across, down)) == [pytest.approx(0.0), pytest.approx(abs(gap.mm))]


def test_a_gap_is_told_with_its_size() -> None:
    """In thousandths of a millimetre, its side in words and not in a sign."""
    gap = Gap("table sunk", (0.0, 0.0), (0.0, 0.02), -0.02)
    assert gap.sentence == "magnified: 0.020 mm table sunk"
