"""A whole plate while it is filled in: a frozen value at one cell, and how a key moves it.

The screen holds a sheet and feeds it keys in the order they came.

Setters drill all, open all, seat all, set all: so the readings run down the positions, one column
after the other. The look is one act a position, so a defect asks how bad it is in place. Every
function returns a new sheet, or the same one where the key says nothing there.
"""

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Any

from platebook.practice.defects import GOOD, MISSED
from platebook.practice.fields import TOOLS_OF_A_STONE
from platebook.practice.reading.questions import (
    Question,
    question_for,
    question_from,
    size_of,
    sizes_to_measure,
)
from platebook.practice.results import RESULT_KEYS, SEVERITIES
from platebook.tui.entry.doubts import UNEVEN, answer_for, field_of, first_doubt, mark
from platebook.tui.entry.entry import PART_KEYS, RESULT, SEVERITY
from platebook.tui.entry.keys_behind import OF_A_PLATE
from platebook.tui.entry.stray_size import SIZE_SIGNS
from platebook.values import Value, as_dict, field, replace

if TYPE_CHECKING:
    from platebook.practice.courses.course import Grade
    from platebook.practice.reading.doubts import Doubt
    from platebook.services.now.now_view import NowView


STONE = "stone_diameter_mm"
OF_ONE_STONE = frozenset(
    {
        STONE,
        "stone_depth_mm",
        "stone_crown_mm",
        *UNEVEN,
        *TOOLS_OF_A_STONE,
    }
)
"""What of a set-up goes with the size of its stone."""
UNDEFECTIVE = ("", GOOD, MISSED)
SHORTEST_STONE_MINUTES, LONGEST_STONE_MINUTES = 1, 60
"""A plate filled in faster than this a stone is typed from paper; slower, somebody was away
(judgement)."""


class PlateSheet(Value):
    """What is known of each position, and the cell that the next key goes to.

    `base` are the values that all positions share, `began` when the sheet was begun. `cells` holds
    the digits and sizes given, by position and field; `typed` is the size being typed, and `sizes`
    are those that a column more can be measured of. `stones` are the sizes of a mixed row by
    position, empty where all have the same. `grades` are the course's, `moved` the grade of a
    position whose stone is another one's ("" for none), and `settled` the doubts that were
    answered, each behind its position. `where` is the exercise as the screen says it. `ids` are the
    ids that the attempts will have, so that a draft saved just before the program died is not saved
    twice.
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
    typed: str = ""
    sizes: tuple[Question, ...] = ()
    stones: Mapping[str, str] = field(default_factory=dict)
    grades: "tuple[Grade, ...]" = ()
    moved: Mapping[str, str] = field(default_factory=dict)
    settled: tuple[str, ...] = ()
    where: str = ""

    def question(self) -> Question:
        """What the column of the moment asks."""
        return self.columns[self.column]

    def cell(self, row: int, column: int) -> str:
        """The digit or the size in a cell; empty for none."""
        return self.cells.get((self.positions[row], self.columns[column].field), "")

    def value(self, row: int, name: str) -> str:
        """What stands for a field at a position, in the record's words."""
        text = self.cells.get((self.positions[row], name), "")
        question = next(q for q in self.columns if q.field == name)
        return question.value_for(text) or "" if text and question.keys else text

    def shared(self, row: int) -> dict[str, str]:
        """What a position has without its cells: what all share, its stone, its grade."""
        position = self.positions[row]
        stone, known = self.stones.get(position), dict(self.base)
        if stone is not None and stone != self.base.get(STONE):
            # Sizes and tools of the first stone of a mixed row say nothing of another one's.
            known = {n: v for n, v in known.items() if n not in OF_ONE_STONE} | {STONE: stone}
        if position in self.moved:
            from platebook.practice.reading.doubts import BY_STONE

            grade = self.moved[position]
            known |= {"grade": grade, "proposed": BY_STONE if grade else ""}
        return known

    def doubt(self, row: int) -> "Doubt | None":
        """What is doubtful about a position and was not settled, or None."""
        filled = {q.field: self.value(row, q.field) for q in self.columns}
        values = self.shared(row) | {name: value for name, value in filled.items() if value}
        head = f"{self.positions[row]}|"
        mine = [mark[len(head) :] for mark in self.settled if mark.startswith(head)]
        return first_doubt(values, self.grades, mine)

    def needed(self, row: int, column: int) -> bool:
        """Whether a cell has anything to ask: no severity where there is no defect."""
        name = self.columns[column].field
        return name != SEVERITY or self.value(row, RESULT) not in UNDEFECTIVE

    def started(self) -> bool:
        """Whether anything was noted that would be missed."""
        return bool(self.cells or self.typed)

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
    looks = [Question(RESULT, "result", keys, wanted=(GOOD,), target=GOOD)]
    if not part:
        weights = tuple((str(n), str(n)) for n in SEVERITIES)
        looks.append(Question(SEVERITY, "severity", weights, target="1 slight, 2 clear, 3 lost"))
    asked = view.readings
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
        sizes=sizes_to_measure(view.sizes),
        ids=ids[: len(free)],
        began=began,
        base={name: value for name, value in base.items() if value},
        stones=_stones_in_turn(view, free),
        grades=view.grades,
        where=" · ".join(filter(None, (view.exercise_title, view.grade_title))),
    )


