"""How a key moves a plate's sheet: a digit, a size, the next cell, a column of sizes more.

Setters drill all, open all, seat all, set all: so the readings run down the positions, one column
after the other. The look is one act a position, so a defect asks how bad it is in place. Every
function returns a new sheet, or the same one where the key says nothing there.
"""

import dataclasses

from platebook.practice.look import RESULT_KEYS
from platebook.tui.entry import RESULT, SEVERITY
from platebook.tui.plate_sheet import PlateSheet
from platebook.tui.questions import Question
from platebook.tui.stray_size import SIZE_SIGNS

LONGEST_SIZE = 12


def goes_into_a_cell(sign: str) -> bool:
    """Whether some cell takes this sign: one of a size, or a key of the table of defects."""
    return sign in SIZE_SIGNS or sign in RESULT_KEYS


def press(sheet: PlateSheet, sign: str) -> PlateSheet:
    """A digit goes into the cell and the cursor on; a size is typed and waits for Enter."""
    question = sheet.question()
    if not question.keys:
        if sign not in SIZE_SIGNS:
            return sheet
        return dataclasses.replace(sheet, typed=(sheet.typed + sign)[:LONGEST_SIZE])
    if question.value_for(sign) is None:
        return sheet
    return go_on(_filled(sheet, sign))


def go_on(sheet: PlateSheet) -> PlateSheet:
    """Take in what is typed, and go to the next cell that has anything to ask."""
    sheet = take_in(sheet)
    order = _order(sheet)
    following = order[order.index((sheet.row, sheet.column)) + 1 :]
    row, column = next((c for c in following if sheet.needed(*c)), (sheet.row, sheet.column))
    return dataclasses.replace(sheet, row=row, column=column)


def take_in(sheet: PlateSheet) -> PlateSheet:
    """The typed size stands in its cell."""
    return _filled(sheet, sheet.typed) if sheet.typed else sheet


def move(sheet: PlateSheet, *, rows: int = 0, columns: int = 0) -> PlateSheet:
    """To a cell nearby; the edges hold."""
    sheet = take_in(sheet)
    row = min(max(sheet.row + rows, 0), len(sheet.positions) - 1)
    column = min(max(sheet.column + columns, 0), len(sheet.columns) - 1)
    return dataclasses.replace(sheet, row=row, column=column)


def rub_out(sheet: PlateSheet) -> PlateSheet:
    """The last sign typed, else the cell; where it is empty, the one before."""
    if sheet.typed:
        return dataclasses.replace(sheet, typed=sheet.typed[:-1])
    if not sheet.cell(sheet.row, sheet.column):
        order = _order(sheet)
        earlier = order[: order.index((sheet.row, sheet.column))]
        row, column = next(
            (c for c in reversed(earlier) if sheet.needed(*c)), (sheet.row, sheet.column)
        )
        sheet = dataclasses.replace(sheet, row=row, column=column)
    place = (sheet.positions[sheet.row], sheet.question().field)
    cells = {where: digit for where, digit in sheet.cells.items() if where != place}
    return dataclasses.replace(sheet, cells=cells)


def measure(sheet: PlateSheet, question: Question) -> PlateSheet:
    """A column of sizes before the look, unless it is there; the cursor goes to it."""
    sheet = take_in(sheet)
    fields = [q.field for q in sheet.columns]
    if question.field not in fields:
        place = fields.index(RESULT)
        fields.insert(place, question.field)
        columns = (*sheet.columns[:place], question, *sheet.columns[place:])
        sheet = dataclasses.replace(sheet, columns=columns)
    column = fields.index(question.field)
    rows = range(len(sheet.positions))
    row = next((row for row in rows if not sheet.cell(row, column)), 0)
    return dataclasses.replace(sheet, row=row, column=column)


def to_first_empty(sheet: PlateSheet) -> PlateSheet:
    """The sheet at its first cell that has something to ask and no answer; else at its first."""
    empty = (c for c in _order(sheet) if sheet.needed(*c) and not sheet.cell(*c))
    row, column = next(empty, (0, 0))
    return dataclasses.replace(sheet, row=row, column=column)


def _filled(sheet: PlateSheet, text: str) -> PlateSheet:
    place = (sheet.positions[sheet.row], sheet.question().field)
    return dataclasses.replace(sheet, cells={**sheet.cells, place: text}, typed="")


def _order(sheet: PlateSheet) -> list[tuple[int, int]]:
    """Rows and columns in the order they are asked."""
    rows = range(len(sheet.positions))
    looks = [n for n, q in enumerate(sheet.columns) if q.field in {RESULT, SEVERITY}]
    readings = [n for n in range(len(sheet.columns)) if n not in looks]
    return [(row, n) for n in readings for row in rows] + [(row, n) for row in rows for n in looks]
