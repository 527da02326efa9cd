"""A table of attempts, whatever file it came in: headings, rows, and what is wrong with them.

Headings are forgiven their case, blanks and signs: "Stone diameter (mm)" is stone_diameter_mm. A
column map says what a heading of one's own means.
"""

import dataclasses
import difflib
import functools
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, tzinfo

from platebook.practice.attempt import Attempt
from platebook.practice.attempt_rows import read_attempts
from platebook.practice.course import Course
from platebook.practice.fields import fields
from platebook.practice.problem import Problem, only_problems
from platebook.practice.text import clean
from platebook.practice.timestamps import SlashOrder

NO_MAP: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True)
class Record:
    """The cells of one record, and the line of the file on which it begins."""

    line: int
    cells: tuple[str, ...]

    @property
    def empty(self) -> bool:
        """Whether nothing is written in any cell."""
        return not any(map(str.strip, self.cells))


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of a file by field name, the line of each, and each field's heading as typed."""

    rows: tuple[Mapping[str, str], ...] = ()
    lines: tuple[int, ...] = ()
    headings: Mapping[str, str] = dataclasses.field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class HeadingColumns:
    """Field by column (None where it is not read) and the heading of each field as typed."""

    fields: tuple[str | None, ...]
    headings: Mapping[str, str]


Known = Callable[[Sequence[str]], int]
"""Counts the headings that mean something."""

Read = tuple[tuple[Record, ...], tuple[Problem, ...]]
"""The records of a file from its heading line on, and what was wrong with it so far."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TableMeaning:
    """How a table is meant.

    `column_map` says which field a heading of one's own means; `watch` is told how many rows are
    read, of how many; the others are those of `read_attempts`.
    """

    column_map: Mapping[str, str] = dataclasses.field(default_factory=dict)
    course: Course | None = None
    zone: tzinfo = UTC
    dates: SlashOrder | None = None
    watch: Callable[[int, int], None] | None = None

    def watched(self, rows: Sequence[Mapping[str, str]]) -> Iterator[Mapping[str, str]]:
        """The rows one after the other, as `watch` is told."""
        for number, row in enumerate(rows):
            if self.watch is not None:
                self.watch(number, len(rows))
            yield row

    @property
    def extra(self) -> tuple[str, ...]:
        """Fields beside the record's own."""
        return tuple(f.name for f in self.course.extra) if self.course is not None else ()

    def known(self, headings: Sequence[str]) -> int:
        """How many of these headings hold a field or are mapped to one."""
        return known_headings(headings, column_map=self.column_map, extra=self.extra)


def read_column_map(pairs: Iterable[str]) -> tuple[Mapping[str, str], tuple[Problem, ...]]:
    """A column map from pairs such as "Their heading=our_field"."""
    found: dict[str, str] = {}
    problems: list[Problem] = []
    for pair in pairs:
        heading, sign, field = pair.rpartition("=")
        if not sign or not heading.strip() or not field.strip():
            problems.append(Problem(0, "map", clean(pair), '"Their heading=our_field"'))
        elif heading.strip() in found:
            problems.append(Problem(0, "map", clean(pair), "each heading once"))
        else:
            found[heading.strip()] = field.strip()
    return found, tuple(problems)


def place_columns(
    typed: Sequence[str],
    *,
    column_map: Mapping[str, str] = NO_MAP,
    extra: Iterable[str] = (),
    line: int | None = None,
) -> tuple[HeadingColumns, tuple[Problem, ...]]:
    """The columns of a heading line; `extra` names fields beside the record's own.

    A column that holds no field of the record is a notice and is not read.
    """
    names = _names_by_key(tuple(extra))
    headings = [clean(heading) for heading in typed]
    problems = [Problem(0, *fault, line=line) for fault in _map_faults(headings, column_map, names)]
    mapped = {_key(heading): names.get(_key(name)) for heading, name in column_map.items()}
    columns: list[str | None] = []
    heading_of: dict[str, str] = {}
    for heading in headings:
        key = _key(heading)
        field = mapped[key] if key in mapped else names.get(key)
        if field is None and heading and key not in mapped:
            near = _nearest(key, names)
            expected = f'a field of the record{near}; have it read with --map "{heading}=FIELD"'
            problems.append(Problem(0, heading, heading, expected, "notice", line))
        if field is not None and field in heading_of:
            expected = f"each field once; {heading_of[field]} is {field} too"
            problems.append(Problem(0, heading, heading, expected, line=line))
        elif field is not None:
            heading_of[field] = heading
        columns.append(field)
    return HeadingColumns(tuple(columns), heading_of), tuple(problems)


