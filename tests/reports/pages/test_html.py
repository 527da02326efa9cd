"""Templates filled with what people typed, the success curve, and the seat of an attempt drawn."""

import re
from typing import Any
from xml.etree import ElementTree as ET

import pytest
from jinja2 import UndefinedError
from tests.builders import an_attempt

from platebook.analysis.success.tally import CurveStep
from platebook.practice.attempt import Attempt
from platebook.reports.pages.html import (
    MOST_SHARES,
    attempt_section,
    curve_svg,
    fill_template,
    seat_svg,
    seat_width_mm,
)
from platebook.trade.geometry.section import Section, Shape
from platebook.values import replace


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ({"seat_diameter_mm": 1.96, "seat_bur_mm": 1.9}, 1.96),
        ({"seat_go_mm": 1.94, "seat_nogo_mm": 1.98, "seat_bur_mm": 1.9}, 1.96),
        ({"seat_bur_mm": 1.9}, 1.9),
        ({}, None),
    ],
)
def test_a_seat_is_as_wide_as_is_known(values: dict[str, float], expected: float | None) -> None:
    """A reading before pins before the bur."""
    width_mm = seat_width_mm(an_attempt(**{"seat_bur_mm": None} | values))
    assert width_mm == (None if expected is None else pytest.approx(expected))


@pytest.mark.parametrize(
    ("trial", "height"), [("proud", 0.06), ("flush", 0.0), ("just under", -0.04), ("deep", -0.12)]
)
def test_a_seat_is_drawn_as_deep_as_the_trial_stone_showed(trial: str, height: float) -> None:
    """The table of a 2 mm stone in a seat of its own width stands as judged."""
    attempt = an_attempt(
        stone_diameter_mm=2.0, seat_diameter_mm=1.98, sheet_mm=2.0, layers=1, trial_height=trial
    )
    drawn = attempt_section(attempt)
    assert drawn is not None
    stone = next(shape for shape in drawn.shapes if shape.name == "stone")
    assert -min(y for _, y in stone.points) == pytest.approx(height, abs=1e-9)


def test_what_was_not_noted_is_not_drawn() -> None:
    """Without a sheet, a stone or a seat there is no picture; nor for an impossible stone."""
    for missing in ("sheet_mm", "stone_diameter_mm", "seat_bur_mm"):
        assert attempt_section(_whole(**{missing: None})) is None
    assert attempt_section(_whole()) is not None
    assert attempt_section(_whole(stone_depth_mm=0.05)) is None


def _whole(**values: Any) -> Attempt:
    return an_attempt(
        **{"stone_diameter_mm": 2.0, "sheet_mm": 0.8, "seat_bur_mm": 1.9, "layers": 1} | values
    )


@pytest.mark.parametrize("template", ["setter.html.j2", "class.html.j2"])
def test_a_value_that_is_missing_is_an_error(template: str) -> None:
    """A page with a hole in it is never written."""
    with pytest.raises(UndefinedError, match="report"):
        fill_template(template)


def a_curve(outcomes: str) -> tuple[CurveStep, ...]:
    """A step an outcome, + for good, the rate rising by tenths with a band of 0.2 about it."""
    return tuple(
        CurveStep(
            number=n + 1,
            attempt_id=f"a{n}",
            day=None,
            good=sign == "+",
            rate=0.3 + n / 10,
            low=0.1 + n / 10,
            high=0.5 + n / 10,
        )
        for n, sign in enumerate(outcomes)
    )


def points_of(node: ET.Element | None) -> list[tuple[float, float]]:
    """The corners of a polygon or polyline (SVG 1.1, 9.7.1)."""
    assert node is not None
    pairs = (pair.split(",") for pair in node.attrib["points"].split())
    return [(float(x), float(y)) for x, y in pairs]


def lines_of(root: ET.Element, *, upright: bool) -> list[dict[str, str]]:
    """The lines that stand, or those that lie."""
    return [n.attrib for n in root.iter("line") if (n.attrib["x1"] == n.attrib["x2"]) == upright]


def test_the_curve_and_its_band_are_to_the_scale_beside_them() -> None:
    """Where 0 % and 100 % stand tells where every rate does; the band is closed about the curve."""
    steps = a_curve("+-+")
    root = ET.fromstring(curve_svg(steps, "1.5 mm"))  # noqa: S314 - what the test itself has made
    none, half, full = (float(line["y1"]) for line in lines_of(root, upright=False))
    assert half == (none + full) / 2

    def share(y: float) -> float:
        return (none - y) / (none - full)

    curve = points_of(root.find("polyline"))
    assert [share(y) for _, y in curve] == [pytest.approx(rate) for rate in (0.3, 0.4, 0.5)]
    band = points_of(root.find("polygon"))
    assert [share(y) for _, y in band] == [
        pytest.approx(edge) for edge in (0.5, 0.6, 0.7, 0.3, 0.2, 0.1)
    ]
    places = [x for x, _ in curve]
    assert [x for x, _ in band] == [*places, *reversed(places)]
    assert places[1] - places[0] == pytest.approx(places[2] - places[1])


