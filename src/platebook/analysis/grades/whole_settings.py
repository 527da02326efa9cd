"""The attempts that count for points, and the sign-offs among them.

Parts count for their skill and blocks for findings, so neither is here. What was not judged counts
nowhere.

A sign-off says that a grade is passed where the course asks for an instructor's word. It counts
from the setting after which it was given, and until the grade falls back: then it has to be given
again. By the last attempt that counted when it was given, not by the clock, so wrong clocks do no
harm; only where that attempt is not in the log its time decides. At 0 sign-offs nothing is signed.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from platebook.practice.attempt import Attempt, in_order
from platebook.practice.courses.course import Course, Grade
from platebook.practice.records import SignOff
from platebook.practice.results import failed
from platebook.values import Value

WHOLE = "whole"


class WholeSetting(Value):
    """One judged whole setting with the grade it counts for."""

    attempt: Attempt
    grade: Grade
    failed: bool

    @property
    def day(self) -> date | None:
        """The day it was made, by the bench's own date; None where none is noted."""
        return self.attempt.began.date() if self.attempt.began is not None else None


def one_setter(attempts: Iterable[Attempt]) -> None:
    """Raise ValueError where the attempts are of more than one setter."""
    setters = {a.setter_id or a.setter for a in attempts} - {None}
    if len(setters) > 1:
        raise ValueError(f"the attempts are of {len(setters)} setters, one was expected")


def as_whole_settings(course: Course, attempts: Iterable[Attempt]) -> list[WholeSetting | None]:
    """What each attempt counts as, in its place; None for one that does not count.

    An empty kind is a whole setting.
    """
    grades = {grade.id: grade for grade in course.grades}
    settings: list[WholeSetting | None] = []
    for attempt in attempts:
        setting = None
        grade = grades.get(attempt.grade or "")
        if grade is not None and (attempt.kind or WHOLE) == WHOLE:
            enclosed = grade.culet == "enclosed"
            outcome = failed(attempt, failure_from=course.failure_from, enclosed=enclosed)
            if outcome is not None:
                setting = WholeSetting(attempt, grade, outcome)
        settings.append(setting)
    return settings


def whole_settings(course: Course, attempts: Iterable[Attempt]) -> tuple[WholeSetting, ...]:
    """Judged whole settings at grades of this course, in the order they were made."""
    settings = as_whole_settings(course, in_order(attempts))
    return tuple([setting for setting in settings if setting is not None])


Signed = Mapping[str, tuple[int, ...]]
"""By grade id: after how many of the setter's whole settings it was signed off, each time."""


def signed(
    course: Course, settings: Sequence[WholeSetting], sign_offs: Iterable[SignOff]
) -> Signed:
    """Where the sign-offs of this course stand among the settings; those of others are left out."""
    places = {s.attempt.attempt_id: n for n, s in enumerate(settings, 1) if s.attempt.attempt_id}
    by_grade: dict[str, tuple[int, ...]] = {}
    for sign_off in sign_offs:
        if sign_off.course == course.id and course.asks_sign_off(sign_off.grade):
            place = places.get(sign_off.attempt_id)
            number = _by_time(settings, sign_off) if place is None else place
            by_grade[sign_off.grade] = (*by_grade.get(sign_off.grade, ()), number)
    return by_grade


def log_to_play(
    course: Course, attempts: Iterable[Attempt], sign_offs: Iterable[SignOff]
) -> tuple[Signed, list[tuple[Attempt, WholeSetting | None]]]:
    """One setter's log in order, each attempt with what it counts as, and where it was signed.

    Raises ValueError where the attempts are of several setters.
    """
    ordered = in_order(attempts)
    one_setter(ordered)
    settings = as_whole_settings(course, ordered)
    counted = [setting for setting in settings if setting is not None]
    return signed(course, counted, sign_offs), list(zip(ordered, settings, strict=True))


def _by_time(settings: Sequence[WholeSetting], sign_off: SignOff) -> int:
    signed = sign_off.signed
    if signed is None:
        return len(settings)
    return sum(s.attempt.began is not None and s.attempt.began <= signed for s in settings)
