"""The drawing board: dots where geometry says, nothing outside, the section to scale."""

import pytest
from tests.contrast import contrast
from tests.reports.sections import CASES, sheet_for
from textual.theme import Theme

from platebook.reports.drawings.cells import (
    DOTS,
    HIGH,
    WIDE,
    Cell,
    Sketch,
    crossings,
    section_blocks,
    whole,
)
from platebook.reports.drawings.section_marks import gaps_of
from platebook.reports.drawings.section_text import around
from platebook.trade import Sheet, Stone, size
from platebook.trade.geometry.section import Section, Shape, section_of
from platebook.trade.records import Curve
from platebook.trade.setup_sheet import SetUpSheet
from platebook.tui.parts.seat_picture import draw_fine, draw_seat
from platebook.tui.parts.theme import THEMES

SQUARE = [(2.0, 2.0), (8.0, 2.0), (8.0, 8.0), (2.0, 8.0)]


def signs(board: Sketch) -> list[str]:
    """The board as lines of signs."""
    return ["".join(sign for sign, _ in row) for row in board.cells()]


def test_one_dot_is_the_braille_sign_for_it() -> None:
    """Dots are numbered as the Unicode standard numbers them (block Braille Patterns, U+2800)."""
    board = Sketch(1, 1)
    board.dot(0, 0)
    board.dot(1, 3)
    assert signs(board) == [chr(0x2800 + 0x01 + 0x80)]


def test_outside_the_board_nothing_happens() -> None:
    """A stroke that leaves the board is cut off."""
    board = Sketch(2, 1)
    board.stroke((-5, 1), (20, 1))
    board.dot(-1, -1)
    assert signs(board) == [chr(0x2800 + 0x02 + 0x10) * 2]


def test_a_level_line_crosses_a_square_twice() -> None:
    """Crossings come in pairs, from left to right; outside there are none."""
    assert crossings(5.0, SQUARE) == [2.0, 8.0]
    assert crossings(9.0, SQUARE) == []