def known_headings(
    typed: Iterable[str], *, column_map: Mapping[str, str] = NO_MAP, extra: Iterable[str] = ()
) -> int:
    """How many of these headings hold a field or are mapped to one."""
    known = _names_by_key(tuple(extra)).keys() | {_key(heading) for heading in column_map}
    return sum(_key(heading) in known for heading in typed)


@functools.lru_cache(maxsize=8)
def _names_by_key(extra: tuple[str, ...]) -> Mapping[str, str]:
    """The record's fields and these beside them, by what the spellings of each share."""
    return {_key(name): name for name in (*fields(), *extra)}


def _map_faults(
    headings: Sequence[str], column_map: Mapping[str, str], names: Mapping[str, str]
) -> list[tuple[str, str, str]]:
    """What is named in the map and is not there: field, read and expected of each."""
    keys = {_key(heading) for heading in headings}
    faults = []
    for heading, name in column_map.items():
        if _key(heading) not in keys:
            listed = ", ".join(heading for heading in headings if heading)
            faults.append((heading, heading, f"a heading of this file: {listed}"))
        if _key(name) not in names:
            expected = f"a field of the record{_nearest(_key(name), names)}"
            faults.append((heading, name, expected))
    return faults


def _nearest(key: str, names: Mapping[str, str]) -> str:
    near = difflib.get_close_matches(key, names, 1)
    return f"; the nearest is {names[near[0]]}" if near else ""


def _key(heading: str) -> str:
    """What two spellings of one heading have in common; a heading of signs only is itself."""
    words = re.sub(r"[\W_]+", "_", heading.casefold()).strip("_")
    return words or heading


def as_typed(cell: str) -> str:
    """A cell that means what stands in it."""
    return cell


def table_of(
    read: Read, reading: TableMeaning, *, meant: Callable[[str], str] = as_typed
) -> tuple[Table, tuple[Problem, ...]]:
    """The rows by field name, and what is wrong with the file as a table.

    `meant` turns a cell into what was meant by it. Blank lines give empty rows, so that rows keep
    their numbers.
    """
    records, faults = read
    problems = list(faults)
    if not records:
        problems = problems or [Problem(0, "file", "", "a line of headings, then the attempts")]
        return Table(), tuple(problems)
    head, *body = records
    columns, found = place_columns(
        head.cells, column_map=reading.column_map, extra=reading.extra, line=head.line
    )
    problems += found
    if not columns.headings and not only_problems(found):
        expected = "at least one heading that is a field of the record, or a column map"
        problems.append(Problem(0, "file", ", ".join(head.cells), expected, line=head.line))
    rows = [_row(n, record, columns, problems) for n, record in enumerate(body, 1)]
    cells = tuple({name: meant(cell) for name, cell in row.items()} for row in rows)
    return Table(cells, tuple(r.line for r in body), columns.headings), tuple(problems)


def attempts_in(
    table: Table, problems: Iterable[Problem], reading: TableMeaning
) -> tuple[tuple[Attempt, ...], tuple[Problem, ...]]:
    """The attempts of a table and all problems, each with row, line and heading as typed.

    Where a problem is among the problems, nothing of the file should be stored.
    """
    attempts, found = read_attempts(
        reading.watched(table.rows), course=reading.course, zone=reading.zone, dates=reading.dates
    )
    located = [
        dataclasses.replace(
            problem,
            field=table.headings.get(problem.field, problem.field),
            line=table.lines[problem.row - 1],
        )
        for problem in found
    ]
    return attempts, (*problems, *located)


def _row(
    number: int, record: Record, columns: HeadingColumns, problems: list[Problem]
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
    return {field: cell for field, cell in cells if field and cell}
