"""Attempts out of a CSV file and into one.

`docs/csv.md` explains the columns. What `write_csv` writes, `import_csv` reads back exactly.
"""

import csv
import dataclasses
import io
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, tzinfo

from platebook.exchange.csv_cells import Record, read_records, read_text
from platebook.exchange.headings import Columns, known_headings, place_columns
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course
from platebook.practice.fields import fields
from platebook.practice.moments import SlashOrder
from platebook.practice.problem import Problem, only_problems
from platebook.practice.reading_rows import read_attempts
from platebook.practice.writing_rows import write_row

_NO_MAP: Mapping[str, str] = {}
_FORMULA = "=+@\t\r\n\\-\uff1d\uff0b\uff0d\uff20"
_GUARDED = re.compile(rf"'?[{_FORMULA}]|''")
_NUMBER = re.compile(r"[+-]?[0-9]*[.,]?[0-9]+")


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of a file by field name, the line of each, and each field's heading as typed."""

    rows: tuple[Mapping[str, str], ...] = ()
    lines: tuple[int, ...] = ()
    headings: Mapping[str, str] = dataclasses.field(default_factory=dict)


def read_table(
    data: bytes, *, column_map: Mapping[str, str] = _NO_MAP, extra: Iterable[str] = ()
) -> tuple[Table, tuple[Problem, ...]]:
    """The rows of a CSV file by field name, and what is wrong with the file as a table.

    `column_map` says which field a heading means; `extra` names fields beside the record's own.
    Blank lines give empty rows, so that rows keep their numbers.
    """
    extra = tuple(extra)
    text, fault = read_text(data)
    if fault is not None:
        return Table(), (fault,)
    records, fault = read_records(
        text, lambda head: known_headings(head, column_map=column_map, extra=extra)
    )
    problems = [] if fault is None else [fault]
    if not records:
        problems = problems or [Problem(0, "file", "", "a line of headings, then the attempts")]
        return Table(), tuple(problems)
    head, *body = records
    columns, found = place_columns(head.cells, column_map=column_map, extra=extra, line=head.line)
    problems += found
    if not columns.headings and not only_problems(found):
        expected = "at least one heading that is a field of the record, or a column map"
        problems.append(Problem(0, "file", ", ".join(head.cells), expected, line=head.line))
    rows = [_row(number, record, columns, problems) for number, record in enumerate(body, 1)]
    return Table(tuple(rows), tuple(r.line for r in body), columns.headings), tuple(problems)


def import_csv(
    data: bytes,
    *,
    column_map: Mapping[str, str] = _NO_MAP,
    course: Course | None = None,
    zone: tzinfo = UTC,
    dates: SlashOrder | None = None,
) -> tuple[tuple[Attempt, ...], tuple[Problem, ...]]:
    """The attempts of a CSV file and all problems, each with row, line and heading as typed.

    The arguments are those of `read_attempts`. Where a problem is among the problems, nothing of
    the file should be stored.
    """
    extra = [field.name for field in course.extra] if course is not None else []
    table, problems = read_table(data, column_map=column_map, extra=extra)
    attempts, found = read_attempts(table.rows, course=course, zone=zone, dates=dates)
    located = [
        dataclasses.replace(
            problem,
            field=table.headings.get(problem.field, problem.field),
            line=table.lines[problem.row - 1],
        )
        for problem in found
    ]
    return attempts, (*problems, *located)


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


def _row(
    number: int, record: Record, columns: Columns, problems: list[Problem]
) -> Mapping[str, str]:
    if record.empty:
        return {}
    width = len(columns.fields)
    if len(record.cells) < width or any(map(str.strip, record.cells[width:])):
        expected = f"{width} cells, as many as headings; here are {len(record.cells)}"
        if len(record.cells) > width:
            expected += " (a comma inside a cell needs quotes around the cell)"
        read = " | ".join(record.cells)
        problems.append(Problem(number, "file", read, expected, line=record.line))
        return {}
    cells = zip(columns.fields, record.cells, strict=False)
    return {field: _unguard(cell) for field, cell in cells if field and cell}


def _guard(text: str) -> str:
    return f"'{text}" if _GUARDED.match(text) and not _NUMBER.fullmatch(text) else text


def _unguard(cell: str) -> str:
    return cell[1:] if cell.startswith("'") and _GUARDED.match(cell) else cell