def _stones_in_turn(view: "NowView", positions: tuple[str, ...]) -> dict[str, str]:
    """The stone of each position of a mixed row, from the one that is next; empty for one size."""
    grade = next((g for g in view.grades if g.id == view.advice.grade), None)
    if grade is None or len(grade.stones_mm) < 2:
        return {}
    first = view.set_up.get(STONE, "")
    sizes = [f"{size:g}" for size in grade.stones_mm]
    near = [n for n, size in enumerate(grade.stones_mm) if _is_near(first, size)]
    start = near[0] if near else 0
    in_turn = {p: sizes[(start + n) % len(sizes)] for n, p in enumerate(positions)}
    return {p: first if first and _is_near(first, float(mm)) else mm for p, mm in in_turn.items()}


def _is_near(text: str, size_mm: float) -> bool:
    from platebook.practice.courses.course import is_near

    read = size_of(text)
    return read is not None and is_near(read, size_mm)


def settle(sheet: PlateSheet, row: int, sign: str) -> PlateSheet:
    """The sheet after an answer to what is doubtful at a position; the same where it says nothing.

    A size that is wrong is emptied, and its cell is the next one; where it has none here, a column
    for it comes first.
    """
    doubt = sheet.doubt(row)
    answer = answer_for(doubt, sign) if doubt is not None else None
    if doubt is None or answer is None:
        return sheet
    position = sheet.positions[row]
    if answer == "there":
        return replace(sheet, moved={**sheet.moved, position: doubt.grade})
    if answer == "as it is":
        settled = (*sheet.settled, f"{position}|{mark(doubt)}")
        return replace(sheet, settled=settled)
    name = field_of(doubt, answer) or doubt.field
    if name not in {q.field for q in sheet.columns}:
        sheet = measure(sheet, question_for(name))
    cells = {where: text for where, text in sheet.cells.items() if where != (position, name)}
    column = [q.field for q in sheet.columns].index(name)
    return replace(sheet, cells=cells, row=row, column=column, typed="")


def rows_of(sheet: PlateSheet, *, minutes: float | None = None) -> list[dict[str, str]]:
    """The judged positions as rows of the record.

    `minutes` is what the plate took; it is shared among all positions worked on, judged or not, and
    left out where no stone can have taken so short or so long.
    """
    judged = sheet.judged()
    worked = {position for position, _ in sheet.cells}
    share = minutes / len(worked) if minutes and worked else 0.0
    rows = []
    for row in judged:
        asked = (q.field for n, q in enumerate(sheet.columns) if sheet.needed(row, n))
        values = {name: sheet.value(row, name) for name in asked}
        values |= {"position": sheet.positions[row], "attempt_id": sheet.ids[row]}
        if SHORTEST_STONE_MINUTES <= share <= LONGEST_STONE_MINUTES:
            values["minutes"] = f"{share:.1f}"
        filled = {name: value for name, value in values.items() if value}
        shared = {name: value for name, value in sheet.shared(row).items() if value}
        rows.append({**shared, "began": sheet.began, **filled})
    return rows


def on_another_day(sheet: PlateSheet, days: int, *, today: date) -> PlateSheet:
    """The sheet of so many days later, never after today; of another day the hour is not known."""
    day = min(datetime.fromisoformat(sheet.began).date() + timedelta(days=days), today)
    return replace(sheet, began=day.isoformat())


def left_over(sheet: PlateSheet) -> PlateSheet | None:
    """The sheet without the judged positions; None where nothing was noted of the others."""
    judged = set(sheet.judged())
    kept = [row for row in range(len(sheet.positions)) if row not in judged]
    names = {sheet.positions[row] for row in kept}
    cells = {where: digit for where, digit in sheet.cells.items() if where[0] in names}
    if not cells:
        return None
    return replace(
        sheet,
        positions=tuple(sheet.positions[row] for row in kept),
        ids=tuple(sheet.ids[row] for row in kept),
        cells=cells,
        row=0,
        column=0,
    )


def to_draft(sheet: PlateSheet) -> dict[str, object]:
    """The sheet as plain values for the draft file."""
    plain = as_dict(replace(sheet, cells={}, grades=()))
    del plain["grades"]
    plain["cells"] = [[*where, digit] for where, digit in sheet.cells.items()]
    return {OF_A_PLATE: plain}


