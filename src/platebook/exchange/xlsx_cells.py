"""The cells of a sheet of an XLSX file, with its formulas, merged blocks and hidden rows.

A sheet is as large as the cells that are there, whatever it says of its size. Of formulas the saved
results are the values. Each sheet is gone through once, and what is no cell is let go on the way.
"""

import io
import re
from collections.abc import Generator, Iterator
from datetime import date, datetime, time
from typing import Any
from xml.etree.ElementTree import Element, iterparse

from openpyxl.cell.read_only import ReadOnlyCell
from openpyxl.reader.excel import ExcelReader
from openpyxl.utils import column_index_from_string
from openpyxl.workbook import Workbook
from openpyxl.worksheet._reader import FORMULA_TAG, ROW_TAG, WorkSheetParser
from openpyxl.xml.constants import SHEET_MAIN_NS

from platebook.exchange.xlsx_container import CountedParts, TooMuchInIt
from platebook.practice.text import as_text
from platebook.values import Value

MOST_ROWS = 200_000
MOST_COLUMNS = 400
MOST_CELLS = 10_000_000
"""Cells of the rectangle that a sheet's rows span; those of 200,000 rows of fifty columns."""

MOST_IN_A_ROW = 100_000
"""Elements of one row: six for each of the 16,384 columns that spreadsheets have."""

DEEPEST = 50
_MERGED_TAG = f"{{{SHEET_MAIN_NS}}}mergeCell"
_MERGED = re.compile(r"([A-Z]{1,3})(\d{1,7}):([A-Z]{1,3})(\d{1,7})")


class Merged(Value):
    """A block of cells shown as one: first and last row and its first column, counted from 1."""

    first_row: int
    column: int
    last_row: int


class Cells(Value):
    """What a sheet's XML holds: by their number the rows that are there, as texts.

    `formulas` are those of cells by row and by column from 0; one that several cells share stands
    as in the first of them.
    """

    rows: dict[int, list[str]]
    hidden: tuple[int, ...]
    merged: tuple[Merged, ...]
    formulas: dict[tuple[int, int], str]


def opened(data: bytes) -> Workbook:
    """The workbook with its sheets, none of them read yet."""
    reader = ExcelReader(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
    reader.archive = CountedParts(data)
    reader.read()
    book: Workbook = reader.wb
    return book


def cells_of(page: Any) -> Cells:
    """The cells that are there; TooMuchInIt for a sheet of too many."""
    book = page.parent
    rows: dict[int, list[str]] = {}
    size = 0
    with page._get_source() as source:  # noqa: SLF001 - what `iter_rows` reads, without its fillers
        parser = _Parser(
            source,
            page._shared_strings,  # noqa: SLF001
            data_only=True,
            epoch=book.epoch,
            date_formats=book._date_formats,  # noqa: SLF001
            timedelta_formats=book._timedelta_formats,  # noqa: SLF001
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
                size += len(row)
            refuse_too_many(len(rows), size)
    hidden = [int(n) for n, a in parser.row_dimensions.items() if a.get("hidden") in {"1", "true"}]
    return Cells(rows, tuple(sorted(hidden)), tuple(parser.merged), parser.formulas)


def refuse_too_many(rows: int, cells: int) -> None:
    """TooMuchInIt where a sheet has more rows or cells than are read."""
    if rows > MOST_ROWS:
        raise TooMuchInIt("too many rows", f"at most {MOST_ROWS}; split the file")
    if cells > MOST_CELLS:
        raise TooMuchInIt("too many cells", f"at most {MOST_CELLS}; split the file")


class _Parser(WorkSheetParser):
    """Rows as the library reads them, and what it leaves out where it reads values alone."""

    def __init__(self, source: Any, strings: Any, **words: Any) -> None:
        super().__init__(source, strings, **words)
        self.formulas: dict[tuple[int, int], str] = {}
        self.shared: dict[str, str] = {}
        self.merged: list[Merged] = []

    def parse(self) -> Generator[tuple[int, list[dict[str, Any]]], None, None]:
        """Row by row; of all else only which cells are merged."""
        parents: list[Element] = []
        row: Element | None = None
        inside = 0
        for event, element in iterparse(self.source, ("start", "end")):  # noqa: S314 - declares nothing
            if event == "start":
                parents.append(element)
                inside += row is not None
                if row is None and element.tag == ROW_TAG:
                    row, inside = element, 0
                if inside > MOST_IN_A_ROW or len(parents) > DEEPEST:
                    raise TooMuchInIt
                continue
            parents.pop()
            if row is not None and element is row:
                yield self.parse_row(row)  # type: ignore[arg-type] # its attributes are a dict
                row = None
            elif element.tag == _MERGED_TAG:
                self.merged += _merged(element.get("ref", ""))
            if row is None and parents:
                parents[-1].clear()

    def parse_cell(self, element: Element) -> dict[str, Any]:
        """A cell's value; its formula is kept beside it."""
        cell: dict[str, Any] = super().parse_cell(element)
        formula = element.find(FORMULA_TAG)
        if formula is not None:
            shared = formula.get("si", "")
            text = f"={formula.text}" if formula.text else self.shared.get(shared, "=")
            if shared:
                self.shared.setdefault(shared, text)
            self.formulas[cell["row"], cell["column"] - 1] = text
        return cell


def _merged(reference: str) -> Iterator[Merged]:
    """The block of a reference as A2:B4."""
    if (found := _MERGED.fullmatch(reference)) is not None:
        left, top, _, bottom = found.groups()
        yield Merged(int(top), column_index_from_string(left), int(bottom))


def _text_of(page: Any, cell: dict[str, Any]) -> str:
    value = cell["value"]
    if isinstance(value, str):
        return value
    shown = str(ReadOnlyCell(page, **cell).number_format) if cell["data_type"] == "d" else ""
    return as_typed(value, shown)


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
