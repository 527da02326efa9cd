"""What a class workbook says of one setter beyond their line, as plain values.

| function | gives |
|---|---|
| `facts_of` | grades passed with day and signer, what comes next and needs, stock used by period |
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from platebook.advice.exercise import NextExercise
from platebook.analysis.grades.progress import GradeProgress, progress
from platebook.analysis.periods.practice_by_week import WEEKS
from platebook.analysis.periods.stock import Stock, sheet_text, stock_used
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course, Grade
from platebook.practice.fields import parts, steps_done
from platebook.services.attempts.form import stone_in_turn
from platebook.services.classes.setter_work import SetterLog, next_of
from platebook.trade.rules import RuleBook
from platebook.trade.stones import size_text
from platebook.values import Value

PERIODS: Mapping[str, int | None] = {
    "used in 7 days": 7,
    f"used in {WEEKS} weeks": 7 * WEEKS,
    "used in all": None,
}
"""The stretches up to today that stock is counted over, in days; None for all there is."""


class PassedGrade(Value):
    """One grade that stands as passed: the day, None where none is noted, and who signed it."""

    title: str
    day: date | None
    signed_by: str


class Need(Value):
    """What the next exercise asks for: so many of one stone, or of places in one sheet.

    `area_mm2` is the metal under them, all layers, at the usual distance; None for stones.
    """

    kind: str
    what: str
    material: str
    count: int
    area_mm2: float | None = None


class Facts(Value):
    """One setter: grades passed, easiest first, the next exercise in words, its needs, stock.

    `used` is in the order of `PERIODS`.
    """

    passed: tuple[PassedGrade, ...]
    next_title: str
    needs: tuple[Need, ...]
    used: tuple[Stock, ...]


def facts_of(log: SetterLog, today: date) -> Facts:
    """The setter's part of the workbook, asked on this day."""
    attempts = log.attempts()
    standing = progress(log.course, attempts, today=today, sign_offs=log.sign_offs, curves=False)
    days = {a.attempt_id: a.began.date() for a in attempts if a.began is not None}
    advice = next_of(log, today)
    return Facts(
        passed=tuple(
            _passed(log, grade, days) for grade in standing.grades if grade.state == "passed"
        ),
        next_title=f"{advice.title}, {advice.grade_title}",
        needs=tuple(_needs(log.course, advice, attempts)),
        used=tuple(_used(log.course, attempts, length, today) for length in PERIODS.values()),
    )


def _passed(log: SetterLog, grade: GradeProgress, days: Mapping[str | None, date]) -> PassedGrade:
    """The later of the day its points were enough and, of a signed grade, that of the sign-off."""
    reached = [step.attempt_id for step in grade.path if step.event in PASSING]
    day = days.get(reached[-1]) if reached else None
    if grade.signed_by is None:
        return PassedGrade(grade.title, day, "")
    signed = [
        s.signed.date()
        for s in log.sign_offs
        if s.grade == grade.grade and s.course == log.course.id and s.signed is not None
    ]
    known = [each for each in (day, *signed[-1:]) if each is not None]
    return PassedGrade(grade.title, max(known, default=None), grade.signed_by)


PASSING = frozenset({"passed", "to be signed off"})
"""What a step of the points says where they were enough."""


def _used(course: Course, attempts: Iterable[Attempt], length: int | None, today: date) -> Stock:
    if length is None:
        return stock_used(course, attempts)
    return stock_used(course, attempts, today - timedelta(days=length - 1), today)


def _needs(course: Course, advice: NextExercise, attempts: tuple[Attempt, ...]) -> Iterable[Need]:
    """Stones by size, each of a mixed row in its turn, and places in the grade's sheet."""
    grade = course.grade(advice.grade)
    if grade is None:
        return
    if advice.part is None or parts()[advice.part].stone:
        for size_mm, count in _stones_in_turn(grade, attempts, advice.repeat).items():
            yield Need("stone", size_text(size_mm), grade.stone_material, count)
    if steps_done(advice.kind, advice.part):
        pitch_mm = RuleBook().rule("plate pitch").size_mm(max(grade.stones_mm))
        what = sheet_text(grade.metal, grade.sheet_mm, grade.layers)
        area_mm2 = advice.repeat * grade.layers * pitch_mm**2
        yield Need("sheet", what, grade.metal, advice.repeat, area_mm2)


def _stones_in_turn(grade: Grade, attempts: tuple[Attempt, ...], repeat: int) -> Counter[float]:
    first = grade.stones_mm.index(stone_in_turn(grade, attempts))
    return Counter(grade.stone_in_turn(first + number) for number in range(repeat))
