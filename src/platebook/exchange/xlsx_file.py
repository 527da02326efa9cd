"""Attempts out of an XLSX file and into one: its container, its cells, its sheet.

The file is a zip of XML parts (ECMA-376); it is looked at before anything of it is unpacked.

The columns are those of `docs/fields.md`. What `write_xlsx` writes, `import_xlsx` reads back
exactly. Of formulas only their saved results are read, and nothing written is ever one.
"""

import io
import re
import warnings
import zipfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any
from zipfile import BadZipFile

from openpyxl import load_workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter
from openpyxl.workbook import Workbook
from openpyxl.worksheet._write_only import WriteOnlyWorksheet

from platebook.exchange.table import Known, Read, Record, Table, TableMeaning, attempts_in, table_of
from platebook.practice.attempt import Attempt
from platebook.practice.attempt_rows import write_row
from platebook.practice.fields import fields
from platebook.practice.problem import Problem
from platebook.practice.text import as_text

MOST_PARTS = 500
MOST_BYTES = 300_000_000
MOST_TIMES = 200
"""An honest sheet unpacks to ten or twenty times its size; a trap to a thousand."""

_MERGED = re.compile(
    rb'<(?:\w+:)?mergeCell\s[^>]*?ref="([A-Z]{1,3})(\d{1,7}):([A-Z]{1,3})(\d{1,7})"'
)
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s>/]")


@dataclass(frozen=True, slots=True)
class Merged:
    """A block of cells shown as one: first and last row and column, counted from 1."""

    first_row: int
    first_column: int
    last_row: int
    last_column: int


def container_problem(data: bytes) -> Problem | None:
    """What keeps these bytes from being read as an XLSX file, if anything."""
    if not data.startswith(b"PK"):
        expected = "an XLSX file; an older spreadsheet has to be saved as XLSX or CSV first"
        return Problem(0, "file", _shown(data), expected)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as container:
            parts = container.infolist()
    except (zipfile.BadZipFile, ValueError, NotImplementedError, OSError):
        return Problem(0, "file", "a damaged container", "an XLSX file as a spreadsheet saves it")
    names = [part.filename for part in parts]
    if "[Content_Types].xml" not in names or len(set(names)) != len(names):
        return Problem(0, "file", "a container of something else", "an XLSX file")
    if any(part.flag_bits & 1 for part in parts):
        return Problem(0, "file", "an encrypted file", "an XLSX file without a password")
    size = sum(part.file_size for part in parts)
    if len(parts) > MOST_PARTS or size > MOST_BYTES or size > MOST_TIMES * max(len(data), 10_000):
        read = f"{len(parts)} parts of {size // 1_000_000} MB unpacked"
        return Problem(0, "file", read, f"at most {MOST_BYTES // 1_000_000} MB; save it as CSV")
    return None


def part_of(data: bytes, path: str) -> bytes:
    """One part of the container by its path; empty where it is not there."""
    with zipfile.ZipFile(io.BytesIO(data)) as container:
        try:
            return container.read(path.lstrip("/"))
        except KeyError:
            return b""


def merged_in(sheet: bytes) -> tuple[Merged, ...]:
    """The merged cells of a sheet's XML."""
    return tuple(
        Merged(int(top), _column(left), int(bottom), _column(right))
        for left, top, right, bottom in _MERGED.findall(sheet)
    )


def has_formulas(sheet: bytes) -> bool:
    """Whether any cell of a sheet's XML is worked out from others."""
    return _FORMULA.search(sheet) is not None


