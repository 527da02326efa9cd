"""Attempts out of an XLSX file: its container, its cells, its sheets.

The file is a zip of XML parts (ECMA-376); it is looked at before anything of it is unpacked.

What `xlsx_writer` writes, `import_xlsx` reads back exactly. Of formulas only their saved results
are read.
"""

import io
import re
import struct
import warnings
import zipfile
import zlib
from collections.abc import Iterator
from datetime import date, datetime, time
from typing import Any
from zipfile import BadZipFile

from openpyxl import load_workbook
from openpyxl.cell.read_only import ReadOnlyCell
from openpyxl.workbook import Workbook
from openpyxl.worksheet._reader import WorkSheetParser

from platebook.exchange.sheets.meaning import TableMeaning
from platebook.exchange.sheets.sheet import (
    Known,
    Read,
    Record,
    Sheet,
    column_letters,
    heading_place,
)
from platebook.exchange.sheets.table import attempts_in, table_of
from platebook.practice.attempt import Attempt
from platebook.practice.problem import Problem
from platebook.practice.text import as_text
from platebook.trade.phrases import count_of
from platebook.values import Value

MOST_PARTS = 500
MOST_BYTES = 300_000_000
MOST_TIMES = 200
"""An honest sheet unpacks to ten or twenty times its size; a trap to a thousand."""

_MERGED = re.compile(
    rb'<(?:\w+:)?mergeCell\s[^>]*?ref="([A-Z]{1,3})(\d{1,7}):([A-Z]{1,3})(\d{1,7})"'
)
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s>/]")


class Merged(Value):
    """A block of cells shown as one: first and last row and column, counted from 1."""

    first_row: int
    first_column: int
    last_row: int
    last_column: int


_BROKEN_CONTAINER = (BadZipFile, ValueError, NotImplementedError, OSError, EOFError, struct.error)
"""What opening a damaged container raises, and unpacking what is in it."""

_BROKEN_PARTS = (
    *(zlib.error, KeyError, TypeError, AttributeError, IndexError, SyntaxError, OverflowError),
    RecursionError,
)


def container_problem(data: bytes) -> Problem | None:
    """What keeps these bytes from being read as an XLSX file, if anything."""
    if not data.startswith(b"PK"):
        expected = "an XLSX file; an older spreadsheet has to be saved as XLSX or CSV first"
        return Problem(0, "file", _shown(data), expected)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as container:
            parts = container.infolist()
    except _BROKEN_CONTAINER:
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
_COUNTED = re.compile(
    r"\b(?:SUM|SUMIFS?|COUNT[A-Z]*|AVERAGE[A-Z]*|SUBTOTAL|MEDIAN|MIN|MAX|STDEV[.A-Z]*)\("
    r"[^)]*[A-Z]{1,3}\$?[0-9]+:"
)
"""A formula that works out one value from several cells, as the last lines of many sheets have."""


class _Cells(Value):
    """What a sheet's XML holds: rows that are there by their number, formulas, hidden rows."""

    rows: dict[int, list[str]]
    hidden: tuple[int, ...]


def _cells_of(book: Workbook, title: str) -> _Cells:
    """The cells that are there; a sheet is as large as they are, whatever it says of its size."""
    page: Any = book[title]
    rows: dict[int, list[str]] = {}
    with page._get_source() as source:  # noqa: SLF001 - what `iter_rows` reads, without its fillers
        parser = WorkSheetParser(
            source,
            page._shared_strings,  # noqa: SLF001
            data_only=book.data_only,
            epoch=book.epoch,
            date_formats=book._date_formats,  # type: ignore[attr-defined]  # noqa: SLF001
            timedelta_formats=book._timedelta_formats,  # type: ignore[attr-defined]  # noqa: SLF001
        )
        for number, cells in parser.parse():
            row: list[str] = []
            for cell in cells:
                place = cell["column"] - 1
                if cell["value"] is None or place >= MOST_COLUMNS:
                    continue
                row += [""] * (place + 1 - len(row))
                row[place] = _text_of(page, cell)
            if any(row):
                rows[number] = row
            if len(rows) > MOST_ROWS:
                break
        hidden = [
            int(n) for n, a in parser.row_dimensions.items() if a.get("hidden") in {"1", "true"}
        ]
    return _Cells(rows, tuple(sorted(hidden)))


def _text_of(page: Any, cell: dict[str, Any]) -> str:
    value = cell["value"]
    if isinstance(value, str):
        return value
    shown = str(ReadOnlyCell(page, **cell).number_format) if cell["data_type"] == "d" else ""
    return as_typed(getattr(value, "text", value), shown)


