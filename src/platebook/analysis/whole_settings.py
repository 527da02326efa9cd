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
