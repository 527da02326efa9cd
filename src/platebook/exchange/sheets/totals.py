"""Rows of a sheet that are no attempts: lines of totals, and notes that people write below a table.

A line is one of totals where a cell says so ("Summe", "Total May"), or where a formula counts or
sums up cells and the line has no day though the others have one. Below the last dated row, lines
that hold next to nothing are notes. All of them are left alone and told.
"""

from collections.abc import Sequence
from itertools import compress

from platebook.exchange.sheets.days import as_iso
from platebook.exchange.sheets.headings import Column
from platebook.exchange.sheets.sheet import Record, Sheet
from platebook.exchange.sheets.words import is_total
from platebook.practice.problem import Problem
from platebook.trade.phrases import noun_for

DATED = 0.8
"""Share of dated rows from which on a row without a date is looked at twice (judgement)."""

THIN = 0.34
"""Share of the cells usually filled in up to which a row below the table is a note (judgement)."""

_SHOWN = 60


def rows_beside(
    sheet: Sheet, places: Sequence[int | None], columns: Sequence[Column]
) -> tuple[Record, ...]:
    """The rows that are totals or notes, in their order."""
    if not sheet.rows:
        return ()
    held = [(p, c) for p, c in zip(places, columns, strict=True) if p is not None]
    read = [place for place, column in held if column.field]
    filled = _filled(sheet, read)
    usual = sorted(filled)[len(filled) // 2]
    most = max(1, THIN * usual)
    day = next((place for place, column in held if column.field == "began"), None)
    dated = [_is_dated(record, day) for record in sheet.rows]
    named = _named(sheet, [(p, c) for p, c in held if c.field not in {"note", "setter"}])
    gap = _thin_tail(sheet, filled, most)
    likely = [is_dated for n, is_dated in enumerate(dated) if n < gap and n not in named]
    mostly = bool(likely) and sum(likely) >= DATED * len(likely)
    last = max((n for n, is_dated in enumerate(dated) if is_dated), default=len(dated))
    beside = []
    for number, record in enumerate(sheet.rows):
        undated = mostly and not dated[number]
        thin = filled[number] <= most
        below = thin and (number >= gap or (undated and number > last))
        total = number in named and (undated or thin or day is None)
        if total or below or (undated and record.line in sheet.summed):
            beside.append(record)
    return tuple(beside)


def _named(sheet: Sheet, held: Sequence[tuple[int, Column]]) -> frozenset[int]:
    """The places of the rows in which a cell names a total."""
    words = {place: {t for t in column.values if is_total([t])} for place, column in held}
    looked_in = [(place, texts) for place, texts in words.items() if texts]
    return frozenset(
        number
        for number, record in enumerate(sheet.rows if looked_in else ())
        if any(_cell(record, place) in texts for place, texts in looked_in)
    )


def _filled(sheet: Sheet, places: Sequence[int]) -> list[int]:
    """How many of the cells that are read have something in them, row by row."""
    read = [place in set(places) for place in range(max(places, default=-1) + 1)]
    return [sum(map(bool, compress(record.cells, read))) for record in sheet.rows]


def _thin_tail(sheet: Sheet, filled: Sequence[int], most: float) -> int:
    """The first of the rows behind the last gap of which none holds more than a note does."""
    place = len(sheet.rows)
    for number in reversed(range(1, len(sheet.rows))):
        if filled[number] > most:
            break
        if sheet.numbers[number] > sheet.numbers[number - 1] + 1:
            place = number
    return place


def told_of(rows: Sequence[Record], sheet: Sheet) -> Problem:
    """The notice of rows left alone: where they are, and what stands in them."""
    shown = "; ".join(" ".join(filter(None, map(str.strip, row.cells))) for row in rows)
    lines = ", ".join(str(row.line) for row in rows[:5]) + (", ..." if len(rows) > 5 else "")
    return Problem(
        0,
        sheet.title or "file",
        shown[:_SHOWN],
        f"attempts; {noun_for(len(rows), 'line')} {lines} left alone as totals or notes",
        "notice",
        rows[0].line,
    )


def _cell(record: Record, place: int | None) -> str:
    return record.cells[place] if place is not None and place < len(record.cells) else ""


def _is_dated(record: Record, day: int | None) -> bool:
    typed = _cell(record, day).strip()
    if not typed:
        return False
    iso, needs_order = as_iso(typed, None)
    return iso is not None or needs_order
