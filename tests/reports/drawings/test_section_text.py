"""The section in plain text: to scale, within its room, saying what it shows."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.reports.sections import CASES, sheet_for

from platebook.reports.drawings.section_text import section_sketch, section_text
from platebook.reports.text.sizes_text import sizes_card
from platebook.trade.geometry.section import section_of
from platebook.trade.setup_sheet import SetUpSheet

BRAILLE = range(0x2800, 0x2900)


def is_drawn(line: str) -> bool:
    """Whether a line is one of the picture's."""
    return any(ord(sign) in BRAILLE for sign in line)


@pytest.mark.parametrize(("state", "sizes"), CASES.items())
def test_what_is_out_of_order_stands_beside_its_place(state: str, sizes: SetUpSheet) -> None:
    """With a mark and in capitals, and once more below the picture."""
    lines = section_text(sizes, columns=78, rows=12)
    marked = [line for line in lines if "! " in line]
    if not state:
        assert (marked, lines[-1]) == ([], "Nothing out of order.")
        return
    if state == "point out":
        assert (marked, lines[-1]) == ([], "The point stands out at the back.")
        return
    assert any(state.upper() in line for line in marked)
    assert state.upper() in lines[-1]


def test_the_line_below_is_the_sections_own() -> None:
    """The text line says the same as the picture, folded to the width."""
    sizes = sheet_for()
    lines = section_text(sizes, columns=78, rows=12)
    assert section_of(sizes).line in " ".join(lines)


def test_the_picture_is_to_scale() -> None:
    """A cell is one unit wide and two high, so its dots are square: both scales are the same."""
    sizes = sheet_for()
    corners = [point for shape in section_of(sizes).shapes for point in shape.points]
    wide = max(x for x, _ in corners) - min(x for x, _ in corners)
    high = max(y for _, y in corners) - min(y for _, y in corners)
    board = section_sketch(section_of(sizes), 60, 40)
    filled = [
        (column * 2 + dot_x, row * 4 + dot_y)
        for row, cells in enumerate(board.cells())
        for column, (sign, _) in enumerate(cells)
        if sign != " "
        for dot_x, dot_y, bit in (
            (x, y, ((1, 8), (2, 16), (4, 32), (64, 128))[y][x]) for x in (0, 1) for y in range(4)
        )
        if (ord(sign) - 0x2800) & bit
    ]
    across = max(x for x, _ in filled) - min(x for x, _ in filled)
    down = max(y for _, y in filled) - min(y for _, y in filled)
    assert across == pytest.approx(down * wide / high, abs=3)  # each end falls on a whole dot


@settings(max_examples=40)
@given(st.floats(0.8, 10.0), st.floats(0.1, 6.0), st.integers(20, 100), st.integers(1, 30))
def test_it_keeps_to_its_room(diameter_mm: float, sheet_mm: float, columns: int, rows: int) -> None:
    """No line is wider and the picture no higher than asked; every dimension is there or none."""
    sizes = sheet_for(round(diameter_mm, 2), round(sheet_mm, 2), None)
    lines = section_text(sizes, columns=columns, rows=rows)
    assert [line for line in lines if len(line) > columns] == []
    beside = [line for line in lines if "- " in line or "! " in line]
    assert len(beside) in {0, 7}
    assert sum(is_drawn(line) for line in lines) <= rows


def test_the_card_shows_it_where_asked_and_keeps_to_eighty_columns() -> None:
    """The picture is added to the card; the card without it stays as it is."""
    sizes = sheet_for()
    bare, drawn = sizes_card(sizes), sizes_card(sizes, picture=True)
    assert not any(is_drawn(line) for line in bare)
    assert any(is_drawn(line) for line in drawn)
    assert [line for line in drawn if line not in bare and not is_drawn(line)] == [
        "2.00 mm stone in a 1.96 mm seat: 0.04 tight, table level, 1.12 under the",
        "girdle, point 0.30 inside.",
        "Nothing out of order.",
    ]
    assert max(map(len, drawn)) <= 80
