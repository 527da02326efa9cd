"""What an attempt says that can hardly be so: another grade's stone, a fit no such seat can have.

And a stone that was measured as too uneven to be set: it is asked whether it was set all the same.

Neither is an error: a person is asked, and may have it so. The app asks while it is typed, `record`
and an import tell it in a notice.
"""

from collections.abc import Sequence
from typing import Literal

from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Grade, fitting_grade
from platebook.practice.fields import ranks
from platebook.practice.problem import Problem
from platebook.practice.text import number_text
from platebook.trade.records import Stone
from platebook.trade.rules import RuleBook
from platebook.trade.stones import profile
from platebook.trade.unevenness import why_refused
from platebook.trade.validation import check_stone
from platebook.values import Value

NARROWEST_MM, WIDEST_MM = -0.10, 0.30
"""A bur cuts no narrower and no wider of its size than this; beyond lie typing errors, or another
bur (judgement)."""

PIN_MM = 0.04
"""A hole is no narrower than what has entered it, but for the uncertainty of both (judgement)."""

SNUG_MM = 0.12
"""A stone that drops in and does not move lies in a seat no wider than this above it: twice the
customary 0.06 mm (judgement)."""

_SNAPS, _DROPS = 3, 4
"""Answers of `fit`: up to the first the seat is no wider than the stone, from the second wider."""


BY_STONE = "grade by stone"
"""Stands in `proposed` where the stone decided the grade, not the setter."""


def moved_by_stone(attempt: Attempt) -> bool:
    """Whether an attempt was meant for another grade than that of its stone, where it counts."""
    return BY_STONE in (attempt.proposed or "").split(";")


class Doubt(Value):
    """One thing that can hardly be so.

    `field` is what was read and `expected` what goes with the rest, as in a problem; `question` is
    how a person is asked. Of a stone `grade` is where it belongs, with its `title`, both empty
    where no grade of the course has such a stone.
    """

    about: Literal["stone", "fit", "uneven", "curve"]
    field: str
    read: str
    expected: str
    question: str
    grade: str = ""
    title: str = ""

    def as_notice(self, row: int) -> Problem:
        """The same as a notice about a row."""
        return Problem(row, self.field, self.read, self.expected, "notice")


def doubts_about(attempt: Attempt, grades: Sequence[Grade]) -> tuple[Doubt, ...]:
    """All doubts about an attempt at one of these grades, of its stone first; empty for none."""
    raised = (
        _odd_stone(attempt, grades),
        _unsaid_curve(attempt, grades),
        _uneven_stone(attempt),
        _impossible_fit(attempt),
    )
    return tuple(filter(None, raised))


def _odd_stone(attempt: Attempt, grades: Sequence[Grade]) -> Doubt | None:
    """A stone that is not of the grade it is logged at."""
    stone_mm = attempt.stone_diameter_mm
    grade = next((g for g in grades if g.id == attempt.grade), None)
    if stone_mm is None or grade is None or grade.has_stone(stone_mm):
        return None
    metal = attempt.metal or grade.metal
    belongs = fitting_grade(grades, stone_mm=stone_mm, metal=metal)
    if belongs is None:
        curved = [g for g in grades if g.is_curved_so(attempt.curve, attempt.curve_radius_mm)]
        belongs = fitting_grade(curved, stone_mm=stone_mm, metal=metal)
    sizes = " or ".join(number_text(size) for size in grade.stones_mm)
    read = f"{number_text(stone_mm)} mm"
    expected = f"about {sizes} mm, as {grade.title} has it"
    if belongs is None and (alike := _alike_but_for_curve(grades, stone_mm, metal)):
        question = (
            f"A stone of {read}: flat or curved? The course has it in {metal} as "
            f"{_curves(alike)}. Log it as work of your own?"
        )
        return Doubt("stone", "stone_diameter_mm", read, expected, question)
    if belongs is None:
        question = (
            f"{grade.title} has stones of {sizes} mm, and no grade in this metal has {read}. "
            "Log it as work of your own?"
        )
        return Doubt("stone", "stone_diameter_mm", read, expected, question)
    question = f"A stone of {read}: that is {belongs.title}. Log it there?"
    return Doubt("stone", "stone_diameter_mm", read, expected, question, belongs.id, belongs.title)


def _alike_but_for_curve(grades: Sequence[Grade], stone_mm: float, metal: str) -> tuple[Grade, ...]:
    """The grades with this one stone and metal, where more than one curve tells them apart."""
    alike = tuple(
        g for g in grades if g.metal == metal and len(g.stones_mm) == 1 and g.has_stone(stone_mm)
    )
    return alike if len({(g.curve, g.curve_radius_mm) for g in alike}) > 1 else ()