def test_hatching_stays_inside() -> None:
    """No section line leaves the shape it fills."""
    board = Sketch(6, 3)
    board.hatch(SQUARE, spacing=1)
    rows = [line.replace(" ", chr(0x2800)) for line in signs(board)]
    filled = [
        (x, y)
        for y in range(board.height)
        for x in range(board.width)
        if ord(rows[y // 4][x // 2]) & 0xFF & DOTS[y % 4][x % 2]
    ]
    assert filled == [(x, y) for y in range(2, 8) for x in range(2, 8)]


@pytest.mark.parametrize(("columns", "rows"), [(30, 8), (120, 40), (34, 24)])
def test_the_section_is_to_scale(columns: int, rows: int) -> None:
    """A millimetre is as long across as it is down."""
    sizes = size(Stone(diameter_mm=2.0), Sheet(sheet_mm=0.8))
    corners = [p for shape in section_of(sizes).shapes for p in shape.points]
    wide = max(x for x, _ in corners) - min(x for x, _ in corners)
    high = max(y for _, y in corners) - min(y for _, y in corners)
    lines = draw_fine(section_of(sizes), columns, rows).plain.split("\n")
    used = [line for line in lines if line.strip()]
    left = min(len(line) - len(line.lstrip()) for line in used)
    across = (max(len(line.rstrip()) for line in used) - left) * 2
    down = len(used) * 4
    # Both directions have one scale in dots per millimetre, as far as cells can tell.
    low = max((across - 4) / wide, (down - 8) / high)
    assert low <= min((across + 2) / wide, (down + 2) / high)


def test_the_picture_always_says_it_in_words() -> None:
    """With room or without, the line of text stands there."""
    sizes = size(Stone(diameter_mm=2.0), Sheet(sheet_mm=0.8))
    line = section_of(sizes).line
    assert draw_seat(sizes, 100, 12).plain.endswith(line)
    assert draw_seat(sizes, 100, 3).plain == line


def test_fills_and_lines_say_the_same_in_the_same_room() -> None:
    """Filled in colours or drawn in dots: as many lines, the same sentence below."""
    sizes = size(Stone(diameter_mm=1.98), Sheet(sheet_mm=0.812))
    filled, lined = (draw_seat(sizes, 38, 12, filled=f).plain.split("\n") for f in (True, False))
    assert len(filled) == len(lined)
    assert filled[-1] == lined[-1]
    assert any("\u2580" <= sign <= "\u259f" for sign in "".join(filled))


def test_with_room_the_smallest_gap_is_magnified() -> None:
    """In a tall picture, with its size in words; not in a short one."""
    sizes = size(Stone(diameter_mm=1.98), Sheet(sheet_mm=0.812))
    assert "magnified: 0.010 mm beside the girdle, tight" in draw_seat(sizes, 56, 24).plain
    assert "magnified" not in draw_seat(sizes, 56, 12).plain


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_stone_metal_and_nothing_are_told_apart_in_every_theme(theme: Theme) -> None:
    """Fills stand out from each other by 1.4 to 1 at the least, and from nothing by 3 to 1.

    3 to 1 is what WCAG 2.2, 1.4.11 asks of parts of a picture.
    """
    metal, stone = (theme.variables[name] for name in ("metal", "stone"))
    ground = str(theme.background)
    assert contrast(metal, ground) >= 3
    assert contrast(stone, ground) >= 3
    assert contrast(metal, stone) >= 1.4


BLOCK_ELEMENTS = range(0x2580, 0x25A0)
"""The Unicode Standard, block Block Elements."""


def a_box(left: float, top: float, right: float, bottom: float) -> Section:
    """A section that is one box of metal in a window of 1 by 2."""
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    shape = Shape(name="sheet left", points=corners)
    return Section(shapes=(shape,), dimensions=(), states=(), line="")


@pytest.mark.parametrize(
    ("box", "cell"),
    [
        ((0, 0, 1, 2), (" ", "metal", "metal")),
        ((0, 1, 1, 2), ("▄", "metal", "")),
        ((0, 0, 1, 1), ("▄", "", "metal")),
        ((0, 0, 0.5, 2), ("▌", "metal", "")),
        ((0, 0, 0.25, 2), ("▎", "metal", "")),
        ((0, 1.75, 1, 2), ("▁", "metal", "")),
        ((0, 0, 0.5, 1), ("▘", "metal", "")),
        ((0.5, 1, 1, 2), ("▗", "metal", "")),
    ],
)
def test_the_sign_that_fits_is_taken(box: tuple[float, ...], cell: Cell) -> None:
    """Halves, eighths and quarters as the Unicode Standard names them (U+2580 to U+259F)."""
    assert section_blocks(a_box(*box), 1, 1, (0, 0, 1, 2)) == [[cell]]


def test_the_picture_is_to_scale() -> None:
    """As many samples across as down for one millimetre."""
    section = section_of(sheet_for())
    left, top, right, bottom = whole(section)
    rows = section_blocks(section, 60, 40)
    filled = [
        (x, y)
        for y, row in enumerate(rows)
        for x, (_, front, back) in enumerate(row)
        if front or back
    ]
    across = (max(x for x, _ in filled) - min(x for x, _ in filled) + 1) * WIDE
    down = (max(y for _, y in filled) - min(y for _, y in filled) + 1) * HIGH
    assert across / (right - left) == pytest.approx(down / (bottom - top), rel=0.08)


@pytest.mark.parametrize("sizes", CASES.values(), ids=CASES)
def test_every_sign_is_a_block_or_nothing(sizes: SetUpSheet) -> None:
    """Fonts have them; and stone and metal are both to be seen."""
    rows = section_blocks(section_of(sizes), 38, 10)
    signs = {sign for row in rows for sign, _, _ in row}
    assert all(sign == " " or ord(sign) in BLOCK_ELEMENTS for sign in signs)
    assert {"metal", "stone"} <= {back for row in rows for _, _, back in row}


def test_a_gap_is_magnified_to_a_fifth_of_its_view() -> None:
    """The middle of the view is the middle of the gap."""
    (gap, *_) = gaps_of(section_of(sheet_for()))
    left, top, right, bottom = around(gap)
    assert right - left == pytest.approx(5 * abs(gap.mm))
    assert bottom - top == pytest.approx(right - left)
    assert (left + right) / 2 == pytest.approx((gap.start[0] + gap.end[0]) / 2)


def test_curved_metal_is_drawn_along_and_across_where_there_is_room() -> None:
    """One over the other, each named; else one, with the key to the other; else the line."""
    curve = Curve(kind="ring", radius_mm=10)
    sizes = size(Stone(diameter_mm=2.0), Sheet(sheet_mm=1.8, curve=curve))
    tall = draw_seat(sizes, 54, 24).plain
    assert ("along the ring" in tall, "across the ring" in tall) == (True, True)
    assert len(tall.split("\n")) <= 24
    low = draw_seat(sizes, 36, 9).plain.split("\n")
    assert (len(low), low[-1]) == (9, "across the ring; a cuts along it")
    other = draw_seat(sizes, 36, 9, cut="along").plain.split("\n")
    assert other[-1] == "along the ring; a cuts across it"
    assert other[:-1] != low[:-1]
    assert "2.00 mm stone in a" in draw_seat(sizes, 36, 4).plain
