"""Sign-offs in the points: enough points wait, a signature passes, what falls is signed again."""

from datetime import timedelta

import pytest
from tests.advice.evenings import FIRST_EVENING, evenings
from tests.advice.two_track_course import two_track_course

from platebook.analysis.grades.points import count_points
from platebook.analysis.grades.progress import GradeProgress, progress
from platebook.analysis.grades.whole_settings import signed, whole_settings
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.practice.records import SignOff
from platebook.reports.text.analysis_text import grade_line

ASKS = two_track_course(sign_off=True)
EASIEST = "copper-1.5"
ENOUGH = "+" * 11
FALLS = "-" * 12


def a_sign_off(attempt_id: str = "", **values: object) -> SignOff:
    """The easiest grade of the course signed off after this attempt."""
    known = {"setter_id": "s", "course": ASKS.id, "grade": EASIEST, "signed_by": "Tutor"}
    return SignOff.model_validate({**known, "attempt_id": attempt_id, **values})


def at(attempts: list[Attempt], *sign_offs: SignOff, course: Course = ASKS) -> GradeProgress:
    """Where the easiest grade stands."""
    answer = progress(course, attempts, sign_offs=sign_offs).grade(EASIEST)
    assert answer is not None
    return answer


def test_enough_points_wait_for_a_sign_off() -> None:
    """They stand and do not pass; no harder grade is opened meanwhile."""
    answer = progress(ASKS, evenings(ENOUGH))
    grade = answer.grades[0]
    assert (grade.state, grade.points, grade.promote_at, grade.good_to_go) == (
        "to be signed off",
        11,
        11,
        0,
    )
    assert [g.state for g in answer.grades[1:4]] == ["ahead", "ahead", "ahead"]
    assert [step.event for step in grade.path if step.event] == ["to be signed off"]
    assert "11 of 11 points; waits for an instructor's sign-off." in grade_line(grade)


def test_a_sign_off_passes_it_and_says_who_signed() -> None:
    """From the setting after which it was given."""
    grade = at(evenings(ENOUGH), a_sign_off("a00010"))
    assert (grade.state, grade.signed_by) == ("passed", "Tutor")
    assert "Signed off by Tutor." in grade_line(grade)


def test_a_course_that_asks_for_none_counts_as_ever() -> None:
    """With or without sign-offs; and a grade may differ from its course."""
    plain = two_track_course()
    assert at(evenings(ENOUGH), course=plain).state == "passed"
    assert at(evenings(ENOUGH), a_sign_off("a00010"), course=plain).signed_by is None
    grades = tuple(g.model_copy(update={"sign_off": g.id == EASIEST or None}) for g in plain.grades)
    alone = two_track_course(grades=grades)
    assert [alone.asks_sign_off(g.id) for g in alone.grades][:2] == [True, False]
    assert at(evenings(ENOUGH), course=alone).state == "to be signed off"
    assert not two_track_course(
        sign_off=True, grades=tuple(g.model_copy(update={"sign_off": False}) for g in plain.grades)
    ).asks_sign_off(EASIEST)


@pytest.mark.parametrize(
    ("sign_off", "state"),
    [
        (a_sign_off("a00003"), "passed"),
        (a_sign_off("a00010", grade="copper-2.0"), "to be signed off"),
        (a_sign_off("a00010", course="another"), "to be signed off"),
        (a_sign_off("gone", signed=FIRST_EVENING - timedelta(days=1)), "to be signed off"),
        (a_sign_off("gone", signed=FIRST_EVENING + timedelta(days=30)), "passed"),
        (a_sign_off("gone"), "passed"),
    ],
)
def test_which_sign_off_counts(sign_off: SignOff, state: str) -> None:
    """Of this course and grade; by its attempt, and by its time where that is not in the log."""
    assert at(evenings(ENOUGH), sign_off).state == state


def test_a_wrong_clock_does_not_matter_where_the_attempt_is_known() -> None:
    """A year early or late: the attempt says when it was."""
    for days in (-365, 365):
        sign_off = a_sign_off("a00010", signed=FIRST_EVENING + timedelta(days=days))
        assert at(evenings(ENOUGH), sign_off).state == "passed"


def test_what_slips_back_has_to_be_signed_again() -> None:
    """The old signature counts no more, a new one does."""
    first = a_sign_off("a00010")
    log = evenings(ENOUGH + FALLS)
    fallen = at(log, first)
    assert (fallen.state, fallen.points) == ("slipping", 0)
    again = evenings(ENOUGH + FALLS + ENOUGH)
    waiting = at(again, first)
    assert (waiting.state, waiting.signed_by) == ("to be signed off", None)
    assert at(again, first, a_sign_off(again[-1].attempt_id or "")).state == "passed"


def test_who_fails_while_waiting_has_to_earn_the_points_again() -> None:
    """It was never passed, so it does not slip: it is worked at."""
    grade = at(evenings(ENOUGH + FALLS))
    assert (grade.state, grade.points) == ("practised", 0)
    assert not [step for step in grade.path if step.event == "slipping"]


def test_the_points_are_the_same_with_and_without_signatures() -> None:
    """A signature passes, and moves no counter: each step's value is the same."""
    log = evenings("+-++" * 12 + "-" * 8 + "+" * 14)
    settings = whole_settings(ASKS, log)
    sign_off = signed(ASKS, settings, [a_sign_off(log[20].attempt_id or "")])
    with_them, without = (count_points(ASKS, settings, g)[EASIEST].steps for g in (sign_off, None))
    assert [(s.moved, s.value) for s in with_them] == [(s.moved, s.value) for s in without]
    plain = count_points(two_track_course(), settings)[EASIEST].steps
    assert [(s.moved, s.value) for s in plain] == [(s.moved, s.value) for s in without]


def test_nothing_logged_is_not_signed() -> None:
    """A sign-off without settings passes nothing."""
    assert at([], a_sign_off("x")).state == "practised"
