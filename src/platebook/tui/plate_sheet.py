"""A whole plate while it is filled in: a frozen value, one operation down the positions at a time.

Setters drill all, open all, seat all, set all; so the cursor runs down a column and then to the top
of the next one. Each key turns a sheet into the next sheet.
"""

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from platebook.practice.look import GOOD, MISSED, RESULT_KEYS, SEVERITIES
from platebook.tui.entry import PART_KEYS, RESULT, SEVERITY
from platebook.tui.questions import Question, question_of

if TYPE_CHECKING:
    from platebook.services.now import NowView

DRAFT = "plate_sheet"
UNDEFECTIVE = ("", GOOD, MISSED)
SHORTEST_STONE_MINUTES, LONGEST_STONE_MINUTES = 1, 60
"""A plate filled in faster than this a stone is typed from paper; slower, somebody was away
(judgement)."""


@dataclass(frozen=True, slots=True)
class PlateSheet:
    """What is known of each position, and the cell that the next key goes to.

    `base` are the values that all positions share, `began` when the sheet was begun. `cells` holds
    the digits given, by position and field. `ids` are the ids that the attempts will have, so that
    a draft saved just before the program died is not saved twice.
    """

    plate: str
    positions: tuple[str, ...]
    columns: tuple[Question, ...]
    ids: tuple[str, ...]
    began: str
    base: Mapping[str, str] = field(default_factory=dict)
    cells: Mapping[tuple[str, str], str] = field(default_factory=dict)
    row: int = 0
    column: int = 0

    def digit(self, row: int, column: int) -> str:
        """The digit in a cell; empty for none."""
        return self.cells.get((self.positions[row], self.columns[column].field), "")

    def value(self, row: int, name: str) -> str:
        """What stands for a field at a position, in the record's words."""
        digit = self.cells.get((self.positions[row], name), "")
        question = next(q for q in self.columns if q.field == name)
        return question.value_for(digit) or "" if digit else ""

    def needed(self, row: int, column: int) -> bool:
        """Whether a cell has anything to ask: no severity where there is no defect."""
        name = self.columns[column].field
        return name != SEVERITY or self.value(row, RESULT) not in UNDEFECTIVE

    def started(self) -> bool:
        """Whether anything was noted that would be missed."""
        return bool(self.cells)

    def judged(self) -> tuple[int, ...]:
        """The rows that have a result."""
        return tuple(r for r in range(len(self.positions)) if self.value(r, RESULT))


def sheet_for(view: "NowView", *, ids: tuple[str, ...], began: str) -> PlateSheet | None:
    """An empty sheet for the free positions of the plate on Now; None where it has none."""
    plate, advice = view.plate, view.advice
    free = tuple(c.position for c in plate.cells if not c.sign) if plate is not None else ()
    if plate is None or not free:
        return None
    part = advice.kind == "part"
    keys = tuple((PART_KEYS if part else RESULT_KEYS).items())
    looks = [Question(RESULT, "result", keys, wanted=(GOOD,), target="0 good")]
    if not part:
        weights = tuple((str(n), str(n)) for n in SEVERITIES)
        looks.append(Question(SEVERITY, "severity", weights, target="1 slight, 2 clear, 3 lost"))
    asked = tuple(question_of(reading) for reading in view.readings)
    base = {
        **view.set_up,
        "course": advice.course,
        "grade": advice.grade,
        "exercise": advice.exercise or "",
        "kind": advice.kind,
        "part": advice.part or "",
        "plate": plate.name,
        "readings_asked": "yes" if view.readings_asked else "no",
    }
    return PlateSheet(
        plate=plate.name,
        positions=free,
        columns=(*asked, *looks),
        ids=ids[: len(free)],
        began=began,
        base={name: value for name, value in base.items() if value},
    )


def press(sheet: PlateSheet, key: str) -> PlateSheet:
    """A digit: it goes into the cell, and the cursor goes on; any other one leaves all as it is."""
    question = sheet.columns[sheet.column]
    if question.value_for(key) is None:
        return sheet
    place = (sheet.positions[sheet.row], question.field)
    return go_on(dataclasses.replace(sheet, cells={**sheet.cells, place: key}))


