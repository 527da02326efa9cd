"""Strokes as the SVG 1.1 recommendation has them (W3C, 2011), on a page in millimetres."""

import math
from xml.etree import ElementTree as ET

import pytest
from tests.contrast import contrast

from platebook.reports.drawings import svg

NAMESPACE = "{http://www.w3.org/2000/svg}"
"""SVG 1.1, 1.3."""


def a_parent() -> svg.Node:
    """Something to draw in."""
    return svg.Node("g")


def numbers(node: ET.Element, *names: str) -> list[float]:
    """These attributes as numbers."""
    return [float(node.attrib[name]) for name in names]


@pytest.mark.parametrize(
    ("number", "expected"),
    [
        (1.0, "1"),
        (100.0, "100"),
        (0.1 + 0.2, "0.3"),
        (-2.5, "-2.5"),
        (1 / 3, "0.333333"),
        (0.0, "0"),
        (-0.0, "0"),
        (-1e-9, "0"),
        (1e-5, "0.00001"),
    ],
)
def test_a_coordinate_is_to_a_nanometre_without_noughts(number: float, expected: str) -> None:
    """Never with an exponent, and nothing is not below nothing."""
    assert svg.figure(number) == expected


def test_a_page_is_measured_in_millimetres() -> None:
    """Its view box has the numbers of its size, so that a user unit is a millimetre (7.7)."""
    root = svg.page(105.0, 74.25, title="Plate", description="Ten settings.")
    assert (root.attrib["width"], root.attrib["height"]) == ("105mm", "74.25mm")
    assert root.attrib["viewBox"] == "0 0 105 74.25"


def test_a_page_is_told_to_those_who_do_not_see_it() -> None:
    """The title comes first (5.4), the description after it; the picture is named by both."""
    root = svg.page(10.0, 10.0, title="Plate\x1b", description="Ten <settings>.")
    title, description, ground = root
    assert [(node.tag, node.text) for node in (title, description)] == [
        ("title", "Plate"),
        ("desc", "Ten <settings>."),
    ]
    named = f"{title.attrib['id']} {description.attrib['id']}"
    assert (root.attrib["role"], root.attrib["aria-labelledby"]) == ("img", named)
    assert (ground.tag, ground.attrib["fill"]) == ("rect", "#ffffff")


def test_a_page_is_written_as_an_xml_file() -> None:
    """In UTF-8 as declared, in SVG's own namespace, with every text escaped."""
    root = svg.page(10.0, 10.0, title="A & B", description="é < 2 mm")
    text = svg.written(root)
    assert text.startswith('<?xml version="1.0" encoding="UTF-8"?>\n')
    assert text.endswith("</svg>\n")
    read = ET.fromstring(text.encode("utf-8"))  # noqa: S314 - what the test itself has made
    assert read.tag == f"{NAMESPACE}svg"
    assert [node.text for node in read][:2] == ["A & B", "é < 2 mm"]


def test_names_of_attributes_are_written_with_hyphens() -> None:
    """As XML has them; a word that Python keeps for itself ends with a stroke that is not there."""
    group = svg.group(a_parent(), clip_path="url(#a)", class_="seat", id="b")
    assert group.attrib == {"clip-path": "url(#a)", "class": "seat", "id": "b"}
    parent = a_parent()
    svg.polygon(parent, [(0.0, 0.0)], stroke_width="0.5")
    assert parent[0].attrib["stroke-width"] == "0.5"


def test_words_stand_at_their_base_line() -> None:
    """By their left end unless said otherwise (10.9.1), without what XML has no room for."""
    parent = a_parent()
    svg.write(parent, (1.5, 2.0), "seat\x00 < 2 mm")
    svg.write(parent, (0.0, 0.0), "proud", anchor="middle", bold=True, size=5.0)
    plain, bold = parent
    assert (plain.text, plain.attrib["text-anchor"], plain.get("font-weight")) == (
        "seat < 2 mm",
        "start",
        None,
    )
    assert numbers(plain, "x", "y") == [1.5, 2.0]
    assert (bold.attrib["text-anchor"], bold.attrib["font-weight"]) == ("middle", "bold")
    assert numbers(bold, "font-size") == [5.0]


def test_a_line_goes_from_its_start_to_its_end() -> None:
    """Whole unless dashes are given (11.4)."""
    parent = a_parent()
    svg.line(parent, (1.0, 2.0), (3.0, 4.5), width=0.5)
    svg.line(parent, (0.0, 0.0), (1.0, 0.0), dashes="2 1")
    whole, dashed = parent
    assert numbers(whole, "x1", "y1", "x2", "y2", "stroke-width") == [1.0, 2.0, 3.0, 4.5, 0.5]
    assert (whole.get("stroke-dasharray"), dashed.get("stroke-dasharray")) == (None, "2 1")


