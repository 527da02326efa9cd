"""What is asked about an attempt while it is typed: an odd stone, an impossible fit.

A doubt is asked once, as soon as the value that raises it is taken in, and at the latest before
saving. One that was answered is settled and not asked again while its values stand.
"""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Literal

from platebook.practice.reading.questions import size_of

if TYPE_CHECKING:
    from platebook.practice.courses.course import Grade
    from platebook.practice.reading.doubts import Doubt

DOUBT = "doubt"
SIZES = ("curve_radius_mm", "stone_diameter_mm", "seat_bur_mm", "seat_go_mm", "seat_nogo_mm")
UNEVEN = (
    "stone_diameter_min_mm",
    "stone_diameter_max_mm",
    "stone_hole_mm",
    "stone_girdle_min_mm",
    "stone_girdle_max_mm",
    "stone_table_off_mm",
)
"""What may be measured of an uneven stone."""
RAISED_BY = frozenset({*SIZES, *UNEVEN, "curve", "fit", "metal"})
"""The fields whose answer may raise a doubt."""

Answer = Literal["as it is", "there", "stone", "bur", "fit", "reading"]
"""Kept as typed, logged where the stone belongs, or one of the four typed anew; a `reading` is the
one that raised the doubt."""


def first_doubt(
    values: Mapping[str, str], grades: "Sequence[Grade]", settled: Sequence[str]
) -> "Doubt | None":
    """The first doubt about these values that nobody has settled, or None."""
    if not grades or not values.get("stone_diameter_mm"):
        return None
    from platebook.practice.attempt import Attempt
    from platebook.practice.reading.doubts import doubts_about

    words = {name: values.get(name) or None for name in ("grade", "metal", "curve", "fit")}
    sizes = {name: size_of(values.get(name, "")) for name in (*SIZES, *UNEVEN)}
    attempt = Attempt().with_values(**words, **sizes)
    return next((d for d in doubts_about(attempt, grades) if mark(d) not in settled), None)


def mark(doubt: "Doubt") -> str:
    """What stands for a doubt once it is settled: another value raises another one."""
    return f"{doubt.field} {doubt.read}: {doubt.expected}"


def ways_out(doubt: "Doubt") -> tuple[tuple[str, Answer, str], ...]:
    """The digits that answer a doubt, what each does, and its words."""
    again: tuple[tuple[str, Answer, str], ...] = (("2", "stone", "The stone's size is wrong."),)
    if doubt.about == "fit":
        return (
            ("1", "as it is", "It is so: keep it."),
            *again,
            ("3", "bur", "The bur's size is wrong."),
            ("4", "fit", "The fit is wrong."),
        )
    if doubt.about == "uneven":
        return (("1", "as it is", "Yes: keep it."), ("2", "reading", "No: that was read wrong."))
    there = f"Yes, at {doubt.title}." if doubt.grade else "Yes, as work of my own, at no grade."
    return (("1", "there", there), ("0", "as it is", "No, keep it at this grade."), *again)


def answer_for(doubt: "Doubt", sign: str) -> Answer | None:
    """What a digit answers, or None."""
    return next((answer for key, answer, _ in ways_out(doubt) if key == sign), None)


def field_of(doubt: "Doubt", answer: Answer) -> str | None:
    """The field that is typed anew after an answer; None where none is."""
    if answer == "reading":
        return doubt.field
    return {"stone": "stone_diameter_mm", "bur": "seat_bur_mm", "fit": "fit"}.get(answer)