def _column(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - ord("A") + 1
    return number


def _shown(data: bytes) -> str:
    return data[:20].decode("utf-8", errors="replace") if data else "an empty file"


MOST_ROWS = 200_000
MOST_COLUMNS = 400
LOOKED_AT = 20
"""Rows in which the headings may stand; people put a title above them."""


def records_of(
    values: Workbook,
    formulas: Workbook | None,
    sheet: str,
    merged: tuple[Merged, ...],
    known: Known,
) -> Read:
    """The records of a sheet from its heading line on, and what was wrong with its cells.

    `formulas` is the same file read for its formulas, where it has any: one whose result was never
    saved is a problem. What stands in a merged block counts for each of its rows.
    """
    problems: list[Problem] = []
    grid = _even(_grid(values, sheet))
    if len(grid) > MOST_ROWS:
        problem = Problem(0, "file", f"{len(grid)} rows", f"at most {MOST_ROWS}; split the file")
        return (), (problem,)
    if formulas is not None:
        problems += _without_result(grid, formulas, sheet)
    problems += _fill(grid, merged)
    records = [Record(n, tuple(cells)) for n, cells in enumerate(grid, 1)]
    head = max(records[:LOOKED_AT], key=lambda r: (known(r.cells), -r.line), default=None)
    if head is None or not known(head.cells):
        head = next((record for record in records if not record.empty), None)
    if head is None:
        return (), tuple(problems)
    width = max((n for n, cell in enumerate(head.cells, 1) if cell.strip()), default=0)
    kept = (r for r in records[head.line - 1 :])
    return tuple(Record(r.line, _of_width(r.cells, width)) for r in kept), tuple(problems)


def _of_width(cells: tuple[str, ...], width: int) -> tuple[str, ...]:
    """As many cells as headings; what stands beside the table, such as a sum, is not read."""
    return (*cells[:width], *[""] * (width - len(cells)))


def _grid(workbook: Workbook, sheet: str) -> Iterator[list[str]]:
    page = workbook[sheet]
    # The size that a file says it has is often wrong; without it all rows are read.
    page.reset_dimensions()
    for row in page.iter_rows(max_row=MOST_ROWS + 1, max_col=MOST_COLUMNS):
        yield [as_typed(cell.value, str(getattr(cell, "number_format", ""))) for cell in row]


def _even(rows: Iterable[list[str]]) -> list[list[str]]:
    """Rows of one width; a sheet leaves out what is empty at the end of a row."""
    grid = list(rows)
    width = max(map(len, grid), default=0)
    return [[*row, *[""] * (width - len(row))] for row in grid]


def as_typed(value: object, number_format: str = "") -> str:
    """The text of a cell's value: 1.98, yes, 2026-02-03, 2026-02-03T18:30."""
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case int() | float():
            return as_text(value) or ""
        case datetime():
            only_day = value.time() == time() and "h" not in number_format.lower()
            return (value.date() if only_day else value).isoformat()
        case date() | time():
            return value.isoformat()
        case _:
            return str(value)


def _without_result(grid: list[list[str]], formulas: Workbook, sheet: str) -> Iterator[Problem]:
    for number, (cells, results) in enumerate(zip(_grid(formulas, sheet), grid, strict=False), 1):
        for column, (cell, result) in enumerate(zip(cells, results, strict=False), 1):
            if cell.startswith("=") and not result:
                place = f"{get_column_letter(column)}{number}"
                expected = "a value; open the file in the spreadsheet and save it, so that it is in"
                yield Problem(0, place, cell, expected, line=number)


def _fill(grid: list[list[str]], merged: tuple[Merged, ...]) -> Iterator[Problem]:
    for block in merged:
        rows = grid[block.first_row - 1 : block.last_row]
        if len(rows) < 2 or block.first_column > len(rows[0]):
            continue
        column = block.first_column - 1
        for row in rows[1:]:
            row[column] = rows[0][column]
        if rows[0][column]:
            place = f"{get_column_letter(block.first_column)}{block.first_row}"
            expected = f"one cell a row; taken for rows {block.first_row} to {block.last_row}"
            yield Problem(0, place, rows[0][column], expected, "notice", block.first_row)


SHEET = "attempts"
_PLAINLY = TableMeaning()
_WIDTH = 14


def import_xlsx(
    data: bytes, reading: TableMeaning = _PLAINLY
) -> tuple[tuple[Attempt, ...], tuple[Problem, ...]]:
    """The attempts of an XLSX file and all problems, each with row, line and heading as typed.

    The first sheet that has headings of the record is read. Where a problem is among the problems,
    nothing of the file should be stored.
    """
    if (problem := container_problem(data)) is not None:
        return (), (problem,)
    try:
        table, problems = _read(data, reading)
    except (ValueError, KeyError, TypeError, AttributeError, IndexError, SyntaxError, BadZipFile):
        # The library raises whatever it stumbles over in a part that is not as it should be.
        problem = Problem(0, "file", "parts that cannot be read", "an XLSX file as saved; or a CSV")
        return (), (problem,)
    return attempts_in(table, problems, reading)


def write_xlsx(attempts: Iterable[Attempt]) -> bytes:
    """All attempts with every field of the record, then the fields that courses added.

    Numbers, lengths (mm) and yes/no are typed cells, everything else is text, never a formula. The
    line of headings stays in sight.
    """
    logged = tuple(attempts)
    columns = list(dict.fromkeys([*fields(), *(name for a in logged for name, _ in a.extra)]))
    book = Workbook(write_only=True)
    page = book.create_sheet(SHEET)
    page.freeze_panes = "A2"
    for number in range(1, len(columns) + 1):
        page.column_dimensions[get_column_letter(number)].width = _WIDTH
    page.append([_text(page, name, bold=True) for name in columns])
    for attempt in logged:
        typed, texts = _values(attempt), write_row(attempt)
        page.append([_cell(page, typed.get(name), texts.get(name, "")) for name in columns])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _values(attempt: Attempt) -> dict[str, object]:
    return {name: getattr(attempt, name) for name in fields()} | dict(attempt.extra)


def _cell(page: WriteOnlyWorksheet, value: object, text: str) -> object:
    """A typed cell where the value comes back out of it exactly, and text otherwise."""
    if isinstance(value, bool):
        return value
    # The library writes numbers with 16 digits; a few need 17.
    if isinstance(value, int | float) and float(f"{value:.16g}") == value:
        return value
    return _text(page, text) if text else None


def _text(page: WriteOnlyWorksheet, text: str, *, bold: bool = False) -> Any:
    cell = WriteOnlyCell(page, text)
    cell.data_type = "s"
    if bold:
        cell.font = Font(bold=True)
    return cell


def _read(data: bytes, reading: TableMeaning) -> tuple[Table, tuple[Problem, ...]]:
    values = _opened(data, only_values=True)
    titles = [page.title for page in values.worksheets]
    if not titles:
        return Table(), (Problem(0, "file", "no sheet", "a sheet with attempts"),)
    title = max(titles, key=lambda t: (_known_in(values, t, reading), -titles.index(t)))
    sheet = part_of(data, getattr(values[title], "_worksheet_path", ""))
    formulas = _opened(data, only_values=False) if has_formulas(sheet) else None
    records = records_of(values, formulas, title, merged_in(sheet), reading.known)
    return table_of(records, reading)


def _known_in(book: Workbook, title: str, reading: TableMeaning) -> int:
    rows = book[title].iter_rows(max_row=LOOKED_AT, values_only=True)
    return max((reading.known([as_typed(value) for value in row]) for row in rows), default=0)


def _opened(data: bytes, *, only_values: bool) -> Workbook:
    with warnings.catch_warnings():
        # What the library cannot keep (charts, rules for cells) is nothing to read.
        warnings.simplefilter("ignore")
        return load_workbook(
            io.BytesIO(data), read_only=True, data_only=only_values, keep_links=False
        )
