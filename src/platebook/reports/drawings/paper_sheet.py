"""A sheet for the bench: a row a position, the columns in the order of the form, targets filled in.

It is written on with a pencil and typed in afterwards, a column at a time, as the plate grid asks.
"""

from platebook.reports.drawings.svg import HEAVY, MUTED, THIN, line, page, wide, write, written
from platebook.values import Value

WIDTH, LEAST_HEIGHT = 297.0, 210.0
MARGIN = 12.0
ROW = 8.0
FIRST = 14.0
"""Width of the column of positions."""

NARROWEST = 20.0
BOLD = 1.15
"""How much wider bold letters are."""

NOTE = "note"
TITLE, DETAIL, SMALL = 5.0, 3.2, 2.6


class PaperColumn(Value):
    """One column: its name, what is wanted, and what each digit means."""

    label: str
    target: str = ""
    digits: tuple[tuple[str, str], ...] = ()

    @property
    def legend(self) -> str:
        """The digits in words: "fit: 1 will not enter, 2 enters with a firm push"."""
        return f"{self.label}: {', '.join(f'{key} {words}' for key, words in self.digits)}"


class PaperSheet(Value):
    """What is printed: a title, lines about the set-up, the positions and the columns."""

    title: str
    details: tuple[str, ...]
    positions: tuple[str, ...]
    columns: tuple[PaperColumn, ...]

    @property
    def legends(self) -> tuple[str, ...]:
        """What the digits of each column mean, for those that have any."""
        return tuple(column.legend for column in self.columns if column.digits)


def paper_svg(sheet: PaperSheet) -> str:
    """The sheet as the text of an SVG file, A4 across; it grows downwards for many positions."""
    legends = [part for legend in sheet.legends for part in _lines(legend)]
    head = MARGIN + 8 + 5 * len(sheet.details)
    table = head + 12
    foot = table + ROW * len(sheet.positions)
    height = max(LEAST_HEIGHT, foot + 8 + 4 * len(legends) + MARGIN)
    root = page(WIDTH, height, title=sheet.title, description=" ".join(sheet.details))
    write(root, (MARGIN, MARGIN + 4), sheet.title, size=TITLE, bold=True)
    write(root, (WIDTH - MARGIN, MARGIN + 4), "Day ______________", size=DETAIL, anchor="end")
    for place, words in enumerate(sheet.details):
        write(root, (MARGIN, MARGIN + 11 + 5 * place), words, size=DETAIL)
    edges = _edges(sheet.columns)
    for left, column in zip(edges, (PaperColumn("no."), *sheet.columns), strict=False):
        write(root, (left + 1, table - 5.5), column.label, size=DETAIL, bold=True)
        write(root, (left + 1, table - 1.5), column.target, size=SMALL, colour=MUTED)
    for place, position in enumerate(sheet.positions):
        write(root, (MARGIN + 1, table + ROW * (place + 0.65)), position, size=DETAIL)
    for place in range(len(sheet.positions) + 1):
        y = table + ROW * place
        line(root, (MARGIN, y), (WIDTH - MARGIN, y), width=THIN if place else HEAVY)
    for x in edges:
        line(root, (x, table - 10), (x, foot), width=THIN)
    for place, words in enumerate(legends):
        write(root, (MARGIN, foot + 6 + 4 * place), words, size=SMALL)
    return written(root)


def _edges(columns: tuple[PaperColumn, ...]) -> list[float]:
    """The left edges of all columns and the right edge of the last; the note has what is left."""
    least = [
        max(BOLD * wide(c.label, DETAIL), wide(c.target, SMALL)) + 2
        for c in columns
        if c.label != NOTE
    ]
    needed = [max(NARROWEST, words) for words in least]
    room = (WIDTH - 2 * MARGIN - FIRST) * 0.85
    # What is wider than its words gives way first.
    over, spare = max(0.0, sum(needed) - room), sum(needed) - sum(least)
    gives = min(1.0, over / spare) if spare else 0.0
    needed = [width - gives * (width - words) for width, words in zip(needed, least, strict=True)]
    shrink = min(1.0, room / sum(needed))
    edges = [MARGIN, MARGIN + FIRST]
    for width in needed:
        edges.append(edges[-1] + width * shrink)
    return [*edges, WIDTH - MARGIN]


_LETTERS = int((WIDTH - 2 * MARGIN) / (SMALL * 0.5))


def _lines(text: str) -> list[str]:
    """The text in lines that the page has room for."""
    lines, current = [], ""
    for word in text.split(" "):
        if current and len(current) + len(word) >= _LETTERS:
            lines.append(current)
            current = f"   {word}"
        else:
            current = f"{current} {word}".strip() if current.strip() else word
    return [*lines, current]
