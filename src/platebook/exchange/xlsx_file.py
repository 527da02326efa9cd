"""Attempts out of an XLSX file: what its sheets are as tables.

What `xlsx_writer` writes, `import_xlsx` reads back exactly.
"""

import re
import warnings
from bisect import bisect_right
from collections import Counter
from collections.abc import Iterator
from typing import Any

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
from platebook.exchange.xlsx_cells import Cells, Merged, cells_of, opened, refuse_too_many
from platebook.exchange.xlsx_container import BROKEN_CONTAINER, TooMuchInIt, container_problem
from platebook.practice.attempt import Attempt
from platebook.practice.problem import Problem
from platebook.trade.phrases import count_of

_BROKEN_PARTS = (
    *(KeyError, TypeError, AttributeError, IndexError, SyntaxError, OverflowError),
    RecursionError,
)
_COUNTING = re.compile(
    r"\b(?:SUM|SUMIFS?|COUNT[A-Z]{0,9}|AVERAGE[A-Z]{0,3}|SUBTOTAL|MEDIAN|MIN|MAX|STDEV[.A-Z]{0,3})\("
)
_RANGE = re.compile(r"[A-Z]{1,3}\$?[0-9]{1,7}:")


def _sheet_of(page: Any, known: Known) -> Sheet | None:
    """One sheet of the book from its heading line on; None where it is empty."""
    cells, title = cells_of(page), page.title
    told = list(_fill(cells.rows, cells.merged))
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
    refuse_too_many(len(below), len(below) * width)
    rows = [Record(r.line, _of_width(r.cells, width)) for r in below]
    rows = [record for record in rows if not record.empty or record.line in cells.hidden]
    unsaved, summed = _formulas(cells)
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
    gaps = [n for n, cell in enumerate(head.cells[:whole]) if not cell.strip() and n]
    filled: set[int] = set()
    ends: Counter[int] = Counter()
    for record in below if gaps else ():
        places = [n for n, cell in enumerate(record.cells) if cell.strip()]
        filled.update(places)
        ends[places[-1] if places else 0] += 1
    for gap in gaps:
        beyond = sum(rows for end, rows in ends.items() if end > gap)
        if gap not in filled and beyond <= _BESIDE * len(below):
            return gap
    return whole


_BESIDE = 0.1
"""Share of rows with something beyond an empty column up to which that is no part of the table."""


def _of_width(cells: tuple[str, ...], width: int) -> tuple[str, ...]:
    """As many cells as headings; what stands beside the table, such as a sum, is not read."""
    return (*cells[:width], *[""] * (width - len(cells)))


def _formulas(cells: Cells) -> tuple[dict[tuple[int, int], str], frozenset[int]]:
    """Formulas without a saved result by line and column, and the lines that sum cells up."""
    counting = {text for text in set(cells.formulas.values()) if _counts_cells(text)}
    summed = frozenset(line for (line, _), text in cells.formulas.items() if text in counting)
    return {
        (line, place): text
        for (line, place), text in cells.formulas.items()
        if not "".join(cells.rows.get(line, [])[place : place + 1])
    }, summed


def _counts_cells(formula: str) -> bool:
    """Whether it works out one value from several cells, as the last lines of many sheets do."""
    parts = formula.upper().split(")")
    counting = ((part, _COUNTING.search(part)) for part in parts)
    return any(begun and _RANGE.search(part, begun.end()) for part, begun in counting)


def _fill(rows: dict[int, list[str]], merged: tuple[Merged, ...]) -> Iterator[Problem]:
    """Lets what stands in a merged block count for each of its rows that is there.

    Blocks that lie over another in the same column are none: a sheet has no such.
    """
    numbers = sorted(rows)
    filled_to: Counter[int] = Counter()
    filled = 0
    for block in sorted(merged, key=lambda one: (one.first_row, one.column)):
        first = rows.get(block.first_row, [])
        column = block.column - 1
        if block.first_row >= block.last_row or column >= len(first) or not first[column]:
            continue
        if block.first_row <= filled_to[column]:
            continue
        filled_to[column] = block.last_row
        ends = (bisect_right(numbers, line) for line in (block.first_row, block.last_row))
        below = numbers[slice(*ends)]
        filled += len(below) * block.column
        refuse_too_many(len(rows), filled)
        for number in below:
            row = rows[number]
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
    """The tables of an XLSX file, and what is wrong with the file.

    The one way in of every door that takes such a file: `container_problem` looks at it before it
    is unpacked, and what is read of it then is counted (`CountedParts`).
    """
    if (problem := container_problem(data)) is not None:
        return (), (problem,)
    try:
        with warnings.catch_warnings():
            # What the library cannot keep (charts, rules for cells) is nothing to read.
            warnings.simplefilter("ignore")
            found = [_sheet_of(page, reading.known) for page in opened(data).worksheets]
    except TooMuchInIt as error:
        return (), (error.problem,)
    except (*BROKEN_CONTAINER, *_BROKEN_PARTS):
        # The library raises whatever it stumbles over in a part that is not as it should be.
        problem = Problem(0, "file", "parts that cannot be read", "an XLSX file as saved; or a CSV")
        return (), (problem,)
    return tuple(sheet for sheet in found if sheet is not None), ()
