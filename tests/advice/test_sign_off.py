"""The next exercise under sign-off: on at the grade until it is signed, then straight on."""

from datetime import timedelta

from tests.advice.evenings import evenings
from tests.advice.two_track_course import two_track_course

from platebook.advice.exercise import NextExercise
from platebook.advice.suggestion import next_exercise
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course
from platebook.practice.records import SignOff

ASKS = two_track_course(sign_off=True)
PLAIN = two_track_course()
FIRST, SECOND = (grade.id for grade in ASKS.grades[:2])
ENOUGH = "+" * 12


def after(attempts: list[Attempt], *signed: tuple[str, str], course: Course = ASKS) -> NextExercise:
    """What comes next a day after the last attempt, with these grades signed after these."""
    began = attempts[-1].began
    assert began is not None
    given = [
        SignOff(setter_id="s", course=course.id, grade=g, signed_by="Tutor", attempt_id=a)
        for g, a in signed
    ]
    today = (began + timedelta(days=1)).date()
    return next_exercise(course, attempts, today=today, sign_offs=given)


def test_the_work_stays_at_the_grade_until_it_is_signed_off() -> None:
    """With its points it waits and says so; without them it says what is wanted."""
    few, enough = after(evenings("++")), after(evenings(ENOUGH))
    assert (few.grade, enough.grade) == (FIRST, FIRST)
    assert after(evenings("++"), course=PLAIN).grade == SECOND
    assert f"The work moves up when {few.grade_title} is passed and signed off." in few.why
    told = f"{enough.grade_title} has 11 of 11 points; it waits for an instructor's sign-off."
    assert told in enough.why
    assert f"{enough.grade_title} signed off: on to 2.0 mm in copper." in enough.changes
    assert not any("the work moves up to" in why for why in (*few.why, *enough.why))


def test_signed_off_it_goes_on_at_once() -> None:
    """The next exercise is at the next grade, and one failure there does not bring it back."""
    signed = (FIRST, "a00011")
    log = evenings(ENOUGH)
    assert after(log, signed).grade == SECOND
    one_more = [*log, *evenings("-", grade=SECOND, start=12)]
    assert after(one_more, signed).grade == SECOND


def test_going_on_at_the_grade_after_it_was_signed_is_ones_own_choice() -> None:
    """As ever: a setting at another grade keeps the work there."""
    log = [*evenings(ENOUGH), *evenings("+", start=12)]
    assert after(log, (FIRST, "a00011")).grade == FIRST


def test_a_grade_that_slipped_back_holds_the_work_again() -> None:
    """Until it is passed and signed once more."""
    log = [*evenings(ENOUGH), *evenings("-" * 12, start=12)]
    found = after(log, (FIRST, "a00011"))
    assert found.grade == FIRST
    assert any("has slipped back" in told for told in found.changes)


def test_failures_still_lead_down_under_sign_off() -> None:
    """What holds the work holds it from above only."""
    log = [*evenings(ENOUGH), *evenings("------", grade=SECOND, start=12)]
    assert after(log, (FIRST, "a00011")).grade == FIRST


def test_a_harder_grade_by_choice_is_not_forbidden() -> None:
    """The setter is the one who sets; the points of the easier one go on counting."""
    log = evenings("+" * 12, grade="copper-2.5")
    found = after(log)
    assert found.grade == "copper-2.5"
    assert any("waits for an instructor's sign-off" in why for why in found.why)


def test_a_course_without_sign_off_is_as_ever() -> None:
    """Whatever was signed, for every number of settings."""
    for count in range(1, 30):
        log = evenings(("+-++" * 8)[:count])
        assert after(log, (FIRST, "a00003"), course=PLAIN) == after(log, course=PLAIN)