def from_draft(draft: Mapping[str, Any]) -> PlateSheet | None:
    """The sheet of a draft file; None where the file holds something else."""
    try:
        plain = draft[OF_A_PLATE]
        return PlateSheet(
            plate=str(plain["plate"]),
            positions=tuple(map(str, plain["positions"])),
            columns=tuple(map(question_from, plain["columns"])),
            sizes=tuple(map(question_from, plain.get("sizes", ()))),
            ids=tuple(map(str, plain["ids"])),
            began=str(plain["began"]),
            base={str(k): str(v) for k, v in plain["base"].items()},
            cells={(str(p), str(f)): str(d) for p, f, d in plain["cells"]},
            row=int(plain["row"]),
            column=int(plain["column"]),
            typed=str(plain.get("typed", "")),
            stones={str(k): str(v) for k, v in plain.get("stones", {}).items()},
            moved={str(k): str(v) for k, v in plain.get("moved", {}).items()},
            settled=tuple(map(str, plain.get("settled", ()))),
            where=str(plain.get("where", "")),
        )
    except (KeyError, TypeError, ValueError, AttributeError):
        return None


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
        return replace(sheet, typed=(sheet.typed + sign)[:LONGEST_SIZE])
    if question.value_for(sign) is None or not sheet.needed(sheet.row, sheet.column):
        return sheet
    return go_on(_filled(sheet, sign))


def go_on(sheet: PlateSheet) -> PlateSheet:
    """Take in what is typed, and go to the next cell that has anything to ask."""
    sheet = take_in(sheet)
    order = _order(sheet)
    following = order[order.index((sheet.row, sheet.column)) + 1 :]
    row, column = next((c for c in following if sheet.needed(*c)), (sheet.row, sheet.column))
    return replace(sheet, row=row, column=column)


def take_in(sheet: PlateSheet) -> PlateSheet:
    """The typed size stands in its cell."""
    return _filled(sheet, sheet.typed) if sheet.typed else sheet


def move(sheet: PlateSheet, *, rows: int = 0, columns: int = 0) -> PlateSheet:
    """To a cell nearby that has anything to ask; the edges hold."""
    sheet = take_in(sheet)
    row = min(max(sheet.row + rows, 0), len(sheet.positions) - 1)
    column = min(max(sheet.column + columns, 0), len(sheet.columns) - 1)
    while column > 0 and not sheet.needed(row, column):
        column -= 1
    return replace(sheet, row=row, column=column)


def rub_out(sheet: PlateSheet) -> PlateSheet:
    """The last sign typed, else the cell; where it is empty, the one before."""
    if sheet.typed:
        return replace(sheet, typed=sheet.typed[:-1])
    if not sheet.cell(sheet.row, sheet.column):
        order = _order(sheet)
        earlier = order[: order.index((sheet.row, sheet.column))]
        row, column = next(
            (c for c in reversed(earlier) if sheet.needed(*c)), (sheet.row, sheet.column)
        )
        sheet = replace(sheet, row=row, column=column)
    place = (sheet.positions[sheet.row], sheet.question().field)
    cells = {where: digit for where, digit in sheet.cells.items() if where != place}
    return replace(sheet, cells=cells)


def measure(sheet: PlateSheet, question: Question) -> PlateSheet:
    """A column of sizes before the look, unless it is there; the cursor goes to it."""
    sheet = take_in(sheet)
    fields = [q.field for q in sheet.columns]
    if question.field not in fields:
        place = fields.index(RESULT)
        fields.insert(place, question.field)
        columns = (*sheet.columns[:place], question, *sheet.columns[place:])
        sheet = replace(sheet, columns=columns)
    column = fields.index(question.field)
    rows = range(len(sheet.positions))
    row = next((row for row in rows if not sheet.cell(row, column)), 0)
    return replace(sheet, row=row, column=column)


def to_first_empty(sheet: PlateSheet) -> PlateSheet:
    """The sheet at its first cell that has something to ask and no answer; else at its first."""
    empty = (c for c in _order(sheet) if sheet.needed(*c) and not sheet.cell(*c))
    row, column = next(empty, (0, 0))
    return replace(sheet, row=row, column=column)


def _filled(sheet: PlateSheet, text: str) -> PlateSheet:
    place = (sheet.positions[sheet.row], sheet.question().field)
    return replace(sheet, cells={**sheet.cells, place: text}, typed="")


def _order(sheet: PlateSheet) -> list[tuple[int, int]]:
    """Rows and columns in the order they are asked."""
    rows = range(len(sheet.positions))
    looks = [n for n, q in enumerate(sheet.columns) if q.field in {RESULT, SEVERITY}]
    readings = [n for n in range(len(sheet.columns)) if n not in looks]
    return [(row, n) for n in readings for row in rows] + [(row, n) for row in rows for n in looks]