def _curves(grades: Sequence[Grade]) -> str:
    """What each grade is in, with its id: a dome of 25 mm radius (dome-25-2.0) or flat (flat-2)."""
    words = []
    for grade in grades:
        radius = f"a {grade.curve} of {grade.curve_radius_mm or 0:g} mm radius"
        words.append(f"{'flat' if grade.curve == 'flat' else radius} ({grade.id})")
    *first, last = words
    return f"{', '.join(first)} or {last}"


def _unsaid_curve(attempt: Attempt, grades: Sequence[Grade]) -> Doubt | None:
    """A stone that the course has in metal of several curves, where none was noted and no grade."""
    stone_mm, metal = attempt.stone_diameter_mm, attempt.metal
    if attempt.grade is not None or stone_mm is None or metal is None:
        return None
    alike = _alike_but_for_curve(grades, stone_mm, metal)
    fits = [g for g in alike if g.is_curved_so(attempt.curve, attempt.curve_radius_mm)]
    if len(fits) < 2 or fitting_grade(fits, stone_mm=stone_mm, metal=metal) is not None:
        return None
    read = "nothing" if attempt.curve is None else attempt.curve
    return Doubt(
        "curve",
        "curve",
        read,
        f"flat or curved: {number_text(stone_mm)} mm in {metal} is here {_curves(fits)}; without "
        "curve and radius no grade is proposed",
        f"Flat or curved? The course has {number_text(stone_mm)} mm in {metal} as {_curves(fits)}.",
    )


MEASURED_UNEVEN = {
    "stone_diameter_min_mm": "diameter_min_mm",
    "stone_diameter_max_mm": "diameter_max_mm",
    "stone_hole_mm": "hole_mm",
    "stone_girdle_min_mm": "girdle_low_mm",
    "stone_girdle_max_mm": "girdle_high_mm",
    "stone_table_off_mm": "table_off_mm",
}
"""What tells an uneven stone, in the record and as the trade has it."""


def _uneven_stone(attempt: Attempt) -> Doubt | None:
    """A stone measured as too uneven to be set (a rule's limits, judgement)."""
    told = {trade: getattr(attempt, name) for name, trade in MEASURED_UNEVEN.items()}
    if attempt.stone_diameter_mm is None or all(mm is None for mm in told.values()):
        return None
    measured = {"diameter_mm": attempt.stone_diameter_mm, **told}
    if check_stone(measured):
        return None
    stone, book = Stone.model_validate(measured), RuleBook()
    unfit = why_refused(stone, profile(stone, book).table_mm, book)
    if not unfit:
        return None
    field = next(name for name, trade in MEASURED_UNEVEN.items() if trade == unfit[0].field)
    words = " and ".join(reason.words for reason in unfit)
    return Doubt(
        "uneven",
        field,
        f"{number_text(getattr(attempt, field))} mm",
        f"a stone to refuse, or to set where nobody looks closely: {words}",
        f"This stone is one to refuse: {words}. Was it set all the same?",
    )


def _impossible_fit(attempt: Attempt) -> Doubt | None:
    """A fit that no seat of this bur, or with these pins, can have with this stone."""
    stone_mm, rank = attempt.stone_diameter_mm, ranks("fit").get(attempt.fit or "")
    narrowest, widest = seat_limits(attempt)
    if stone_mm is None or rank is None:
        return None
    too_wide = (rank <= _SNAPS and narrowest > stone_mm) or (
        rank == _DROPS and narrowest > stone_mm + SNUG_MM
    )
    too_narrow = rank >= _DROPS and widest < stone_mm
    if not (too_wide or too_narrow):
        return None
    seat = f"at least {narrowest:.2f} mm wide" if too_wide else f"at most {widest:.2f} mm wide"
    expected = f"a fit that a stone of {number_text(stone_mm)} mm can have in a seat {seat}"
    question = (
        f"A stone of {number_text(stone_mm)} mm that {attempt.fit}: but the seat of this bur is "
        f"{seat}. Is it so?"
    )
    return Doubt("fit", "fit", str(attempt.fit), expected, question)


def seat_limits(attempt: Attempt) -> tuple[float, float]:
    """The narrowest and widest that the seat can be by its bur and its pins, in millimetres.

    Nought and infinity where neither tells anything.
    """
    narrowest, widest = 0.0, float("inf")
    if attempt.seat_bur_mm is not None:
        narrowest, widest = attempt.seat_bur_mm + NARROWEST_MM, attempt.seat_bur_mm + WIDEST_MM
    if attempt.seat_go_mm is not None:
        narrowest = max(narrowest, attempt.seat_go_mm - PIN_MM)
    if attempt.seat_nogo_mm is not None:
        widest = min(widest, attempt.seat_nogo_mm + PIN_MM)
    return narrowest, widest
