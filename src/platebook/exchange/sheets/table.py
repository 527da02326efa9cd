"""Attempts out of understood tables: each row by field, in the record's words, with its problems.

A day and a time in two columns are one moment, and a row without a day may have that of the row
above, where somebody said so.
"""

from collections.abc import Iterable, Mapping

from platebook.exchange.sheets.answers import ABOVE, KEEP
from platebook.exchange.sheets.cells import CellReader
from platebook.exchange.sheets.headings import Column, reader_of
from platebook.exchange.sheets.meaning import TableMeaning, key_of, names_by_key
from platebook.exchange.sheets.questions import Question
from platebook.exchange.sheets.sheet import Read, Record
from platebook.exchange.sheets.understanding import Understanding, nearest, understand
from platebook.exchange.sheets.words import ROW_ID, TIME
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import SHEET_ROW, ExtraField, with_extra
from platebook.practice.problem import Problem, only_problems
from platebook.practice.reading.attempt_rows import read_attempts
from platebook.trade.phrases import count_of
from platebook.values import Value, field, replace


class Table(Value):
    """Rows of a file by field name, the line and number of each, and each field's heading."""

    rows: tuple[Mapping[str, str], ...] = ()
    lines: tuple[int, ...] = ()
    numbers: tuple[int, ...] = ()
    headings: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    own: tuple[ExtraField, ...] = ()
    sheets: tuple[str, ...] = ()


def table_of(read: Read, reading: TableMeaning) -> Table:
    """The rows by field name, and what is wrong with the file as a table."""
    sheets, so_far = read
    return rows_of(understand(sheets, reading), so_far)


def rows_of(understood: Understanding, so_far: Iterable[Problem] = ()) -> Table:
    """The rows of tables that are understood, in the record's words."""
    problems = [*so_far, *understood.told]
    if not understood.sheets and not problems:
        problems = [Problem(0, "file", "", "a line of headings, then the attempts")]
    if not understood.sheets:
        return Table(problems=tuple(problems))
    head = understood.sheets[0].head
    problems += [
        _left_out(q, head.line, understood.reading)
        for q in understood.questions
        if q.about == "column"
    ]
    problems += [
        _without_heading(number, column, head.line)
        for number, column in enumerate(understood.columns, start=1)
        if column.filled and not column.heading.strip()
    ]
    problems += [_doubtful_name(q) for q in understood.questions if q.field == "setter" and q.must]
    if not understood.headings and not only_problems(problems):
        expected = "at least one heading that is a field of the record, or a column map"
        problems.append(Problem(0, "file", ", ".join(head.cells), expected, line=head.line))
    rows: list[Mapping[str, str]] = []
    lines: list[int] = []
    numbers: list[int] = []
    titles: list[str] = []
    many = len(understood.sheets) > 1
    ways = _Ways(understood)
    for sheet, places in zip(understood.sheets, understood.places, strict=True):
        taken = ways.at(places)
        width = len(sheet.head.cells)
        for number, record in zip(sheet.numbers, sheet.rows, strict=True):
            problem = _of_another_width(number, record, width)
            if problem is not None:
                problems.append(problem)
                continue
            row = _row(record, taken)
            ways.join(row)
            if row:
                rows.append(row)
                lines.append(record.line)
                numbers.append(number)
                if many:
                    titles.append(sheet.title)
    own = {c.own.name: c.own for c in understood.columns if c.own is not None}
    headings = {SHEET_ROW.name if n == ROW_ID else n: h for n, h in understood.headings.items()}
    return Table(
        tuple(rows),
        tuple(lines),
        tuple(numbers),
        headings,
        tuple(problems),
        tuple(own.values()),
        tuple(titles),
    )


