"""The names in a section: where there is room for them, on their own material."""

import pytest

from platebook.reports.drawings.cells import section_blocks
from platebook.reports.drawings.section_names import GIRDLE, NAMES, named_blocks, names_in
from platebook.trade import Sheet, Stone, size
from platebook.trade.geometry.section import section_of

SECTION = section_of(size(Stone(diameter_mm=2.0), Sheet(sheet_mm=0.812)))


@pytest.mark.parametrize("room", [(36, 6), (54, 12), (60, 18)])
def test_each_name_stands_on_its_own_material(room: tuple[int, int]) -> None:
    """Every letter of it; and each part has its name once."""
    columns, rows = room
    blocks = section_blocks(SECTION, columns, rows)
    names = names_in(SECTION, columns, rows)
    assert {name.word for name in names} == set(NAMES.values())
    for name in names:
        material = next(m for m, word in NAMES.items() if word == name.word)
        beneath = blocks[name.row][name.column : name.column + len(name.word)]
        assert beneath == [(" ", material, material)] * len(name.word)


def test_in_a_small_room_nothing_is_named() -> None:
    """Half a word would say nothing."""
    assert names_in(SECTION, 8, 3) == ()


@pytest.mark.parametrize("room", [(36, 6), (54, 12), (60, 18)])
def test_the_girdle_is_where_the_stone_is_widest(room: tuple[int, int]) -> None:
    """In the row with the longest line of the stone, and never on the metal."""
    plain, named = section_blocks(SECTION, *room), named_blocks(SECTION, *room)
    changed = {
        number: [(a, b) for a, b in zip(row, named[number], strict=True) if a != b]
        for number, row in enumerate(plain)
    }
    lines = [number for number, pairs in changed.items() if any(b[0] in GIRDLE for _, b in pairs)]
    assert len(lines) == 1
    assert {a for a, _ in changed[lines[0]]} == {(" ", "stone", "stone")}
    widths = [sum("stone" in cell for cell in row) for row in plain]
    assert widths[lines[0]] == max(widths)
