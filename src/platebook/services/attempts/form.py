"""What the next attempt's form offers: the set-up used last, and the readings asked for."""

import functools
from collections.abc import Iterable, Mapping, Sequence
from zlib import crc32

from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course, ExtraField, Grade, is_near
from platebook.practice.fields import (
    TOOLS_OF_A_STONE,
    fields,
    parts,
    tools_not_of,
    tools_together,
)
from platebook.practice.reading.questions import YES_NO, Question, question_for
from platebook.practice.text import as_text
from platebook.trade.setup_sheet import SetUpSheet, ToolChoice
from platebook.values import Value, replace

READINGS = ("fit", "trial_height", "ledge", "fit_checks", "levelled_by", "burnish_passes")
"""The readings of a setting. Those asked of every setting come first, so that the first digits
of a stone always mean the same."""

BY_LOT = ("fit_checks", "levelled_by", "burnish_passes")
"""Readings of which one is asked of a whole setting: none of them is needed for the others."""

SNUG = ("enters tilted and snaps",)
WANTED_FIT = {
    "snap in": SNUG,
    "push in": ("enters with a firm push", *SNUG),
    "drop in": ("drops in",),
}
WANTED = {"trial_height": ("flush", "just under"), "ledge": ("even",)}


def readings_for(
    kind: str, part: str | None, grade: Grade | None, *, attempts: int = 0
) -> tuple[Question, ...]:
    """The readings of a whole setting, or those that a part exercise can have.

    Of a whole setting one of the lesser readings is asked by lot, so that an attempt costs a breath
    and none of them is noted only when things went wrong; `attempts` are those logged so far.
    """
    names = _of_part(part) if kind == PART else of_whole(attempts)
    method = grade.method if grade is not None else "snap in"
    return tuple(_reading(name, method) for name in names)


def _of_part(part: str | None) -> tuple[str, ...]:
    known = parts().get(part or "")
    return known.readings if known is not None else ()


def of_whole(attempts: int) -> tuple[str, ...]:
    """The readings asked of the whole setting after so many attempts, the lesser one last."""
    by_lot = BY_LOT[crc32(f"readings {attempts}".encode()) % len(BY_LOT)]
    return tuple(name for name in READINGS if name not in BY_LOT or name == by_lot)


def with_planned(asked: tuple[Question, ...], planned: Mapping[str, str]) -> tuple[Question, ...]:
    """The readings, and those of a block's choices that are readings, with what is planned."""
    named = dict.fromkeys([*(r.field for r in asked), *(n for n in planned if n in READINGS)])
    by_field = {reading.field: reading for reading in asked}
    return tuple(
        replace(
            by_field.get(name) or _reading(name, ""),
            target=f"{planned[name]}, as planned",
            wanted=(planned[name],),
        )
        if name in planned
        else by_field[name]
        for name in named
    )


@functools.cache
def _reading(name: str, method: str) -> Question:
    asked = question_for(name)
    wanted = WANTED_FIT[method] if name == "fit" else WANTED.get(name, ())
    target = " or ".join(value for _, value in asked.keys if value in wanted)
    return replace(asked, target=target, wanted=wanted)


def own_asked(course: Course) -> tuple[Question, ...]:
    """What the course, or the setter for themselves, keeps down beside the record."""
    return tuple(
        Question(
            field=extra.name,
            label=extra.name.replace("_", " "),
            keys=_own_keys(extra),
            meaning=extra.meaning,
        )
        for extra in course.extra
        if extra.asked in {"reading", "look", "optional"}
    )


MOST_DIGITS = 9


def _own_keys(extra: ExtraField) -> tuple[tuple[str, str], ...]:
    if extra.type == "yes/no":
        return YES_NO
    few = 0 < len(extra.choices) <= MOST_DIGITS
    return tuple((str(n), value) for n, value in enumerate(extra.choices, 1)) if few else ()