def attempts_in(
    table: Table, reading: TableMeaning
) -> tuple[tuple[Attempt, ...], tuple[Problem, ...]]:
    """The attempts of a table and all problems, each with row, line and heading as typed.

    Where a problem is among the problems, nothing of the file should be stored.
    """
    attempts, row_problems = read_attempts(
        reading.watched(table.rows), course=with_extra(reading.course, table.own), zone=reading.zone
    )
    located = [
        replace(
            problem,
            row=table.numbers[problem.row - 1],
            field=table.headings.get(problem.field, problem.field),
            line=table.lines[problem.row - 1],
            file=table.sheets[problem.row - 1] if table.sheets else None,
        )
        for problem in row_problems
    ]
    return attempts, (*table.problems, *located)


def _left_out(question: Question, line: int, reading: TableMeaning) -> Problem:
    names = names_by_key(tuple(f.name for f in reading.extra))
    near = nearest(key_of(question.heading), names)
    heading = question.heading
    expected = f'a field of the record{near}; have it read with --map "{heading}=FIELD"'
    return Problem(0, heading, heading, expected, "notice", line)


def _without_heading(number: int, column: Column, line: int) -> Problem:
    """Cells stand under no heading: nothing says what they are, so they are left out."""
    cells = count_of(column.filled, "cell")
    expected = f"a heading over it; its {cells} {'is' if column.filled == 1 else 'are'} left out"
    return Problem(0, f"column {number}", "", expected, "notice", line)


def _doubtful_name(question: Question) -> Problem:
    """A name that is nearly somebody's is nobody's until it is said whose."""
    known = " or ".join(o.words for o in question.options if o.answer != KEEP)
    line, *_ = question.lines
    return Problem(0, question.heading, question.value, f"{known}, or a new person", line=line)


def _of_another_width(number: int, record: Record, width: int) -> Problem | None:
    if len(record.cells) == width:
        return None
    if len(record.cells) > width and not any(map(str.strip, record.cells[width:])):
        return None
    wanted = count_of(width, "cell")
    expected = f"{wanted}, as many as headings; here are {len(record.cells)}"
    if len(record.cells) > width:
        expected += " (a comma inside a cell needs quotes around the cell)"
    return Problem(number, "file", " | ".join(record.cells), expected, line=record.line)


_Taken = tuple[tuple[int, str, CellReader], ...]


class _Ways:
    """How each column is read, and what is joined from several cells or rows."""

    def __init__(self, understood: Understanding) -> None:
        reading, dates = understood.reading, understood.dates
        self._columns = understood.columns
        self._readers = {
            number: reader_of(column, reading, dates)
            for number, column in enumerate(understood.columns)
            if column.field is not None
        }
        began = next((c for c in understood.columns if c.field == "began"), None)
        said = reading.answers.of("blanks", began.heading) if began is not None else ""
        self._as_above = said == ABOVE
        self._day = ""

    def at(self, places: Iterable[int | None]) -> _Taken:
        """Place, field and reader of each column that a sheet has."""
        return tuple(
            (place, self._columns[number].field or "", self._readers[number])
            for number, place in enumerate(places)
            if place is not None and number in self._readers
        )

    def join(self, row: dict[str, str]) -> None:
        """A day and a time become one moment; a missing day is that of the row above."""
        clock = row.pop(TIME, "")
        if ROW_ID in row:
            row[SHEET_ROW.name] = row.pop(ROW_ID)
        if "began" in row:
            self._day = row["began"][:10]
        elif self._as_above and row and self._day:
            row["began"] = self._day
        if clock and "began" in row and len(row["began"]) == len("2024-05-03"):
            row["began"] = f"{row['began']} {clock}"


def _row(record: Record, taken: _Taken) -> dict[str, str]:
    row: dict[str, str] = {}
    for place, name, reader in taken:
        cell = record.cells[place]
        if not cell:
            continue
        meant = reader(cell)
        if meant.text:
            row[name] = meant.text
        if meant.severity and name == "result" and "severity" not in row:
            row["severity"] = meant.severity
    return row
