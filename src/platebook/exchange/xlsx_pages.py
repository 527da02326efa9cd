"""Rows into the sheets of an XLSX file: real dates, wide enough, headings that stay and filter.

Numbers, yes/no and dates are typed cells, everything else is text, never a formula.
"""

import contextlib
import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any

from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter
from openpyxl.workbook import Workbook
from openpyxl.worksheet._write_only import WriteOnlyWorksheet

from platebook.values import Value

_DAY, _TIME, _PERCENT = "yyyy-mm-dd", "yyyy-mm-dd hh:mm:ss", "0%"
_NARROWEST, _WIDEST = 6, 40

Cells = Mapping[str, object]


class Page(Value, kw_only=True):
    """One sheet: its title, the headings in order, and a mapping of heading to value for each row.

    `shares` are the headings of columns of shares of 1, shown as whole per cent.
    """

    title: str
    headings: tuple[str, ...]
    rows: Sequence[Cells]
    shares: frozenset[str] = frozenset()


def write_pages(pages: Sequence[Page], watch: Callable[[int, int], None] | None = None) -> bytes:
    """The bytes of an XLSX file with these sheets, in their order.

    `watch` is told after each row how many are written and how many there are.
    """
    book = Workbook(write_only=True)
    done, rows = 0, sum(len(page.rows) for page in pages)
    out = io.BytesIO()
    try:
        for page in pages:
            for _row in _written(book.create_sheet(page.title), page):
                done += 1
                if watch is not None:
                    watch(done, rows)
        book.save(out)
    except BaseException:
        _close(book)
        raise
    return out.getvalue()


def _close(book: Workbook) -> None:
    """Close the sheets of a book that is given up: left open each would complain on stderr."""
    for sheet in book.worksheets:
        with contextlib.suppress(Exception):
            sheet.close()


def _written(sheet: Any, page: Page) -> Iterator[Cells]:
    """Write the page into the sheet; gives each row once it stands there."""
    names, rows = page.headings, page.rows
    sheet.freeze_panes = "A2"
    for number, name in enumerate(names, 1):
        longest = max([len(name), *(len(_shown(page, row, name)) for row in rows)])
        width = min(max(longest + 2, _NARROWEST), _WIDEST)
        sheet.column_dimensions[get_column_letter(number)].width = width
    if names:
        sheet.auto_filter.ref = f"A1:{get_column_letter(len(names))}{len(rows) + 1}"
    sheet.append([_text(sheet, name, bold=True) for name in names])
    for row in rows:
        sheet.append([_cell(sheet, row.get(name), share=name in page.shares) for name in names])
        yield row


def _shown(page: Page, row: Cells, name: str) -> str:
    value = row.get(name)
    if value is None:
        return ""
    return f"{value:.0%}" if name in page.shares and isinstance(value, float) else str(value)


def _cell(sheet: WriteOnlyWorksheet, value: object, *, share: bool) -> object:
    if isinstance(value, str):
        return _text(sheet, value) if value else None
    if value is None or (isinstance(value, bool | int | float) and not share):
        return value
    cell: Any = WriteOnlyCell(sheet, value)  # type: ignore[arg-type]  # the stub knows no dates
    if share:
        cell.number_format = _PERCENT
    else:
        cell.number_format = _TIME if isinstance(value, datetime) else _DAY
    return cell


def _text(sheet: WriteOnlyWorksheet, text: str, *, bold: bool = False) -> Any:
    cell = WriteOnlyCell(sheet, text)
    cell.data_type = "s"
    if bold:
        cell.font = Font(bold=True)
    return cell