def test_a_polygon_is_its_corners_in_order() -> None:
    """Pairs of x and y with a comma, apart by a blank (9.7.1); it closes by itself (9.7)."""
    parent = a_parent()
    svg.polygon(parent, [(0.0, 0.0), (2.0, 0.0), (1.0, 1.5)], fill="none")
    (node,) = parent
    assert (node.tag, node.attrib) == ("polygon", {"points": "0,0 2,0 1,1.5", "fill": "none"})


def test_a_circle_is_an_outline() -> None:
    """Nothing fills it, so that what lies under it is seen (9.3)."""
    parent = a_parent()
    svg.circle(parent, (4.0, 5.0), 0.975, width=0.35)
    svg.circle(parent, (4.0, 5.0), 1.0, width=0.35, dashes="1 1")
    whole, dashed = parent
    assert numbers(whole, "cx", "cy", "r", "stroke-width") == [4.0, 5.0, 0.975, 0.35]
    assert whole.attrib["fill"] == "none"
    assert (whole.get("stroke-dasharray"), dashed.get("stroke-dasharray")) == (None, "1 1")


def test_hatching_is_a_pattern_that_the_fill_names() -> None:
    """A square as wide as lines are apart, in units of the drawing, turned by 45 degrees (13.3)."""
    root = a_parent()
    assert svg.hatching(root, "metal", spacing=2.2) == "url(#metal)"
    pattern = root.find("defs/pattern[@id='metal']")
    assert pattern is not None
    assert numbers(pattern, "width", "height") == [2.2, 2.2]
    assert pattern.attrib["patternUnits"] == "userSpaceOnUse"
    assert pattern.attrib["patternTransform"] == "rotate(45)"
    (stroke,) = pattern
    assert numbers(stroke, "x1", "y1", "x2", "y2") == [1.1, 0.0, 1.1, 2.2]


def test_a_window_is_a_square_that_the_clip_path_names() -> None:
    """Only what lies inside it is drawn (14.3.5)."""
    root = a_parent()
    assert svg.window(root, "inset", (10.0, 20.0), 38.0) == "url(#inset)"
    square = root.find("defs/clipPath[@id='inset']/rect")
    assert square is not None
    assert numbers(square, "x", "y", "width", "height") == [10.0, 20.0, 38.0, 38.0]


@pytest.mark.parametrize("end", [(9.0, 1.0), (1.0, 9.0), (1.01, 1.0)])
def test_a_dimension_line_ends_in_two_slanted_strokes(end: tuple[float, float]) -> None:
    """Each at 45 degrees with its middle at the end, heavier than the line; however short it is."""
    parent = a_parent()
    svg.measure(parent, (1.0, 1.0), end, width=0.2)
    drawn, *strokes = parent
    assert numbers(drawn, "x1", "y1", "x2", "y2") == [1.0, 1.0, *end]
    for stroke, (x, y) in zip(strokes, [(1.0, 1.0), end], strict=True):
        x1, y1, x2, y2, width = numbers(stroke, "x1", "y1", "x2", "y2", "stroke-width")
        assert [(x1 + x2) / 2, (y1 + y2) / 2] == pytest.approx([x, y])
        # On paper y goes down: a stroke that rises to the right has a negative slope.
        assert math.degrees(math.atan2(y2 - y1, x2 - x1)) == pytest.approx(-45)
        assert width > 0.2


def test_words_are_as_wide_as_their_letters_together() -> None:
    """0.57 of the size a letter: ten letters of 2 mm take 11.4 mm, no letters nothing."""
    assert svg.wide("abcdefghij", 2.0) == pytest.approx(11.4)
    assert svg.wide("", 2.0) == 0.0


@pytest.mark.parametrize("colour", [svg.INK, svg.MUTED, svg.ALARM])
def test_every_colour_stands_out_from_the_paper(colour: str) -> None:
    """At least 4.5 to 1 on white (WCAG 2.2, 1.4.3)."""
    assert contrast(colour, "#ffffff") >= 4.5


def test_the_strokes_are_told_apart_by_weight() -> None:
    """Each about twice the one before, as technical drawings have it (ISO 128: 2 to 1)."""
    assert pytest.approx(2, rel=0.05) == svg.MEDIUM / svg.THIN
    assert pytest.approx(2, rel=0.05) == svg.HEAVY / svg.MEDIUM