KEPT = ("once", "plate", "carried")
PART = "part"
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
    "curve",
    "curve_radius_mm",
    "backing",
    *TOOLS_OF_A_STONE,
    "seat_method",
)


def set_up_for(
    grade: Grade,
    sizes: SetUpSheet | None,
    attempts: Iterable[Attempt],
    *,
    part: str | None = None,
) -> Mapping[str, str]:
    """Values by field as text, for the fields of the set-up that have one.

    What was used last at this grade is carried over. At a grade that is new, stone and sheet come
    from the grade and cutting tools from the sizes; the rest is carried over from the last attempt.
    A `part` has no tools of steps that were done for the setter, and where no stone is in it only
    the size that its hole is for.
    """
    set_up = _of_a_setting(grade, sizes, list(attempts))
    foreign = tools_not_of(part)
    known = parts().get(part or "")
    if known is not None and not known.stone:
        foreign |= {n for n, f in fields().items() if f.group == "stone"} - {"stone_diameter_mm"}
    return {name: value for name, value in set_up.items() if name not in foreign}


def proposed_for(
    grade: Grade, sizes: SetUpSheet | None, attempts: Iterable[Attempt]
) -> frozenset[str]:
    """The fields of `set_up_for` that come from the grade and the sizes, and from no attempt."""
    _, proposed, noted = _whence(grade, sizes, list(attempts))
    return frozenset(proposed.keys() - noted.keys())


class SetUpDiffers(Value):
    """A tool of the set-up carried over that is not the one worked out for the stone.

    `label` names it, `carried` and `says` are the two sizes as text, and `takes` the values by
    field that the sheet's tool would put in its place.
    """

    field: str
    label: str
    carried: str
    says: str
    takes: Mapping[str, str]

    @property
    def sentence(self) -> str:
        """Both sizes in one sentence."""
        return f"The set-up has {self.label} {self.carried}; worked out is {self.says}."


NEAR_ENOUGH_MM = {"pilot_mm": 0.105, "opening_bur_mm": 0.105, "seat_bur_mm": 0.0005}
"""A pilot and an opening bur within about 0.1 mm serve as well; a seat bur is what it is."""


def set_up_differs(
    set_up: Mapping[str, str], sizes: SetUpSheet | None, *, planned: Iterable[str] = ()
) -> tuple[SetUpDiffers, ...]:
    """Where the set-up has another tool than the sheet says; what is `planned` is left alone."""
    if sizes is None:
        return ()
    said = _of_tools(sizes)
    named = {"pilot_mm": "pilot", "opening_bur_mm": "opening bur", "seat_bur_mm": "seat bur"}
    found = []
    for field, label in named.items():
        carried, says = set_up.get(field), said.get(field)
        if carried is None or says is None or field in planned:
            continue
        if abs(float(carried) - float(says)) < NEAR_ENOUGH_MM[field]:
            continue
        tool = field.removesuffix("_mm")
        takes = {n: v for n, v in said.items() if n == tool or n.startswith(f"{tool}_")}
        if field == "seat_bur_mm":
            takes = {"seat_bur": "", **takes}
        has, wanted = f"{float(carried):.2f}", f"{float(says):.2f}"
        found.append(SetUpDiffers(field, label, has, wanted, takes))
    return tuple(found)


def _of_a_setting(
    grade: Grade, sizes: SetUpSheet | None, made: Sequence[Attempt]
) -> dict[str, str]:
    kept, proposed, noted = _whence(grade, sizes, made)
    return {**kept, **proposed, **noted}


