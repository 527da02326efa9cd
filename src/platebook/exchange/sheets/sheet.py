"""A table as it lies in a file, before anybody says what its columns mean: headings, then rows."""

from collections.abc import Callable, Mapping, Sequence

from platebook.practice.problem import Problem
from platebook.values import Value, field, replace

Known = Callable[[Sequence[str]], int]
"""Counts the headings that mean something."""

LOOKED_AT = 20
"""Rows in which the headings may stand; people put a title above them."""


class Record(Value):
    """The cells of one record, and the line of the file on which it begins."""

    line: int
    cells: tuple[str, ...]

    @property
    def empty(self) -> bool:
        """Whether nothing is written in any cell."""
        return not any(map(str.strip, self.cells))


class Sheet(Value):
    """One table of a file.

    `title` is the sheet's name, "" in a text file. `rows` are the records below the headings that
    have anything in them, `numbers` how many rows below the headings each stands. `unsaved` are
    formulas without a saved result by line and column (from 0), `summed` the lines in which a
    formula counts or sums up several cells, `hidden` the lines that the spreadsheet does not show.
    `told` is what was noticed on the way.
    """

    head: Record
    rows: tuple[Record, ...] = ()
    numbers: tuple[int, ...] = ()
    title: str = ""
    unsaved: Mapping[tuple[int, int], str] = field(default_factory=dict)
    summed: frozenset[int] = frozenset()
    hidden: tuple[int, ...] = ()
    told: tuple[Problem, ...] = ()

    def without(self, lines: frozenset[int]) -> "Sheet":
        """The same table without the rows on these lines."""
        if not lines:
            return self
        kept = [(r, n) for r, n in zip(self.rows, self.numbers, strict=True) if r.line not in lines]
        return replace(self, rows=tuple(r for r, _ in kept), numbers=tuple(n for _, n in kept))


Read = tuple[tuple[Sheet, ...], tuple[Problem, ...]]
"""The tables of a file and what was wrong with it."""


def heading_place(records: Sequence[Record], known: Known) -> int | None:
    """The place of the line of headings among the first records; None where all are empty.

    It is the one with most headings that mean something, the first of several; without any the
    first that is not empty.
    """
    looked_at = range(min(len(records), LOOKED_AT))
    filled = [place for place in looked_at if not records[place].empty]
    if not filled:
        return next((n for n, record in enumerate(records) if not record.empty), None)
    best = max(filled, key=lambda place: (known(records[place].cells), -place))
    return best if known(records[best].cells) else filled[0]


def column_letters(place: int) -> str:
    """The letters of a column as spreadsheets show them, counted from 0: A, B, ... Z, AA."""
    letters = ""
    number = place + 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
