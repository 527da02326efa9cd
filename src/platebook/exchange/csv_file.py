"""Attempts out of a CSV file and into one, with every problem at its line.

The text is UTF-8, with or without a byte order mark; another encoding has to be named, because a
wrong guess changes names silently, and the likely one is told. The separator is a comma, a
semicolon or a tab.

`docs/fields.md` lists the columns. What `write_csv` writes, `import_csv` reads back exactly.
"""

import csv
import io
import itertools
import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import UTC, tzinfo

from platebook.exchange.encodings import decoded
from platebook.exchange.sheets.meaning import TableMeaning
from platebook.exchange.sheets.sheet import Known, Read, Record, Sheet, heading_place
from platebook.exchange.sheets.table import attempts_in, table_of
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.practice.fields import fields
from platebook.practice.problem import Problem
from platebook.practice.reading.attempt_rows import OFFSET, write_row
from platebook.practice.reading.timestamps import SlashOrder

SEPARATORS = (",", ";", "\t")
_LOOKED_AT = 50
_SHOWN = 80
_LINE_ENDS = re.compile(r"\r\n|\r|\n")
NO_MAP: Mapping[str, str] = {}


class _UnreadableError(Exception):
    """A record that cannot be taken apart, with the line on which it begins."""

    def __init__(self, line: int, reason: str) -> None:
        super().__init__(reason)
        self.line = line


def read_records(text: str, known: Known) -> tuple[tuple[Record, ...], Problem | None]:
    """All records, or as far as the file can be read.

    `known` counts the headings that mean something, which decides between separators.
    """
    first_line = text.split("\n", 1)[0].strip()
    if first_line[:4].lower() == "sep=" and first_line[4:] in {",", ";", ""}:
        separator, skipped = first_line[4:] or "\t", 1
    else:
        separator, skipped = _separator(text, known), 0
    records: list[Record] = []
    try:
        records.extend(itertools.islice(_records(text, separator, strict=True), skipped, None))
    except _UnreadableError as error:
        lines = _LINE_ENDS.split(text)
        read = lines[min(error.line, len(lines)) - 1].strip()[:_SHOWN]
        signs = (sign for sign in _SAID_OF if sign in str(error))
        expected = _SAID_OF.get(next(signs, ""), "cells that can be told apart")
        problem = Problem(0, "file", read, expected, line=error.line)
        return tuple(records), problem
    return tuple(records), None


def _separator(text: str, known: Known) -> str:
    """The separator that makes most known headings, then rows most like the heading line."""

    def worth(separator: str) -> tuple[int, float, int]:
        head: list[Record] = []
        try:
            for record in itertools.islice(_records(text, separator, strict=False), _LOOKED_AT):
                head.append(record)  # noqa: PERF402 - what was read before a fault counts
        except _UnreadableError:
            pass
        filled = [record for record in head if not record.empty]
        place = heading_place(filled, known)
        if place is None:
            return 0, 0.0, 0
        cells = filled[place].cells
        rest = filled[place:]
        alike = sum(len(record.cells) == len(cells) for record in rest) / len(rest)
        return known(cells), alike, len(cells)

    return max(SEPARATORS, key=worth)


def _records(text: str, separator: str, *, strict: bool) -> Iterator[Record]:
    reader = csv.reader(
        io.StringIO(text, newline=""), delimiter=separator, skipinitialspace=True, strict=strict
    )
    line = 1
    try:
        for cells in reader:
            yield Record(line, tuple(cells))
            line = reader.line_num + 1
    except csv.Error as error:
        raise _UnreadableError(line, str(error)) from error


_SAID_OF = {
    "field larger": f"cells of at most {csv.field_size_limit():,} characters; look for a quote "
    "that is not closed: all that follows is one cell then",
    "unexpected end": "the end of a cell; look for a quote that is not closed",
    "expected after": "cells that can be told apart; look for a quote in the middle of one",
}
"""What is expected where the standard library's reader gives up, by what it says."""

