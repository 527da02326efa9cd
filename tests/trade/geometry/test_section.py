"""The polygons and dimension lines of a section."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platebook.trade import Sheet, Stone, size
from platebook.trade.geometry.burs import bur_at
from platebook.trade.geometry.resting import Hole
from platebook.trade.geometry.section import Point, Section, hole_of, section, section_of
from platebook.trade.stones import profile


def area(points: tuple[Point, ...]) -> float:
    """The shoelace formula."""
    closed = pairwise((*points, points[0]))
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in closed)) / 2


def drawn(thickness_mm: float = 0.812, seat_mm: float = 1.96, belt_mm: float = 0.384) -> Section:
    """A 2 mm stone, 60 % deep, in a setting bur's seat."""
    gem = profile(Stone(diameter_mm=2.0, depth_mm=1.2))
    return section(gem, Hole(thickness_mm, 0.66, bur_at("setting", seat_mm, belt_mm)))


def test_a_set_up_sheet_is_drawn_with_its_table_level() -> None:
    """The dimension lines carry the set-up sheet's own sizes."""
    sizes = size(Stone(diameter_mm=1.98, depth_mm=1.2), Sheet(sheet_mm=0.812))
    found = section_of(sizes)
    mm = {line.name: line.mm for line in found.dimensions}
    assert mm["stone"] == 1.98
    assert mm["sheet"] == 0.812
    assert mm["seat depth"] == pytest.approx(sizes.seat.depth_mm, abs=0.002)
    assert mm["ledge"] == pytest.approx(sizes.sheet.ledge_mm, abs=0.002)
    assert mm["culet clearance"] == pytest.approx(sizes.sheet.culet_clearance_mm, abs=0.002)
    assert mm["table height"] == pytest.approx(0, abs=0.001)
    assert found.states == ("point out",)
    assert found.line == (
        "1.98 mm stone in a 1.96 mm seat: 0.02 tight, table level, "
        "0.43 under the girdle, point 0.39 out."
    )


def test_the_stones_outline_has_the_stones_area() -> None:
    """Geometry: two trapezia and a triangle."""
    gem = profile(Stone(diameter_mm=2.0, depth_mm=1.2))
    outline = next(s.points for s in drawn().shapes if s.name == "stone")
    crown = (gem.table_mm + 2.0) / 2 * gem.crown_mm
    assert area(outline) == pytest.approx(crown + 2.0 * gem.girdle_mm + gem.pavilion_mm)


def test_the_sheets_outline_has_the_metals_area() -> None:
    """Geometry: the half sheet less wall, cone and pilot."""
    right = next(s.points for s in drawn(thickness_mm=3.0).shapes if s.name == "sheet right")
    half = 1.0 + 0.35 * 2.0
    wall, cone = 0.98 * 0.384, (0.98 - 0.33) ** 2 / 2 + 0.33 * (0.98 - 0.33)
    pilot = 0.33 * (3.0 - 0.384 - (0.98 - 0.33))
    assert area(right) == pytest.approx(half * 3.0 - wall - cone - pilot)


def test_both_halves_mirror_each_other() -> None:
    """The section turns about its axis."""
    left, right = (s.points for s in drawn().shapes if s.name != "stone")
    assert left == tuple((-x, y) for x, y in right)


@pytest.mark.parametrize(
    ("found", "states"),
    [
        (drawn(thickness_mm=1.5), ()),
        (drawn(), ("point out",)),
        (drawn(thickness_mm=0.6), ("too thin", "point out")),
        (drawn(thickness_mm=1.5, seat_mm=1.85, belt_mm=0.45), ("too tight",)),
        (drawn(thickness_mm=1.5, belt_mm=0.2), ("proud",)),
        (drawn(thickness_mm=1.5, belt_mm=0.5), ("sunk",)),
        (drawn(thickness_mm=0.3), ("too thin", "falls through")),
    ],
)
def test_what_is_out_of_order_is_named(found: Section, states: tuple[str, ...]) -> None:
    """Too thin, too tight, proud, sunk and the point out are words as well as lines."""
    assert found.states == states


def test_the_line_says_what_the_picture_shows() -> None:
    """Gaps, heights and points in numbers, to 0.01 mm."""
    assert drawn(thickness_mm=1.5, seat_mm=2.04, belt_mm=0.264).line == (
        "2.00 mm stone in a 2.04 mm seat: 0.04 free, table 0.10 above, "
        "1.22 under the girdle, point 0.40 inside."
    )
    assert drawn(thickness_mm=0.3).line == "2.00 mm stone in a 1.96 mm seat: it falls through."


@given(
    st.sampled_from(["setting", "hart", "ball", "flame"]),
    st.floats(1.0, 3.5),
    st.floats(0.4, 2.0),
    st.floats(-0.3, 0.8),
)
def test_any_hole_can_be_drawn(
    shape: str, seat_mm: float, thickness_mm: float, belt_mm: float
) -> None:
    """No set of sizes stops the picture; outlines stay between the sheet's faces."""
    gem = profile(Stone(diameter_mm=2.0, depth_mm=1.2))
    found = section(gem, Hole(thickness_mm, 0.66, bur_at(shape, seat_mm, belt_mm)))
    for shape_found in found.shapes[:2]:
        assert all(-1e-9 <= y <= thickness_mm + 1e-9 for _, y in shape_found.points)


def test_a_flame_opening_is_drawn_as_it_cuts() -> None:
    """The hole that is drawn is the hole that was computed."""
    sizes = size(Stone(diameter_mm=2.0), Sheet(sheet_mm=1.5))
    hole = hole_of(sizes)
    assert hole.pilot_mm == sizes.pilot_drill.choose_mm
    assert 2 * hole.seat.radius_mm == pytest.approx(1.96)
    assert hole.seat.belt_mm == sizes.seat.bur_sunk_mm
