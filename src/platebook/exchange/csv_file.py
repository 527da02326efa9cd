"""Attempts out of a CSV file and into one.

`docs/fields.md` lists the columns. What `write_csv` writes, `import_csv` reads back exactly.
"""

import csv
import io
import re
from collections.abc import Iterable, Mapping
from datetime import UTC, tzinfo

from platebook.exchange.csv_cells import read_records, read_text
from platebook.exchange.table import NO_MAP, Reading, Table, attempts_in, table_of
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course
from platebook.practice.fields import fields
from platebook.practice.moments import SlashOrder
from platebook.practice.problem import Problem
from platebook.practice.writing_rows import write_row

_FORMULA = "=+@\t\r\n\\-\uff1d\uff0b\uff0d\uff20"
_GUARDED = re.compile(rf"'?[{_FORMULA}]|''")
_NUMBER = re.compile(r"[+-]?[0-9]*[.,]?[0-9]+")

_PLAINLY = Reading()


def read_table(data: bytes, reading: Reading = _PLAINLY) -> tuple[Table, tuple[Problem, ...]]:
    """The rows of a CSV file by field name, and what is wrong with the file as a table."""
    text, fault = read_text(data)
    if fault is not None:
        return Table(), (fault,)
    records, fault = read_records(text, reading.known)
    return table_of((records, () if fault is None else (fault,)), reading, meant=_unguard)


def import_csv(
    data: bytes,
    *,
    column_map: Mapping[str, str] = NO_MAP,
    course: Course | None = None,
    zone: tzinfo = UTC,
    dates: SlashOrder | None = None,
) -> tuple[tuple[Attempt, ...], tuple[Problem, ...]]:
    """`read_csv` with the meanings of the table as arguments."""
    return read_csv(data, Reading(column_map=column_map, course=course, zone=zone, dates=dates))


def read_csv(data: bytes, reading: Reading) -> tuple[tuple[Attempt, ...], tuple[Problem, ...]]:
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