def go_on(sheet: PlateSheet) -> PlateSheet:
    """To the next cell that has anything to ask, down the column and then to the next one."""
    rows, places = len(sheet.positions), len(sheet.positions) * len(sheet.columns)
    place = sheet.column * rows + sheet.row
    for nxt in range(place + 1, places):
        column, row = divmod(nxt, rows)
        if sheet.needed(row, column):
            return dataclasses.replace(sheet, row=row, column=column)
    return sheet


def move(sheet: PlateSheet, *, rows: int = 0, columns: int = 0) -> PlateSheet:
    """To a cell nearby; the edges hold."""
    row = min(max(sheet.row + rows, 0), len(sheet.positions) - 1)
    column = min(max(sheet.column + columns, 0), len(sheet.columns) - 1)
    return dataclasses.replace(sheet, row=row, column=column)


def rub_out(sheet: PlateSheet) -> PlateSheet:
    """Empty the cell; where it is empty, go back to the one before and empty that."""
    place = (sheet.positions[sheet.row], sheet.columns[sheet.column].field)
    if place not in sheet.cells:
        rows = len(sheet.positions)
        before = max(sheet.column * rows + sheet.row - 1, 0)
        column, row = divmod(before, rows)
        sheet = dataclasses.replace(sheet, row=row, column=column)
        place = (sheet.positions[row], sheet.columns[column].field)
    cells = {where: digit for where, digit in sheet.cells.items() if where != place}
    return dataclasses.replace(sheet, cells=cells)


def rows_of(sheet: PlateSheet, *, minutes: float | None = None) -> list[dict[str, str]]:
    """The judged positions as rows of the record.

    `minutes` is what the plate took; it is shared among all positions worked on, judged or not, and
    left out where no stone can have taken so short or so long.
    """
    judged = sheet.judged()
    worked = {position for position, _ in sheet.cells}
    share = minutes / len(worked) if minutes and worked else 0.0
    found = []
    for row in judged:
        values = {q.field: sheet.value(row, q.field) for q in sheet.columns}
        values |= {"position": sheet.positions[row], "attempt_id": sheet.ids[row]}
        if SHORTEST_STONE_MINUTES <= share <= LONGEST_STONE_MINUTES:
            values["minutes"] = f"{share:.1f}"
        filled = {name: value for name, value in values.items() if value}
        found.append({**sheet.base, "began": sheet.began, **filled})
    return found


def left_over(sheet: PlateSheet) -> PlateSheet | None:
    """The sheet without the judged positions; None where nothing was noted of the others."""
    judged = set(sheet.judged())
    kept = [row for row in range(len(sheet.positions)) if row not in judged]
    names = {sheet.positions[row] for row in kept}
    cells = {where: digit for where, digit in sheet.cells.items() if where[0] in names}
    if not cells:
        return None
    return dataclasses.replace(
        sheet,
        positions=tuple(sheet.positions[row] for row in kept),
        ids=tuple(sheet.ids[row] for row in kept),
        cells=cells,
        row=0,
        column=0,
    )


def to_draft(sheet: PlateSheet) -> dict[str, object]:
    """The sheet as plain values for the draft file."""
    plain = dataclasses.asdict(dataclasses.replace(sheet, cells={}))
    plain["cells"] = [[*where, digit] for where, digit in sheet.cells.items()]
    return {DRAFT: plain}


def from_draft(draft: Mapping[str, Any]) -> PlateSheet | None:
    """The sheet of a draft file; None where the file holds something else."""
    try:
        plain = draft[DRAFT]
        columns = tuple(
            Question(
                **{
                    **q,
                    "keys": tuple((str(k), str(v)) for k, v in q["keys"]),
                    "wanted": tuple(q["wanted"]),
                }
            )
            for q in plain["columns"]
        )
        return PlateSheet(
            plate=str(plain["plate"]),
            positions=tuple(map(str, plain["positions"])),
            columns=columns,
            ids=tuple(map(str, plain["ids"])),
            began=str(plain["began"]),
            base={str(k): str(v) for k, v in plain["base"].items()},
            cells={(str(p), str(f)): str(d) for p, f, d in plain["cells"]},
            row=int(plain["row"]),
            column=int(plain["column"]),
        )
    except (KeyError, TypeError, ValueError, AttributeError):
        return None
