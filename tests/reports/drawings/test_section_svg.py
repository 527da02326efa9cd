"""The section on paper: exact, legible, told in words, and read as SVG 1.1 by an XML parser.

The SVG 1.1 recommendation (W3C, 2011): `title` and `desc` in 5.4, `viewBox` in 7.7, `points` of a
polygon in 9.7, `transform` in 7.6.
"""

import re
from itertools import combinations
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.reports.sections import CASES, sheet_for, sunk_by

from platebook.reports.drawings.section_svg import section_svg
from platebook.reports.drawings.svg import NAMESPACE, wide
from platebook.trade.geometry.section import section_of
from platebook.trade.setup_sheet import SetUpSheet

SVG = f"{{{NAMESPACE}}}"


def parsed(sizes: SetUpSheet) -> ET.Element:
    """The root of the picture."""
    return ET.fromstring(section_svg(sizes))  # noqa: S314 - what the test itself has made


def words(root: ET.Element) -> list[str]:
    """Everything that is written, as it stands on the page."""
    return [node.text or "" for node in root.iter(f"{SVG}text")]


def boxes(root: ET.Element) -> list[tuple[str, float, float, float, float]]:
    """Each piece of text with the box it takes: left, top, right and bottom."""
    placed = []
    for node in root.iter(f"{SVG}text"):
        text, size = node.text or "", float(node.get("font-size", "0"))
        shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[node.get("text-anchor", "start")]
        left = float(node.get("x", "0")) - shift * wide(text, size)
        base = float(node.get("y", "0"))
        placed.append((text, left, base - 0.75 * size, left + wide(text, size), base))
    return placed


def test_the_shapes_are_the_sections_own() -> None:
    """The points of the polygons are millimetres of the stone, scaled by the group about them."""
    sizes = sheet_for()
    root = parsed(sizes)
    drawing = next(g for g in root.iter(f"{SVG}g") if g.get("id") == "section")
    drawn = [node.get("points") for node in drawing.iter(f"{SVG}polygon")][:3]
    for points, shape in zip(drawn, section_of(sizes).shapes, strict=True):
        corners = [tuple(map(float, pair.split(","))) for pair in (points or "").split()]
        assert corners == [pytest.approx(corner, abs=0.0001) for corner in shape.points]


def test_the_page_is_measured_in_millimetres() -> None:
    """A user unit is a millimetre when printed: the page's size is its view box."""
    root = parsed(sheet_for())
    width, height = root.get("width", ""), root.get("height", "")
    assert root.get("viewBox") == f"0 0 {width[:-2]} {height[:-2]}"
    assert width.endswith("mm")
    assert height.endswith("mm")


def test_the_scale_bar_is_as_long_as_it_says() -> None:
    """One millimetre of the stone is as many millimetres of paper as the scale named beside it."""
    root = parsed(sheet_for())
    said = next(w for w in words(root) if ", drawn" in w and w.startswith("1 mm"))
    scale = int(re.fullmatch(r"1 mm, drawn (\d+) : 1", said)[1])  # type: ignore[index]
    drawing = next(g for g in root.iter(f"{SVG}g") if g.get("id") == "section")
    assert f"scale({scale})" in drawing.get("transform", "")
    level = [
        abs(float(n.get("x2", "0")) - float(n.get("x1", "0")))
        for n in root.iter(f"{SVG}line")
        if n.get("x1") == "10" and n.get("y1") == n.get("y2") and n.get("stroke-width") == "0.35"
    ]
    assert level == [pytest.approx(scale)]


def test_it_is_told_to_those_who_do_not_see_it() -> None:
    """Title and description carry the section's own line and what is out of order."""
    sizes = sheet_for(sheet_mm=0.812)
    root = parsed(sizes)
    title, told = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None
    assert told is not None
    assert title.text == "2.00 mm stone in section, snap in"
    assert told.text == f"{section_of(sizes).line} The point stands out at the back."
    assert root.get("aria-labelledby") == f"{title.get('id')} {told.get('id')}"


@pytest.mark.parametrize(("state", "sizes"), CASES.items())
def test_what_is_out_of_order_is_written_where_it_is(state: str, sizes: SetUpSheet) -> None:
    """In capitals at its own dimension line, which is heavier, and at the head of the page."""
    root = parsed(sizes)
    heavy = [n for n in root.iter(f"{SVG}line") if n.get("stroke-width") == "0.7"]
    if not state:
        assert (heavy, "Nothing out of order." in words(root)) == ([], True)
        return
    if state == "point out":
        assert (heavy, "The point stands out at the back." in words(root)) == ([], True)
        return
    written = [w for w in words(root) if state.upper() in w]
    assert len(written) == 2
    assert heavy


@pytest.mark.parametrize("sizes", CASES.values(), ids=CASES)
def test_no_words_lie_on_others_or_off_the_page(sizes: SetUpSheet) -> None:
    """Every label has its own room."""
    root = parsed(sizes)
    _, _, width, height = (float(n) for n in root.get("viewBox", "").split())
    placed = boxes(root)
    for box, other in combinations(placed, 2):
        apart = box[3] <= other[1] or other[3] <= box[1] or box[4] <= other[2] or other[4] <= box[2]
        assert apart, (box, other)
    assert [b for b in placed if b[1] < 0 or b[3] > width or b[2] < 0 or b[4] > height] == []


def test_a_gap_under_a_tenth_is_shown_again_magnified() -> None:
    """A seat 0.04 mm under the stone: 0.02 a side, and the table 0.06 below."""
    said = words(parsed(sunk_by(0.06)))
    assert "beside the girdle, tight" in said
    assert "0.02 mm, drawn 250 : 1" in said
    assert "table sunk" in said


def test_without_a_small_gap_there_is_no_inset() -> None:
    """A seat 0.3 mm under the stone and the table 0.13 mm below leave nothing to magnify."""
    root = parsed(sunk_by(0.15, seat_mm=1.7))
    assert [g for g in root.iter(f"{SVG}g") if (g.get("id") or "").startswith("inset")] == []


@settings(max_examples=25)
@given(st.floats(0.8, 10.0), st.floats(0.1, 6.0))
def test_any_set_up_sheet_can_be_drawn(diameter_mm: float, sheet_mm: float) -> None:
    """Whatever the sizes, the page is well formed and no label is off it."""
    root = parsed(sheet_for(round(diameter_mm, 2), round(sheet_mm, 2), None))
    width = float(root.get("viewBox", "").split()[2])
    assert [b for b in boxes(root) if b[1] < 0 or b[3] > width] == []
