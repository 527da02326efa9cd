"""Names of people as lists have them: one a line, or a table with a column of them.

A table is told by a heading that means a name ("name", "student"), or by first and last names in
columns of their own. Without one the first column is names; a single column of "Quill, Ada" is
turned round.
"""

from collections.abc import Sequence

from platebook.exchange.csv_file import read_records
from platebook.exchange.encodings import decoded
from platebook.exchange.sheets.sheet import Record
from platebook.exchange.sheets.words import bare, heading_meanings
from platebook.exchange.xlsx_file import read_xlsx_sheets
from platebook.practice.problem import Problem

FIRST = frozenset({"first name", "first", "given name", "forename", "vorname"})
LAST = frozenset({"last name", "last", "surname", "family name", "nachname", "familienname"})
WHOLE = frozenset({"full name", "pupil", "pupils", "students", "names", "participant"})
MOST = 5000
"""More names than any class has: what holds more is no list of people."""


def names_in(data: bytes, *, workbook: bool) -> tuple[tuple[str, ...], Problem | None]:
    """The names in a file, in its order, or what is wrong with it."""
    if workbook:
        sheets, problems = read_xlsx_sheets(data)
        if problems or not sheets:
            return (), problems[0] if problems else _problem("an empty workbook")
        records: tuple[Record, ...] = (sheets[0].head, *sheets[0].rows)
    else:
        text, problem = decoded(data)
        if problem is not None:
            return (), problem
        records, problem = read_records(text, _known)
        if problem is not None:
            return (), problem
    names = _names([record.cells for record in records if not record.empty])
    if not names:
        return (), _problem("no names")
    if len(names) > MOST:
        return (), _problem(f"{len(names)} names")
    return names, None


def _problem(read: str) -> Problem:
    return Problem(0, "file", read, "a list of names, one a line, or a table with a column of them")


def _known(headings: Sequence[str]) -> int:
    return sum(_means(heading) is not None for heading in headings)


def _means(heading: str) -> str | None:
    """What a heading says of names: "whole", "first" or "last"; None for another column."""
    word = bare(heading)
    if word in FIRST:
        return "first"
    if word in LAST:
        return "last"
    return "whole" if word in WHOLE or "setter" in heading_meanings().get(word, ()) else None


def _names(rows: Sequence[tuple[str, ...]]) -> tuple[str, ...]:
    if not rows:
        return ()
    meanings = [_means(heading) for heading in rows[0]]
    if "first" in meanings and "last" in meanings:
        places = meanings.index("first"), meanings.index("last")
        found = (" ".join(_cell(row, place) for place in places) for row in rows[1:])
    elif "whole" in meanings:
        found = (_cell(row, meanings.index("whole")) for row in rows[1:])
    elif all(len(row) == 2 for row in rows):
        # "Quill, Ada" a line is the same as a first column of last names.
        found = (f"{_cell(row, 1)} {_cell(row, 0)}" for row in rows)
    else:
        found = (_cell(row, 0) for row in rows)
    names = (name.strip() for name in found)
    return tuple(name for name in names if name)


def _cell(row: Sequence[str], place: int) -> str:
    return row[place].strip() if place < len(row) else ""
