"""The readings an exercise asks for: which, by which key, and what is wanted of each."""

import functools
from dataclasses import dataclass
from zlib import crc32

from platebook.practice.course import Grade
from platebook.practice.fields import Choice, choices, fields
from platebook.practice.parts import parts

LABELS = {
    "fit": "fit",
    "trial_height": "trial height",
    "ledge": "ledge",
    "fit_checks": "fit checks",
    "levelled_by": "levelled by",
    "burnish_passes": "burnish passes",
}
"""The readings with their names. Those asked of every setting come first, so that the first digits
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


@dataclass(frozen=True)
class Reading:
    """One reading: its field and label, the digit of each value, and what is wanted.

    `key_values` is empty where a length is typed; then `unit`, `low` and `high` say what of.
    """

    field: str
    label: str
    key_values: tuple[tuple[str, str], ...]
    unit: str = ""
    target: str = ""
    low: float | None = None
    high: float | None = None
    wanted: tuple[str, ...] = ()
    meaning: str = ""


def readings_for(
    kind: str, part: str | None, grade: Grade | None, *, attempts: int = 0
) -> tuple[Reading, ...]:
    """The readings of a whole setting, or those that a part exercise can have.

    Of a whole setting one of the lesser readings is asked by lot, so that an attempt costs a breath
    and none of them is noted only when things went wrong; `attempts` are those logged so far.
    """
    names = _of_part(part) if kind == "part" else of_whole(attempts)
    method = grade.method if grade is not None else "snap in"
    return tuple(_reading(name, method) for name in names)


def _of_part(part: str | None) -> tuple[str, ...]:
    known = parts().get(part or "")
    return known.readings if known is not None else ()


def of_whole(attempts: int) -> tuple[str, ...]:
    """The readings asked of the whole setting after so many attempts, the lesser one last."""
    by_lot = BY_LOT[crc32(f"readings {attempts}".encode()) % len(BY_LOT)]
    return tuple(name for name in LABELS if name not in BY_LOT or name == by_lot)


@functools.cache
def _reading(name: str, method: str) -> Reading:
    values = choices()[name]
    wanted = WANTED_FIT[method] if name == "fit" else WANTED.get(name, ())
    keys = tuple((_key(place, choice), choice.value) for place, choice in enumerate(values, 1))
    target = " or ".join(f"{k} {v}" for k, v in keys if v in wanted)
    return Reading(
        field=name,
        label=LABELS[name],
        key_values=keys,
        target=target,
        wanted=wanted,
        meaning=fields()[name].meaning,
    )


def _key(place: int, choice: Choice) -> str:
    """The value's rank where the record gives it one, else its place in the list."""
    return str(place if choice.rank is None else choice.rank)
