"""Attempts out of an XLSX file and into one.

The columns are those of `docs/fields.md`. What `write_xlsx` writes, `import_xlsx` reads back
exactly. Of formulas only their saved results are read, and nothing written is ever one.
"""

import io
import warnings
from collections.abc import Iterable
from typing import Any
from zipfile import BadZipFile

from openpyxl import Workbook, load_workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet._write_only import WriteOnlyWorksheet

from platebook.exchange.table import Reading, Table, attempts_in, table_of
from platebook.exchange.xlsx_cells import LOOKED_AT, as_typed, records_of
from platebook.exchange.xlsx_container import fault_of, has_formulas, merged_in, part_of
from platebook.practice.attempt import Attempt
from platebook.practice.fields import fields
from platebook.practice.problem import Problem
from platebook.practice.writing_rows import write_row

SHEET = "attempts"
_PLAINLY = Reading()
_WIDTH = 14


def import_xlsx(
    data: bytes, reading: Reading = _PLAINLY
) -> tuple[tuple[Attempt, ...], tuple[Problem, ...]]:
    """The attempts of an XLSX file and all problems, each with row, line and heading as typed.

    The first sheet that has headings of the record is read. Where a problem is among the problems,
    nothing of the file should be stored.
    """
    if (fault := fault_of(data)) is not None:
        return (), (fault,)
    try:
        table, problems = _read(data, reading)
    except (ValueError, KeyError, TypeError, AttributeError, IndexError, SyntaxError, BadZipFile):
        # The library raises whatever it stumbles over in a part that is not as it should be.
        fault = Problem(0, "file", "parts that cannot be read", "an XLSX file as saved; or a CSV")
        return (), (fault,)
    return attempts_in(table, problems, reading)


def write_xlsx(attempts: Iterable[Attempt]) -> bytes:
    """All attempts with every field of the record, then the fields that courses added.

    Numbers, lengths (mm) and yes/no are typed cells, everything else is text, never a formula. The
    line of headings stays in sight.
    """
    some = tuple(attempts)
    columns = list(dict.fromkeys([*fields(), *(name for a in some for name, _ in a.extra)]))
    book = Workbook(write_only=True)
    page = book.create_sheet(SHEET)
    page.freeze_panes = "A2"
    for number in range(1, len(columns) + 1):
        page.column_dimensions[get_column_letter(number)].width = _WIDTH
    page.append([_text(page, name, bold=True) for name in columns])
    for attempt in some:
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


def _read(data: bytes, reading: Reading) -> tuple[Table, tuple[Problem, ...]]:
    values = _opened(data, only_values=True)
    titles = [page.title for page in values.worksheets]
    if not titles:
        return Table(), (Problem(0, "file", "no sheet", "a sheet with attempts"),)
    title = max(titles, key=lambda t: (_known_in(values, t, reading), -titles.index(t)))
    sheet = part_of(data, getattr(values[title], "_worksheet_path", ""))
    formulas = _opened(data, only_values=False) if has_formulas(sheet) else None
    records = records_of(values, formulas, title, merged_in(sheet), reading.known)
    return table_of(records, reading)


def _known_in(book: Workbook, title: str, reading: Reading) -> int:
    rows = book[title].iter_rows(max_row=LOOKED_AT, values_only=True)
    return max((reading.known([as_typed(value) for value in row]) for row in rows), default=0)


def _opened(data: bytes, *, only_values: bool) -> Workbook:
    with warnings.catch_warnings():
        # What the library cannot keep (charts, rules for cells) is nothing to read.
        warnings.simplefilter("ignore")
        return load_workbook(
            io.BytesIO(data), read_only=True, data_only=only_values, keep_links=False
        )