_FORMULA = "=+@\t\r\n\\-\uff1d\uff0b\uff0d\uff20"
_GUARDED = re.compile(rf"'?[{_FORMULA}]|''")
_NUMBER = re.compile(r"[+-]?[0-9]*[.,]?[0-9]+")

_PLAINLY = TableMeaning()


def read_csv_sheets(data: bytes, reading: TableMeaning = _PLAINLY) -> Read:
    """The one table of a CSV file, and what is wrong with the file."""
    text, problem = decoded(data, reading.answers.encoding)
    if problem is not None:
        return (), (problem,)
    records, problem = read_records(text, reading.known)
    problems = () if problem is None else (problem,)
    place = heading_place(records, reading.known)
    if place is None:
        return (), problems
    head, *below = records[place:]
    numbered = [(n, record) for n, record in enumerate(below, 1) if not record.empty]
    rows = tuple(Record(record.line, _unguarded(record.cells)) for _, record in numbered)
    return (Sheet(head, rows, tuple(n for n, _ in numbered)),), problems


def import_csv(
    data: bytes,
    *,
    column_map: Mapping[str, str] = NO_MAP,
    course: Course | None = None,
    zone: tzinfo = UTC,
    dates: SlashOrder | None = None,
) -> tuple[tuple[Attempt, ...], tuple[Problem, ...]]:
    """The attempts of a CSV file and all problems, each with row, line and heading as typed.

    `column_map` says which field a heading of one's own means; the others are those of
    `read_attempts`. Where a problem is among the problems, nothing of the file should be stored.
    """
    reading = TableMeaning(column_map=column_map, course=course, zone=zone)
    reading = reading.answering(reading.answers.with_dates(dates))
    return attempts_in(table_of(read_csv_sheets(data, reading), reading), reading)


def write_csv(
    attempts: Iterable[Attempt], *, separator: str = ",", decimal_comma: bool = False
) -> str:
    """All attempts with every field of the record, then the fields that courses added.

    Times stand as a clock on the wall showed them, in summer as in winter, and what they are ahead
    of UTC in a column of its own; a day whose hour nobody wrote down is only a day.
    A cell that a spreadsheet would take for a formula begins with an apostrophe, which reading
    takes away again. With `decimal_comma` the numbers have one, as spreadsheets of many countries
    want them beside `;`.
    """
    rows = [_row(attempt) for attempt in attempts]
    filled = dict.fromkeys(name for row in rows for name in row)
    added = [name for name in filled if name != OFFSET]
    columns = list(dict.fromkeys([*fields(), *added, *(n for n in filled if n == OFFSET)]))
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=separator)
    writer.writerow(columns)
    if decimal_comma:
        rows = [{name: _with_comma(name, text) for name, text in row.items()} for row in rows]
    writer.writerows([_guard(row.get(name, "")) for name in columns] for row in rows)
    return out.getvalue()


def _row(attempt: Attempt) -> dict[str, str]:
    row = write_row(attempt)
    if attempt.began is None or attempt.day_only:
        return row
    wall = attempt.began.replace(tzinfo=None).isoformat()
    # A spreadsheet would take a bare +01:00 for one o'clock.
    return row | {"began": wall.replace("T", " "), OFFSET: f"UTC{row['began'][len(wall) :]}"}


_DECIMAL = re.compile(r"-?[0-9]+\.[0-9]+")


def _with_comma(name: str, text: str) -> str:
    field = fields().get(name)
    number = field is None or field.type in {"number", "length"}
    return text.replace(".", ",") if number and _DECIMAL.fullmatch(text) else text


def _guard(text: str) -> str:
    return f"'{text}" if _GUARDED.match(text) and not _NUMBER.fullmatch(text) else text


def _unguarded(cells: tuple[str, ...]) -> tuple[str, ...]:
    return tuple([c[1:] if c[:1] == "'" and _GUARDED.match(c) else c for c in cells])
