"""A section's shapes on paper, and its small gaps magnified beside it."""

import pytest
from tests.reports.drawings.test_section_marks import a_section

from platebook.reports.drawings.section_marks import Gap
from platebook.reports.drawings.section_shapes import draw_insets, draw_shapes
from platebook.reports.drawings.svg import Node


def drawn(*gaps: Gap, top: float = 100.0) -> Node:
    """These gaps of a section on paper."""
    root = Node("svg")
    draw_insets(root, a_section(), gaps, top=top)
    return root


def written(root: Node) -> list[str | None]:
    """What is written, in order."""
    return [node.text for node in root.iter("text")]


@pytest.mark.parametrize(
    ("mm", "scale"), [(0.004, 2000), (0.009, 1000), (0.0091, 500), (0.02, 250), (0.09, 100)]
)
def test_a_gap_is_magnified_to_at_most_nine_millimetres(mm: float, scale: int) -> None:
    """By the largest round scale that allows it, which is written with its size below."""
    gap = Gap("table sunk", (0.0, 0.0), (0.0, mm), -mm)
    root = drawn(gap)
    group = root.find("g[@id='inset-1']/g")
    assert group is not None
    assert group.attrib["transform"].endswith(f" scale({scale})")
    words, size = written(root)
    assert words == "table sunk"
    assert size is not None
    assert size.endswith(f" mm, drawn {scale} : 1")


def test_a_gap_stands_in_the_middle_of_its_square() -> None:
    """Its two ends are as far from the middle; nothing outside the square is drawn."""
    root = drawn(Gap("table sunk", (0.3, 0.01), (0.3, 0.03), -0.02), top=50.0)
    square = root.find("defs/clipPath/rect")
    inset = root.find("g[@id='inset-1']")
    assert square is not None
    assert inset is not None
    x, y, wide, high = (float(square.attrib[name]) for name in ("x", "y", "width", "height"))
    measured = inset.findall("line")[1]
    assert float(measured.attrib["x1"]) == pytest.approx(x + wide / 2)
    ends = [float(measured.attrib[name]) for name in ("y1", "y2")]
    assert sum(ends) / 2 == pytest.approx(y + high / 2)
    assert ends[1] - ends[0] == pytest.approx(0.02 * 250)
    assert inset.attrib["clip-path"] == "url(#inset-1-window)"


def test_squares_stand_side_by_side() -> None:
    """In one row, none on another, every name on the page given once."""
    gaps = [Gap(f"gap {n}", (0.0, 0.0), (0.0, 0.02), 0.02) for n in range(4)]
    root = drawn(*gaps)
    squares = [node.attrib for node in root.iterfind("defs/clipPath/rect")]
    lefts, widths = ([float(s[name]) for s in squares] for name in ("x", "width"))
    assert {s["y"] for s in squares} == {"100"}
    rights = [left + width for left, width in zip(lefts, widths, strict=True)]
    assert all(right < left for right, left in zip(rights, lefts[1:], strict=False))
    names = [node.attrib["id"] for node in root.iter() if "id" in node.attrib]
    assert len(names) == len(set(names)) == 4 * 3


def test_the_stone_lies_over_the_metal_and_both_are_seen() -> None:
    """The metal's edge is drawn once more, dashed, over a stone that lets it through."""
    drawing = Node("g")
    draw_shapes(drawing, a_section(), fill="url(#metal)", scale=50.0)
    metal, stone, edge = drawing
    assert metal.attrib["fill"] == "url(#metal)"
    assert 0 < float(stone.attrib["fill-opacity"]) < 1
    assert (edge.attrib["fill"], edge.attrib["points"]) == ("none", metal.attrib["points"])
    assert "stroke-dasharray" in edge.attrib


def test_strokes_are_as_heavy_on_paper_at_every_scale() -> None:
    """The scale that magnifies the drawing is taken out of its strokes."""
    by_scale = {}
    for scale in (50.0, 500.0):
        drawing = Node("g")
        draw_shapes(drawing, a_section(), fill="none", scale=scale)
        by_scale[scale] = [scale * float(node.attrib["stroke-width"]) for node in drawing]
    assert by_scale[50.0] == [pytest.approx(width, rel=0.01) for width in by_scale[500.0]]
