"""The section in cells as a stranger reads it: its parts named, the girdle a line."""

from collections.abc import Sequence

from platebook.reports.drawings.cells import (
    HIGH,
    WIDE,
    Cell,
    Point,
    fitted_into,
    section_blocks,
    whole,
)
from platebook.trade.geometry.section import Section
from platebook.values import Value

NAMES = {"metal": "sheet", "stone": "stone"}
"""What each material is called in the drawing."""
GIRDLE = "▔─▁"
"""A line high, in the middle or low in its cell."""


class Name(Value):
    """A word in the drawing: the row and the column of its first letter."""

    word: str
    row: int
    column: int


def named_blocks(section: Section, columns: int, rows: int) -> list[list[Cell]]:
    """All of the section in this many cells, filled, with its names and the girdle."""
    cells = section_blocks(section, columns, rows)
    row, sign = _girdle(section, columns, rows)
    names = _names_among(cells, row)
    line: Cell = (sign, "", "stone")
    if 0 <= row < rows:
        cells[row] = [line if _is(cell, "stone") else cell for cell in cells[row]]
    for name in names:
        for place, letter in enumerate(name.word, name.column):
            cells[name.row][place] = (letter, "", cells[name.row][place][2])
    return cells


def names_in(section: Section, columns: int, rows: int) -> tuple[Name, ...]:
    """Where the names go: in the longest run of their material, else nowhere."""
    girdle, _ = _girdle(section, columns, rows)
    return _names_among(section_blocks(section, columns, rows), girdle)


def _names_among(cells: list[list[Cell]], girdle: int) -> tuple[Name, ...]:
    free = [[] if number == girdle else row for number, row in enumerate(cells)]
    found = (_placed(free, material, word) for material, word in NAMES.items())
    return tuple(name for name in found if name is not None)


def names_at(section: Section, columns: int, rows: int) -> tuple[tuple[str, Point], ...]:
    """Each name with the millimetres at its middle, as it would stand in so many cells."""
    scale, left, top = fitted_into(columns, rows, whole(section))
    return tuple(
        (
            name.word,
            (
                ((name.column + len(name.word) / 2) * WIDE - left) / scale,
                ((name.row + 0.5) * HIGH - top) / scale,
            ),
        )
        for name in names_in(section, columns, rows)
    )


def _girdle(section: Section, columns: int, rows: int) -> tuple[int, str]:
    """The row in which the girdle lies, and the line for how high it lies there."""
    stone = next(shape for shape in section.shapes if shape.name == "stone")
    _, level = max(stone.points)
    scale, _, top = fitted_into(columns, rows, whole(section))
    row, within = divmod((level * scale + top) / HIGH, 1)
    return int(row), GIRDLE[min(int(within * len(GIRDLE)), len(GIRDLE) - 1)]


def _placed(cells: Sequence[Sequence[Cell]], material: str, word: str) -> Name | None:
    """The word in the middle of the longest run of its material, of equal ones the middlemost."""
    runs = [(row, *run) for row, line in enumerate(cells) if (run := _first_run(line, material))]
    wide = max((length for _, _, length in runs), default=0)
    if wide < len(word):
        return None
    widest = [(row, start, length) for row, start, length in runs if length == wide]
    row, start, length = widest[len(widest) // 2]
    return Name(word, row, start + (length - len(word)) // 2)


def _first_run(line: Sequence[Cell], material: str) -> tuple[int, int] | None:
    """Where the first stretch of whole cells of a material begins in a row, and its length."""
    start = next((n for n, cell in enumerate(line) if _is(cell, material)), None)
    if start is None:
        return None
    end = next((n for n in range(start, len(line)) if not _is(line[n], material)), len(line))
    return start, end - start


def _is(cell: Cell, material: str) -> bool:
    return cell == (" ", material, material)
