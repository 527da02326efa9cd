"""The cells of an XLSX sheet as the text that a person would have typed."""

from collections.abc import Iterable, Iterator
from datetime import date, datetime, time

from openpyxl.utils import get_column_letter
from openpyxl.workbook import Workbook

from platebook.exchange.table import Known, Read, Record
from platebook.exchange.xlsx_container import Merged
from platebook.practice.problem import Problem
from platebook.practice.text import as_text

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
        fault = Problem(0, "file", f"{len(grid)} rows", f"at most {MOST_ROWS}; split the file")
        return (), (fault,)
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
