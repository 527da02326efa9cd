"""The attempts that count for points: whole settings that were judged, at a grade of the course.

Parts count for their skill and blocks for findings, so neither is here. What was not judged counts
nowhere.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from platebook.practice.attempt import Attempt, in_order
from platebook.practice.course import Course, Grade
from platebook.practice.look import failed

WHOLE = "whole"


@dataclass(frozen=True, slots=True)
class WholeSetting:
    """One judged whole setting with the grade it counts for."""

    attempt: Attempt
    grade: Grade
    failed: bool


def one_setter(attempts: Iterable[Attempt]) -> None:
    """Raise ValueError where the attempts are of more than one setter."""
    setters = {a.setter_id or a.setter for a in attempts} - {None}
    if len(setters) > 1:
        raise ValueError(f"the attempts are of {len(setters)} setters, one was expected")


def kind_of(attempt: Attempt) -> str:
    """Kind of exercise; an empty field is a whole setting."""
    return attempt.kind or WHOLE


def has_failed(attempt: Attempt, course: Course, grade: Grade) -> bool | None:
    """Whether the attempt is a failure as this course judges; None where it was not judged."""
    return failed(attempt, failure_from=course.failure_from, enclosed=grade.culet == "enclosed")


def whole_settings(course: Course, attempts: Iterable[Attempt]) -> tuple[WholeSetting, ...]:
    """Judged whole settings at grades of this course, in the order they were made."""
    found: list[WholeSetting] = []
    for attempt in in_order(attempts):
        grade = course.grade(attempt.grade) if attempt.grade else None
        if grade is None or kind_of(attempt) != WHOLE:
            continue
        outcome = has_failed(attempt, course, grade)
        if outcome is not None:
            found.append(WholeSetting(attempt, grade, outcome))
    return tuple(found)
