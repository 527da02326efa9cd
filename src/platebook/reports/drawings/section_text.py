"""The seat and stone in section as plain text: braille dots to scale, each level said beside it."""

import math
import textwrap
from collections.abc import Mapping

from platebook.reports.drawings.cells import Point, Sketch, Window, whole
from platebook.reports.drawings.section_marks import Gap, alarm, gaps_of, label, middle, verdict
from platebook.reports.drawings.section_names import names_in
from platebook.trade.geometry.section import Across, Dimension, Section, section_of
from platebook.trade.setup_sheet import SetUpSheet

LABELS = 32
LEAST_COLUMNS = LABELS + 16
LEAST_ROWS = 8
LEVELS = (
    "table height",
    "seat",
    "wall",
    "stone",
    "seat depth",
    "ledge",
    "sheet",
    "culet clearance",
)
NAMED = "bold"
"""The style of a part's name, where there are styles."""
PLAIN: Mapping[str, str] = {}
INSET = (20, 5)
"""Columns and rows of a magnified gap."""

WIDE_OF_GAP = 5.0


def section_text(
    sizes: SetUpSheet, *, columns: int, rows: int, cut: Across = "across"
) -> tuple[str, ...]:
    """The section in at most this many columns and rows, with its sizes, and the line that says it.

    The picture is as wide as high in scale, a cell being one unit wide and two high. The lines of
    text come below it and are not counted among the rows; with no room for a picture they are all.
    A ring is cut across or along.
    """
    section = section_of(sizes, cut=cut)
    words = (*textwrap.wrap(section.line, columns), *textwrap.wrap(verdict(section), columns))
    if columns < LEAST_COLUMNS or rows < LEAST_ROWS:
        return words
    return (*_picture(section, columns, rows), *words)


def section_sketch(
    section: Section,
    columns: int,
    rows: int,
    styles: Mapping[str, str] = PLAIN,
    view: Window | None = None,
) -> Sketch:
    """The section on a board of braille dots, all of it or what is in view.

    `styles` are those of `metal` and `stone`.
    """
    board = Sketch(columns, rows)
    metal, stone = styles.get("metal", ""), styles.get("stone", "")
    scale, left, top = _fitted(view or whole(section), board)

    def placed(points: tuple[Point, ...]) -> list[Point]:
        return [(left + x * scale, top + y * scale) for x, y in points]

    for shape in section.shapes:
        if shape.name != "stone":
            board.hatch(placed(shape.points), metal)
            board.outline(placed(shape.points), metal)
    for shape in section.shapes:
        if shape.name == "stone":
            board.outline(placed(shape.points), stone)
            (first, level), *_, (last, _) = sorted(placed(shape.points))
            board.stroke((first, level), (last, level), stone, every=3)
    return board


def named_cells(
    section: Section, columns: int, rows: int, styles: Mapping[str, str] = PLAIN
) -> list[list[tuple[str, str]]]:
    """All of it in cells of a sign and its style, with the names of its parts."""
    cells = section_sketch(section, columns, rows, styles).cells()
    for name in names_in(section, columns, rows):
        # A blank on either side keeps the hatching off the letters.
        for place, letter in enumerate(f" {name.word} ", name.column - 1):
            cells[name.row][place] = (letter, NAMED)
    return cells


def _fitted(view: Window, board: Sketch) -> tuple[float, float, float]:
    """Dots a millimetre, and where the axis meets the sheet's surface, in dots."""
    left, high, right, low = view
    scale = min((board.width - 2) / (right - left), (board.height - 2) / (low - high))
    above = (board.height - (low - high) * scale) / 2
    return scale, board.width / 2 - (left + right) / 2 * scale, above - high * scale


def _picture(section: Section, columns: int, rows: int) -> list[str]:
    inset = _inset(section, columns) if rows - INSET[1] >= LEAST_ROWS else []
    rows -= len(inset)
    scale, _, top = _fitted(whole(section), Sketch(columns - LABELS, rows))
    beside = _beside(section, rows, scale, top)
    named = named_cells(section, columns - LABELS, rows)
    lines = ("".join(sign for sign, _ in row) for row in named)
    drawn = [
        f"{line} {beside[number]}" if number in beside else line.rstrip()
        for number, line in enumerate(lines)
    ]
    filled = [number for number, line in enumerate(drawn) if line]
    return [*drawn[filled[0] : filled[-1] + 1], *inset]


def _inset(section: Section, columns: int) -> list[str]:
    """The smallest gap once more, magnified: what is too small for the picture above."""
    gap = next(iter(gaps_of(section)), None)
    if gap is None or columns < INSET[0] + 2 + len(gap.sentence):
        return []
    board = section_sketch(section, INSET[0], INSET[1], view=around(gap))
    lines = ["".join(sign for sign, _ in row) for row in board.cells()]
    halfway = INSET[1] // 2
    return [
        f"{line}  {gap.sentence}" if number == halfway else line.rstrip()
        for number, line in enumerate(lines)
    ]


def around(gap: Gap) -> Window:
    """What is shown of a section so that this gap is seen: five gaps wide, about its middle."""
    x, y = ((a + b) / 2 for a, b in zip(gap.start, gap.end, strict=True))
    half = WIDE_OF_GAP * abs(gap.mm) / 2
    return x - half, y - half, x + half, y + half


def _beside(section: Section, rows: int, scale: float, top: float) -> dict[int, str]:
    """What is said beside each row: a dimension stands level with its middle where there is room.

    The order down the page is kept, so that of two at one height the upper one stands above.
    """
    shown = [d for d in section.dimensions if d.name in LEVELS]
    shown.sort(key=lambda d: (middle(d), LEVELS.index(d.name)))
    free = 0
    beside = {}
    for place, dimension in enumerate(shown):
        level = math.floor((top + middle(dimension) * scale) / 4)
        latest = rows - (len(shown) - place)
        free = min(max(free, level), latest)
        beside[free] = _words(dimension, section)
        free += 1
    return beside


def _words(dimension: Dimension, section: Section) -> str:
    wrong = alarm(dimension, section.states)
    return f"! {label(dimension)} {wrong}" if wrong else f"- {label(dimension)}"
