"""The set-up offered for the next attempt: what was used last, or what grade and drawer ask for."""

import functools
from collections.abc import Iterable, Mapping

from platebook.practice.attempt import Attempt
from platebook.practice.course import Grade
from platebook.practice.fields import fields
from platebook.practice.text import as_text
from platebook.trade.setup_sheet import SetUpSheet, ToolChoice

KEPT = ("once", "plate", "carried")
OF_THE_GRADE = (
    "stone_material",
    "stone_lot",
    "stone_diameter_mm",
    "stone_depth_mm",
    "hand_cut",
    "metal",
    "metal_state",
    "sheet_mm",
    "layers",
    "backing",
    "pilot_mm",
    "opening_bur_shape",
    "opening_bur_mm",
    "seat_bur",
    "seat_bur_shape",
    "seat_bur_mm",
    "seat_method",
)


def set_up_for(
    grade: Grade, sizes: SetUpSheet | None, attempts: Iterable[Attempt]
) -> Mapping[str, str]:
    """Values by field as text, for the fields of the set-up that have one.

    What was used last at this grade is carried over. At a grade that is new, stone and sheet come
    from the grade and cutting tools from the sizes; the rest is carried over from the last attempt.
    """
    made = list(attempts)
    settings = [a for a in made if a.kind != "part"]
    here = [a for a in settings if a.grade == grade.id]
    last = (here or settings or made)[-1:]
    carried = _set_up_of(last[0]) if last else {}
    if here:
        return carried
    kept = {n: v for n, v in carried.items() if n not in OF_THE_GRADE}
    return {**kept, **_of_grade(grade), **(_of_tools(sizes) if sizes else {})}


def _set_up_of(attempt: Attempt) -> dict[str, str]:
    """The attempt's set-up as text by field, without what is empty."""
    values = ((name, getattr(attempt, name)) for name in _set_up_fields())
    return {name: text for name, value in values if value is not None and (text := as_text(value))}


@functools.cache
def _set_up_fields() -> tuple[str, ...]:
    groups = {"stone", "sheet", "tools", "reading"}
    return tuple(f.name for f in fields().values() if f.group in groups and f.asked in KEPT)


def _of_grade(grade: Grade) -> dict[str, str]:
    found = {
        "stone_material": grade.stone_material,
        "stone_diameter_mm": grade.stones_mm[0],
        "metal": grade.metal,
        "metal_state": grade.metal_state,
        "sheet_mm": round(grade.sheet_mm, 3),
        "layers": grade.layers,
        "backing": grade.backing,
        "seat_method": grade.method,
    }
    return {n: as_text(v) or "" for n, v in found.items() if v is not None}


def _of_tools(sizes: SetUpSheet) -> dict[str, str]:
    seat = sizes.seat_bur
    return {
        "pilot_mm": as_text(sizes.pilot_drill.choose_mm) or "",
        **_bur("opening_bur", sizes.opening_bur),
        **_bur("seat_bur", seat),
        **({"seat_bur": seat.tool} if seat.from_ == "drawer" else {}),
    }


def _bur(name: str, choice: ToolChoice) -> dict[str, str]:
    shape = {f"{name}_shape": choice.shape} if choice.shape else {}
    return {**shape, f"{name}_mm": as_text(choice.choose_mm) or ""}
