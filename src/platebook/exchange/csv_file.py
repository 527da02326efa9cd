"""Attempts out of a CSV file and into one, with every problem at its line.

The text is UTF-8, with or without a byte order mark; no other encoding is guessed, because a wrong
guess changes names silently. The separator is a comma, a semicolon or a tab.

`docs/fields.md` lists the columns. What `write_csv` writes, `import_csv` reads back exactly.
"""

import csv
import io
import itertools
import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import UTC, tzinfo

from platebook.exchange.table import (
    NO_MAP,
    Known,
    Record,
    Table,
    TableMeaning,
    attempts_in,
    table_of,
)
from platebook.practice.attempt import Attempt
from platebook.practice.attempt_rows import write_row
from platebook.practice.course import Course
from platebook.practice.fields import fields
from platebook.practice.problem import Problem
from platebook.practice.timestamps import SlashOrder

SEPARATORS = (",", ";", "\t")
_LOOKED_AT = 50
_SHOWN = 80


class _UnreadableError(Exception):
    """A record that cannot be taken apart, with the line on which it begins."""

    def __init__(self, line: int, reason: str) -> None:
        super().__init__(reason)
        self.line = line


def read_text(data: bytes) -> tuple[str, Problem | None]:
    """The text of the file, or the first byte that cannot be text."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "", _problem(1, "UTF-16", "UTF-8; in a spreadsheet, save as CSV UTF-8")
    if b"\0" in data:
        return "", _problem(_line_of(data, data.index(b"\0")), "a zero byte", "text only")
    try:
        return data.decode("utf-8-sig"), None
    except UnicodeDecodeError as error:
        before = data[: error.start].split(b"\n")[-1][-20:].decode(errors="replace")
        read = f"byte 0x{data[error.start]:02x} after {before!r}"
        expected = "UTF-8; in a spreadsheet, save as CSV UTF-8"
        return "", _problem(_line_of(data, error.start), read, expected)


def read_records(text: str, known: Known) -> tuple[tuple[Record, ...], Problem | None]:
    """All records from the heading line on, or as far as the file can be read.

    `known` counts the headings that mean something, which decides between separators.
    """
    first_line = text.split("\n", 1)[0].strip()
    if first_line[:4].lower() == "sep=" and first_line[4:] in {",", ";", ""}:
        separator, skipped = first_line[4:] or "\t", 1
    else:
        separator, skipped = _separator(text, known), 0
    records: list[Record] = []
    try:
        for record in itertools.islice(_records(text, separator, strict=True), skipped, None):
            if records or not record.empty:
                records.append(record)
    except _UnreadableError as error:
        read = text.split("\n")[error.line - 1].strip()[:_SHOWN]
        expected = f"cells that can be told apart ({error}); look for a quote that is not closed"
        return tuple(records), _problem(error.line, read, expected)
    return tuple(records), None


def _separator(text: str, known: Known) -> str:
    """The separator that makes most known headings, then rows most like the heading line."""

    def worth(separator: str) -> tuple[int, float, int]:
        head = list(itertools.islice(_records(text, separator, strict=False), _LOOKED_AT))
        filled = [record.cells for record in head if not record.empty]
        if not filled:
            return 0, 0.0, 0
        alike = sum(len(cells) == len(filled[0]) for cells in filled) / len(filled)
        return known(filled[0]), alike, len(filled[0])

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


def _line_of(data: bytes, at: int) -> int:
    return data.count(b"\n", 0, at) + 1


def _problem(line: int, read: str, expected: str) -> Problem:
    return Problem(0, "file", read, expected, line=line)


_FORMULA = "=+@\t\r\n\\-\uff1d\uff0b\uff0d\uff20"
_GUARDED = re.compile(rf"'?[{_FORMULA}]|''")
_NUMBER = re.compile(r"[+-]?[0-9]*[.,]?[0-9]+")

_PLAINLY = TableMeaning()


def read_table(data: bytes, reading: TableMeaning = _PLAINLY) -> tuple[Table, tuple[Problem, ...]]:
    """The rows of a CSV file by field name, and what is wrong with the file as a table."""
    text, problem = read_text(data)
    if problem is not None:
        return Table(), (problem,)
    records, problem = read_records(text, reading.known)
    return table_of((records, () if problem is None else (problem,)), reading, meant=_unguard)


def import_csv(
    data: bytes,
    *,
    column_map: Mapping[str, str] = NO_MAP,
    course: Course | None = None,
    zone: tzinfo = UTC,
    dates: SlashOrder | None = None,
) -> tuple[tuple[Attempt, ...], tuple[Problem, ...]]:
    """`read_csv` with the meanings of the table as arguments."""
    return read_csv(
        data, TableMeaning(column_map=column_map, course=course, zone=zone, dates=dates)
    )


def read_csv(data: bytes, reading: TableMeaning) -> tuple[tuple[Attempt, ...], tuple[Problem, ...]]:
    """The attempts of a CSV file and all problems, each with row, line and heading as typed.

    Where a problem is among the problems, nothing of the file should be stored.
    """
    return attempts_in(*read_table(data, reading), reading)


def write_csv(attempts: Iterable[Attempt]) -> str:
    """All attempts with every field of the record, then the fields that courses added.

    A cell that a spreadsheet would take for a formula begins with an apostrophe, which reading
    takes away again.
    """
    rows = [write_row(attempt) for attempt in attempts]
    columns = list(dict.fromkeys([*fields(), *(name for row in rows for name in row)]))
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(columns)
    writer.writerows([_guard(row.get(name, "")) for name in columns] for row in rows)
    return out.getvalue()


def _guard(text: str) -> str:
    return f"'{text}" if _GUARDED.match(text) and not _NUMBER.fullmatch(text) else text


def _unguard(cell: str) -> str:
    return cell[1:] if cell.startswith("'") and _GUARDED.match(cell) else cell