def sheet_of(book: Workbook, title: str, data: bytes, known: Known) -> Sheet | Problem | None:
    """One sheet of the book from its heading line on; None where it is empty."""
    xml = part_of(data, getattr(book[title], "_worksheet_path", ""))
    cells = _cells_of(book, title)
    if len(cells.rows) > MOST_ROWS:
        return Problem(0, "file", "too many rows", f"at most {MOST_ROWS}; split the file")
    told = list(_fill(cells.rows, merged_in(xml)))
    records = [Record(n, tuple(row)) for n, row in sorted(cells.rows.items())]
    place = heading_place(records, known)
    if place is None:
        return None
    head, *below = records[place:]
    width = _width_of(head, below)
    beside = [record for record in below if any(map(str.strip, record.cells[width:]))]
    if beside or len(head.cells) > width:
        shown = " ".join(filter(None, beside[0].cells[width:])) if beside else ""
        if shown:
            many = count_of(len(beside), "row")
            expected = f"a table; what stands beside it in {many} is left alone"
            told.append(Problem(0, title, shown[:60], expected, "notice", beside[0].line))
    rows = [Record(r.line, _of_width(r.cells, width)) for r in below]
    rows = [record for record in rows if not record.empty or record.line in cells.hidden]
    unsaved, summed = _formulas(data, title, cells) if has_formulas(xml) else ({}, frozenset())
    return Sheet(
        Record(head.line, head.cells[:width]),
        tuple(rows),
        tuple(record.line - head.line for record in rows),
        title,
        unsaved,
        summed,
        cells.hidden,
        tuple(told),
    )


def _width_of(head: Record, below: list[Record]) -> int:
    """How many columns the table has: up to a column of nothing with next to nothing beyond it."""
    whole = max(n for n, cell in enumerate(head.cells, 1) if cell.strip())
    for gap in (n for n, cell in enumerate(head.cells[:whole]) if not cell.strip() and n):
        filled = any(gap < len(r.cells) and r.cells[gap].strip() for r in below)
        beyond = sum(any(map(str.strip, r.cells[gap + 1 :])) for r in below)
        if not filled and beyond <= _BESIDE * len(below):
            return gap
    return whole


_BESIDE = 0.1
"""Share of rows with something beyond an empty column up to which that is no part of the table."""


def _of_width(cells: tuple[str, ...], width: int) -> tuple[str, ...]:
    """As many cells as headings; what stands beside the table, such as a sum, is not read."""
    return (*cells[:width], *[""] * (width - len(cells)))


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


def _formulas(
    data: bytes, title: str, cells: _Cells
) -> tuple[dict[tuple[int, int], str], frozenset[int]]:
    """Formulas without a saved result by line and column, and the lines that sum cells up."""
    unsaved: dict[tuple[int, int], str] = {}
    summed: set[int] = set()
    for line, row in _cells_of(_opened(data, only_values=False), title).rows.items():
        for place, cell in enumerate(row):
            if not cell.startswith("="):
                continue
            if _COUNTED.search(cell.upper()):
                summed.add(line)
            results = cells.rows.get(line, [])
            if place >= len(results) or not results[place]:
                unsaved[line, place] = cell
    return unsaved, frozenset(summed)


def _fill(rows: dict[int, list[str]], merged: tuple[Merged, ...]) -> Iterator[Problem]:
    """Lets what stands in a merged block count for each of its rows that is there."""
    for block in merged:
        first = rows.get(block.first_row, [])
        column = block.first_column - 1
        if block.first_row == block.last_row or column >= len(first) or not first[column]:
            continue
        for number in range(block.first_row + 1, min(block.last_row, max(rows)) + 1):
            row = rows.get(number)
            if row is not None:
                row += [""] * (column + 1 - len(row))
                row[column] = first[column]
        place = f"{column_letters(column)}{block.first_row}"
        expected = f"one cell a row; taken for rows {block.first_row} to {block.last_row}"
        yield Problem(0, place, first[column], expected, "notice", block.first_row)


_PLAINLY = TableMeaning()


def import_xlsx(
    data: bytes, reading: TableMeaning = _PLAINLY
) -> tuple[tuple[Attempt, ...], tuple[Problem, ...]]:
    """The attempts of an XLSX file and all problems, each with row, line and heading as typed.

    The sheet with most headings that mean something is read, and those that agree with it. Where
    a problem is among the problems, nothing of the file should be stored.
    """
    return attempts_in(table_of(read_xlsx_sheets(data, reading), reading), reading)


def read_xlsx_sheets(data: bytes, reading: TableMeaning = _PLAINLY) -> Read:
    """The tables of an XLSX file, and what is wrong with the file."""
    if (problem := container_problem(data)) is not None:
        return (), (problem,)
    try:
        book = _opened(data, only_values=True)
        found = [sheet_of(book, page.title, data, reading.known) for page in book.worksheets]
    except (*_BROKEN_CONTAINER, *_BROKEN_PARTS):
        # The library raises whatever it stumbles over in a part that is not as it should be.
        problem = Problem(0, "file", "parts that cannot be read", "an XLSX file as saved; or a CSV")
        return (), (problem,)
    sheets = tuple(sheet for sheet in found if isinstance(sheet, Sheet))
    return sheets, tuple(problem for problem in found if isinstance(problem, Problem))


def _opened(data: bytes, *, only_values: bool) -> Workbook:
    with warnings.catch_warnings():
        # What the library cannot keep (charts, rules for cells) is nothing to read.
        warnings.simplefilter("ignore")
        return load_workbook(
            io.BytesIO(data), read_only=True, data_only=only_values, keep_links=False
        )
