"""The plate on paper: a millimetre is a millimetre, and everything on it is where it belongs.

The SVG 1.1 recommendation (W3C, 2011): a view box as large as the page in millimetres makes the
user unit a millimetre (7.7); `title` and `desc` in 5.4.
"""

from xml.etree import ElementTree as ET

import pytest

from platebook.practice.records import Plate
from platebook.reports.drawings.plate_svg import plate_svg, plates_a_page, plates_svg
from platebook.reports.drawings.svg import NAMESPACE

SVG = f"{{{NAMESPACE}}}"
PLATE = Plate(
    name="copper 1",
    metal="copper",
    sheet_mm=0.812,
    positions=tuple(str(n) for n in range(1, 29)),
    across=7,
    pitch_mm=6.0,
    width_mm=50.0,
    height_mm=30.0,
    stones_mm=(1.5, 2.0),
)


def parsed(plate: Plate = PLATE, setter: str = "Ada Quill") -> ET.Element:
    """The root of the drawing."""
    return ET.fromstring(plate_svg(plate, setter=setter))  # noqa: S314 - made by the test itself


def plan(root: ET.Element) -> ET.Element:
    """The group in which the plate's corner is the origin."""
    return next(g for g in root.iter(f"{SVG}g") if g.get("id") == "plate")


def test_it_prints_at_its_size() -> None:
    """Page and view box are the same number of millimetres, and the plan is moved, never scaled."""
    root = parsed()
    _, _, width, height = root.get("viewBox", "").split()
    assert (root.get("width"), root.get("height")) == (f"{width}mm", f"{height}mm")
    assert "scale" not in plan(root).get("transform", "")
    outline = plan(root).find(f"{SVG}polygon")
    assert outline is not None
    corners = [tuple(map(float, p.split(","))) for p in outline.get("points", "").split()]
    assert max(x for x, _ in corners) - min(x for x, _ in corners) == 50
    assert max(y for _, y in corners) - min(y for _, y in corners) == 30


def test_the_check_bar_is_fifty_millimetres() -> None:
    """Whoever prints it can see at once whether it came out at its size."""
    root = parsed()
    bars = [n for n in root.findall(f"{SVG}line") if n.get("stroke-width") == "0.35"]
    assert [
        float(n.get("x2", "0")) - float(n.get("x1", "0"))
        for n in bars
        if n.get("y1") == n.get("y2")
    ] == [50]
    assert any((n.text or "").startswith("50 mm") for n in root.iter(f"{SVG}text"))


def test_each_position_has_its_centre_its_stone_and_its_number() -> None:
    """A cross where the record has the centre, about it the stone's own outline."""
    root = plan(parsed())
    circles = [
        tuple(float(c.get(name, "0")) for name in ("cx", "cy", "r"))
        for c in root.iter(f"{SVG}circle")
    ]
    assert circles == [
        (*(PLATE.centre_of(p) or ()), (PLATE.stone_at(p) or 0) / 2) for p in PLATE.positions
    ]
    crosses = list(root.iter(f"{SVG}line"))
    assert len(crosses) == 2 * len(PLATE.positions)
    middles = {
        tuple((float(n.get(f"{a}1", "0")) + float(n.get(f"{a}2", "0"))) / 2 for a in "xy")
        for n in crosses
    }
    assert middles == {(x, y) for x, y, _ in circles}
    numbers = [n.text for n in root.iter(f"{SVG}text") if (n.text or "") in PLATE.positions]
    assert set(numbers) == set(PLATE.positions)


def test_the_notch_is_in_the_middle_of_the_top_edge() -> None:
    """Twelve o'clock: it points into the metal and is named."""
    root = plan(parsed())
    outline = root.find(f"{SVG}polygon")
    assert outline is not None
    assert "25,1.5" in outline.get("points", "").split()
    assert "12" in [n.text for n in root.iter(f"{SVG}text")]


def test_the_title_strip_says_whose_plate_and_what_it_is() -> None:
    """Setter, plate, metal, sheet, stones, size and how many."""
    texts = [n.text for n in parsed().findall(f"{SVG}text")]
    assert texts[:3] == [
        "Ada Quill: plate copper 1",
        "copper, 0.812 mm. Stones 1.5, 2 mm, a row each in turn.",
        "50 by 30 mm, 28 positions, 6 mm apart.",
    ]


def test_a_long_name_gets_a_wider_page_and_hostile_text_stays_text() -> None:
    """Names go in as they are: nothing in them becomes markup or ends the file."""
    name = "<script>&\x1b[2J" + "n" * 120
    root = parsed(PLATE.model_copy(update={"name": name}))
    title = root.find(f"{SVG}title")
    assert title is not None
    assert (title.text or "").startswith("Ada Quill: plate <script>&")
    assert root.find(f".//{SVG}script") is None
    assert float(root.get("viewBox", "").split()[2]) > 300


def test_what_nobody_named_is_said_to_be_unnamed() -> None:
    """Nothing is made up for a plate without metal, sheet or stones."""
    bare = PLATE.model_copy(update={"metal": None, "sheet_mm": None, "stones_mm": ()})
    texts = [n.text for n in parsed(bare).findall(f"{SVG}text")]
    assert texts[1] == "metal not named, sheet not named. Stones not named."


def test_a_plate_that_was_never_laid_out_cannot_be_drawn() -> None:
    """There is no size to draw it at."""
    with pytest.raises(ValueError, match="never laid out"):
        plate_svg(Plate(name="old"), setter="Ada Quill")


def test_twelve_on_a_page_are_each_at_their_size_and_none_lies_on_another() -> None:
    """The page is one that A4 and Letter both take; every copy is whole on it, with its bar."""
    root = ET.fromstring(plates_svg(PLATE, 12))  # noqa: S314 - made by the test itself
    assert (root.get("width"), root.get("height")) == ("210mm", "279.4mm")
    plans = [g for g in root.iter(f"{SVG}g") if (g.get("id") or "").startswith("plate-")]
    corners = []
    for plan_ in plans:
        moved = plan_.get("transform", "")
        assert moved.startswith("translate(")
        corners.append(tuple(map(float, moved[len("translate(") : -1].split())))
    assert len(corners) == 12
    for place, (x, y) in enumerate(corners):
        assert 0 < x < 210 - 50
        assert 0 < y < 279.4 - 30
        for other_x, other_y in corners[:place]:
            assert abs(x - other_x) > 50 or abs(y - other_y) > 30


def test_as_many_as_fit_and_no_more() -> None:
    """Of the bench's 50 by 30 mm fifteen; one as large as the page leaves no room for its name."""
    assert plates_a_page(PLATE) == (3, 5)
    assert plates_a_page(PLATE.model_copy(update={"width_mm": 200.0})) == (0, 5)
    with pytest.raises(ValueError, match="16 plates"):
        plates_svg(PLATE, 16)
