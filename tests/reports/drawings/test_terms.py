"""Drawings of faults, answers and steps: to scale, one unlike the other, one for each word."""

import math
from itertools import combinations
from xml.etree import ElementTree as ET

import pytest

from platebook.practice.defects import GOOD
from platebook.practice.fields import choices
from platebook.practice.results import DEFECTS
from platebook.reports.drawings.cells import DOTS, Sketch
from platebook.reports.drawings.scenes.typical import burnished, metal, rim, seat, stone
from platebook.reports.drawings.terms import (
    DRAWN,
    SCENES,
    fitted,
    scene_of,
    term_caption,
    term_cells,
    term_signs,
    term_svg,
)

SIZES = ((12, 4), (14, 5), (28, 9), (42, 14))
ASKED = ("fit", "trial_height", "ledge", "first_seen")
MEASURED = [
    term for term in DRAWN if (scene := scene_of(*term)) is not None and scene.measured is not None
]


def dots_of(rows: tuple[tuple[tuple[str, str], ...], ...], shown: str) -> set[tuple[int, int]]:
    """The dots that are set in the cells that show this."""
    return {
        (column * 2 + x, row * 4 + y)
        for row, cells in enumerate(rows)
        for column, (sign, role) in enumerate(cells)
        if role == shown and sign != " "
        for y in range(4)
        for x in range(2)
        if (ord(sign) - 0x2800) & DOTS[y][x]
    }


def test_each_defect_answer_and_step_has_a_drawing() -> None:
    """One that was added since is missing here by its name."""
    wanted = {(field, choice.value) for field in ASKED for choice in choices()[field]}
    wanted |= {("result", name) for name in (GOOD, *DEFECTS)}
    assert wanted - set(DRAWN) == set()


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_no_two_answers_of_a_question_look_alike(width: int, height: int) -> None:
    """Told apart by shape alone, without colour, in every size that screens show."""
    alike = [
        (field, *pair)
        for field, values in SCENES.items()
        for pair in combinations(values, 2)
        if term_cells(field, pair[0], width, height) == term_cells(field, pair[1], width, height)
    ]
    assert alike == []


@pytest.mark.parametrize(("field", "value"), DRAWN)
def test_a_drawing_fills_just_its_room(field: str, value: str) -> None:
    """As many lines as asked, each as wide as asked."""
    for width, height in SIZES:
        assert [len(line) for line in term_cells(field, value, width, height)] == [width] * height


@pytest.mark.parametrize(("field", "value"), MEASURED)
def test_what_a_scene_is_about_is_drawn_as_large_as_it_says(field: str, value: str) -> None:
    """The distance drawn is the real one times what the caption owns up to."""
    scene = scene_of(field, value)
    assert scene is not None
    assert scene.measured is not None
    assert scene.measured.drawn_mm == pytest.approx(scene.times * scene.measured.mm)
    assert ("drawn ×" in term_caption(field, value)) == (scene.times > 1)


def test_a_high_table_stands_out_of_the_sheet_by_its_height() -> None:
    """In dots, to within a dot: the top of the stone over the level of the metal."""
    rows, scene = term_signs("result", "high", 42, 14), scene_of("result", "high")
    assert scene is not None
    assert scene.measured is not None
    scale, _, down = fitted(scene, Sketch(42, 14))
    top = min(y for _, y in dots_of(rows, "stone"))
    assert abs((down - top) - scene.measured.drawn_mm * scale) <= 1.5


def test_a_low_table_lies_in_the_sheet_by_its_depth() -> None:
    """In dots, to within a dot: the top of the stone under the level of the metal."""
    rows, scene = term_signs("result", "low", 42, 14), scene_of("result", "low")
    assert scene is not None
    assert scene.measured is not None
    scale, across, down = fitted(scene, Sketch(42, 14))
    level = down + scene.measured.drawn_mm * scale
    beside = (x for x, y in dots_of(rows, "stone") if abs(y - level) <= 1.5)
    assert max(beside) - across <= stone().diameter_mm / 2 * scale


def test_the_point_stands_out_behind_thin_sheet() -> None:
    """The lowest dot of the stone lies below every dot of the metal."""
    rows = term_signs("result", "culet out", 42, 14)
    lowest = {shown: max(y for _, y in dots_of(rows, shown)) for shown in ("stone", "metal")}
    assert lowest["stone"] > lowest["metal"] + 2


@pytest.mark.parametrize("height_mm", [0.0, 0.165, -0.36])
def test_the_closed_rim_is_made_of_the_metal_beside_it(height_mm: float) -> None:
    """Its cut surface is as large as before: nothing is added and nothing lost."""
    hole = seat(below_mm=-height_mm)
    sheets = metal(hole), burnished(hole, height_mm)
    before, after = (sum(area(part.points) for part in sheet) for sheet in sheets)
    wedge = hole.mouth_mm - stone().diameter_mm / 2
    assert after == pytest.approx(before, abs=2 * wedge * hole.thickness_mm + 1e-6)


def area(points: tuple[tuple[float, float], ...]) -> float:
    """The surface inside a closed shape."""
    pairs = zip(points, (*points[1:], points[0]), strict=True)
    return abs(math.fsum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs)) / 2


def test_the_rim_lies_on_the_crown() -> None:
    """Its tip is on the line from girdle to table, above the girdle."""
    cut = stone()
    _, tip, girdle, _ = rim(seat())
    share = (girdle[1] - tip[1]) / cut.crown_mm
    assert tip[0] == pytest.approx(girdle[0] - share * (cut.diameter_mm - cut.table_mm) / 2)
    assert 0 < share < 1


@pytest.mark.parametrize(("field", "value"), DRAWN)
def test_the_same_geometry_stands_on_paper(field: str, value: str) -> None:
    """A well-formed file with as many shapes as the scene, and its caption in words."""
    scene, text = scene_of(field, value), term_svg(field, value)
    assert scene is not None
    assert text is not None
    root = ET.fromstring(text)  # noqa: S314 - our own drawing
    drawing = next(node for node in root.iter() if node.get("id") == "term")
    assert len(drawing) == len(scene.parts)
    assert any(scene.caption in (node.text or "") for node in root.iter())


def test_what_has_no_drawing_says_so() -> None:
    """A word without one, and room that is too small, give nothing and raise nothing."""
    assert term_cells("result", "nobody knows", 28, 9) == ()
    assert term_svg("lubricant", "wax") is None
    assert term_caption("lubricant", "wax") == ""
    assert term_cells("result", "high", 7, 3) == ()
