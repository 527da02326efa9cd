"""A whole plate while it is filled in: a frozen value, always standing at one cell.

`plate_moves` turns each key into the next sheet; the screen holds one and feeds it keys in the
order they came.
"""

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from platebook.practice.defects import GOOD, MISSED
from platebook.practice.look import RESULT_KEYS, SEVERITIES
from platebook.tui.entry import PART_KEYS, RESULT, SEVERITY
from platebook.tui.questions import Question, question_from, question_of, sizes_to_measure

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
    the digits and sizes given, by position and field; `typed` is the size being typed, and `sizes`
    are those that a column more can be measured of. `ids` are the ids that the attempts will have,
    so that a draft saved just before the program died is not saved twice.
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
        sizes=sizes_to_measure(view.sizes),
        ids=ids[: len(free)],
        began=began,
        base={name: value for name, value in base.items() if value},
    )


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
        )
    except (KeyError, TypeError, ValueError, AttributeError):
        return None