def test_each_attempt_has_a_stroke_above_or_below() -> None:
    """Above for a good one, below for one that failed; how many there are stands in words."""
    root = ET.fromstring(curve_svg(a_curve("+-++"), "1.5 mm"))  # noqa: S314 - made here
    strokes = [float(line["y1"]) for line in lines_of(root, upright=True)]
    middle = (max(strokes) + min(strokes)) / 2
    assert ["+" if y < middle else "-" for y in strokes] == ["+", "-", "+", "+"]
    assert [node.text for node in root.iter("text")] == ["0 %", "50 %", "100 %", "4 settings"]


def test_a_long_curve_has_dashes_for_shares_and_no_more_points_than_paper_shows() -> None:
    """Of 1,200 settings forty dashes, and lines of a few hundred points."""
    steps = tuple(
        replace(step, number=n + 1, rate=0.5, low=0.4, high=0.6)
        for n, step in enumerate(a_curve("+-") * 600)
    )
    root = ET.fromstring(curve_svg(steps, "1.5 mm"))  # noqa: S314 - made here
    assert lines_of(root, upright=True) == []
    assert len(lines_of(root, upright=False)) == MOST_SHARES + 3
    curve = root.find(".//{*}polyline")
    assert 300 <= len(points_of(curve)) <= 402


def test_a_picture_has_a_name_that_is_only_text() -> None:
    """Markup and quotes in a name stay inside it, and what terminals obey is gone."""
    name = 'a "grade" <script> & more'
    for picture in (curve_svg(a_curve("+"), f"{name}\x1b"), seat_svg(a_plate(), f"{name}\x1b")):
        root = ET.fromstring(picture)  # noqa: S314 - what the test itself has made
        assert (root.attrib["role"], root.attrib["aria-label"]) == ("img", name)
        assert "<script" not in picture


def a_plate(width: float = 4.0, height: float = 2.0) -> Section:
    """A stone of half the size in the middle of a sheet, both of them boxes."""

    def box(x: float, y: float) -> tuple[tuple[float, float], ...]:
        return ((-x, 0.0), (x, 0.0), (x, y), (-x, y))

    shapes = (
        Shape(name="sheet left", points=box(width / 2, height)),
        Shape(name="stone", points=box(width / 4, height / 2)),
    )
    return Section(shapes=shapes, dimensions=(), states=(), line="")


@pytest.mark.parametrize(("width", "height"), [(4.0, 2.0), (1.0, 5.0), (30.0, 1.0)])
def test_a_seat_is_as_large_as_there_is_room_and_not_distorted(width: float, height: float) -> None:
    """Inside its view box, one scale both ways, its axis in the middle, one side filled."""
    root = ET.fromstring(seat_svg(a_plate(width, height), "seat"))  # noqa: S314 - made here
    _, _, room, high = (float(n) for n in root.attrib["viewBox"].split())
    sheet, stone = (points_of(node) for node in root.iter("polygon"))
    across = max(x for x, _ in sheet) - min(x for x, _ in sheet)
    down = max(y for _, y in sheet) - min(y for _, y in sheet)
    assert across / down == pytest.approx(width / height, rel=1e-4)
    assert max(x for x, _ in stone) - min(x for x, _ in stone) == pytest.approx(across / 2)
    assert min(x for x, _ in sheet) + across / 2 == pytest.approx(room / 2)
    assert across <= room + 1e-6
    assert 0 <= min(y for _, y in sheet) <= max(y for _, y in sheet) <= high
    assert across == pytest.approx(room) or down == pytest.approx(high - 1.0)


def test_stone_and_metal_differ_in_their_fill() -> None:
    """Each has an outline besides, so that the fill alone does not tell them apart."""
    root = ET.fromstring(seat_svg(a_plate(), "seat"))  # noqa: S314 - what the test itself has made
    sheet, stone = root.iter("polygon")
    assert sheet.attrib["fill"] != stone.attrib["fill"]
    assert all(re.fullmatch("#[0-9a-f]{6}", n.attrib["stroke"]) for n in (sheet, stone))
