"""What Progress and Course show in tests: an invented setter in the middle of a course."""

from tests.builders import an_attempt, some_course

from platebook.analysis.grades.progress import Progress, progress
from platebook.analysis.grades.states import State
from platebook.practice.attempt import Attempt
from platebook.services.pages.course_page import GROUPS, CourseRow, CourseView, StandsAt


def some_progress() -> Progress:
    """The first grade passed, the second worked at."""
    return progress(some_course(), [*_run("copper-1.5", "+" * 14), *_run("copper-2.0", MIXED)])


def no_progress() -> Progress:
    """The course before the first setting."""
    return progress(some_course(), [])


MIXED = "+-+-++-+++-++++"


def _run(grade: str, outcomes: str) -> list[Attempt]:
    return [
        an_attempt(
            attempt_id=f"{grade}-{place:03d}",
            grade=grade,
            result=("good",) if sign == "+" else ("loose",),
        )
        for place, sign in enumerate(outcomes)
    ]


def _grade_row(size: float, right: State, *about: str) -> CourseRow:
    return CourseRow(
        f"{size:g} mm in copper",
        right,
        about,
        practised=right == "practised",
        odds=("Of 100 who fail 20 in 100, 99 pass within 60 settings.",),
    )


def a_course_view() -> CourseView:
    """A short course in its middle."""
    return CourseView(
        title="Small to large",
        about="1.5 to 3.0 mm in copper; little depth, fine work.",
        grades=(
            _grade_row(1.5, "passed", "14 of 20 whole settings good."),
            _grade_row(
                2.0, "practised", "9 of 17 whole settings good.", "Opens after 1.5 mm in copper."
            ),
            _grade_row(2.5, "ahead", "Opens after 2 mm in copper."),
        ),
        exercises=(
            CourseRow(
                "Set a stone",
                "whole",
                ("Drill, open, seat, burnish.", "Good when: held"),
                group=GROUPS["whole"],
            ),
            CourseRow(
                "Five seats",
                "depth",
                ("Cut to depth.", "In rows of 5; 4 good ones pass."),
                group=GROUPS["part"],
            ),
        ),
        stands=StandsAt("2 mm in copper", 2, 3, 1, 4, "2.5 mm in copper", "Stones of 2.5 mm."),
    )