def _whence(
    grade: Grade, sizes: SetUpSheet | None, made: Sequence[Attempt]
) -> tuple[dict[str, str], dict[str, str], dict[str, str]]:
    """The set-up by where it comes from: other grades' attempts, a proposal, this grade's own."""
    settings = [a for a in made if a.kind != PART]
    here = with_stone_of(grade, settings)
    if any(_is_complete(attempt) for attempt in here):
        return {}, {}, _last_set_up(here)
    kept = {n: v for n, v in _last_set_up(settings or made).items() if n not in OF_THE_GRADE}
    of_grade = _of_grade(grade, stone_in_turn(grade, settings))
    proposed = {**of_grade, **(_of_tools(sizes) if sizes else {})}
    noted = _last_set_up(here)
    for group in (ONE_STONE, ONE_SHEET, *tools_together()):
        if not noted.keys().isdisjoint(group):
            proposed = {name: text for name, text in proposed.items() if name not in group}
    return kept, proposed, noted


COMPLETE = ("stone_diameter_mm", "metal", "sheet_mm", "pilot_mm", "seat_bur_mm")
"""What a set-up has to note to be carried over alone; what a sparser one leaves out is proposed."""


def _is_complete(attempt: Attempt) -> bool:
    return all(getattr(attempt, name) is not None for name in COMPLETE)


def stone_in_turn(grade: Grade, attempts: Iterable[Attempt]) -> float:
    """The size that is set next at a grade: its own, or of a mixed row the next one in turn."""
    return grade.stone_in_turn(sum(a.grade == grade.id and a.kind != PART for a in attempts))


def with_stone_of(grade: Grade, attempts: Sequence[Attempt]) -> list[Attempt]:
    """The attempts at this grade with the stone that is set next there, or with none noted.

    An odd stone that somebody logged at the grade says nothing of the next one.
    """
    size_mm = stone_in_turn(grade, attempts)
    at_grade = (a for a in attempts if a.grade == grade.id)
    return [
        a for a in at_grade if a.stone_diameter_mm is None or is_near(a.stone_diameter_mm, size_mm)
    ]


ONE_STONE = (
    "stone_diameter_mm",
    "stone_diameter_min_mm",
    "stone_diameter_max_mm",
    "stone_hole_mm",
    "stone_depth_mm",
    "stone_crown_mm",
    "stone_girdle",
    "stone_girdle_min_mm",
    "stone_girdle_max_mm",
    "stone_table_off_mm",
)
ONE_SHEET = ("metal", "sheet_mm", "layers", "curve", "curve_radius_mm")


def _last_set_up(attempts: Sequence[Attempt]) -> dict[str, str]:
    """What was used last of everything, as text by field, without what never was noted.

    An attempt that notes little hides nothing that was noted before it. What belongs together is
    taken from one attempt: a stone's sizes, metal with its sheet, each tool with its size.
    """
    known = set(_set_up_fields())
    together = [ONE_STONE, ONE_SHEET, *tools_together()]
    alone = [(name,) for name in _set_up_fields() if not any(name in group for group in together)]
    set_up: dict[str, str] = {}
    for group in (*together, *alone):
        noted = (a for a in reversed(attempts) if any(getattr(a, n) is not None for n in group))
        last = next(noted, None)
        texts = {n: as_text(getattr(last, n)) for n in group if n in known} if last else {}
        set_up |= {name: text for name, text in texts.items() if text}
    return {name: set_up[name] for name in _set_up_fields() if name in set_up}


@functools.cache
def _set_up_fields() -> tuple[str, ...]:
    groups = {"stone", "sheet", "tools", "reading"}
    return tuple(f.name for f in fields().values() if f.group in groups and f.asked in KEPT)


def _of_grade(grade: Grade, stone_mm: float) -> dict[str, str]:
    values = {
        "stone_material": grade.stone_material,
        "stone_diameter_mm": stone_mm,
        "metal": grade.metal,
        "metal_state": grade.metal_state,
        "sheet_mm": round(grade.sheet_mm, 3),
        "layers": grade.layers,
        "backing": grade.backing,
        "curve": None if grade.curve == "flat" else grade.curve,
        "curve_radius_mm": grade.curve_radius_mm,
        "hand_cut": True if grade.hand_cut else None,
        "seat_method": grade.method,
    }
    return {n: as_text(v) or "" for n, v in values.items() if v is not None}


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
