"""Progress: what each grade shows at no, few and many settings."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import settings as how
from hypothesis import strategies as st
from tests.advice.evenings import evenings
from tests.advice.two_track_course import two_track_course

from platebook.analysis.grades.own_work import NotWhole
from platebook.analysis.grades.progress import GradeProgress, grades_reached, progress
from platebook.practice.attempt import Attempt

COURSE = two_track_course()


def _grade(attempts: list[Attempt], grade: str = "copper-1.5") -> GradeProgress:
    standing = progress(COURSE, attempts).grade(grade)
    assert standing is not None
    return standing


def test_nothing_logged_has_every_grade_and_no_rate() -> None:
    """An empty log works at the first grade, the others lie ahead, and no number is made up."""
    shown = progress(COURSE, [])
    assert [g.state for g in shown.grades] == ["practised", *["ahead"] * 6]
    first = shown.grades[0]
    assert (first.rate, first.low, first.now, first.forecast) == (None, None, None, None)
    assert (first.points, first.promote_at, first.good_to_go) == (0, 11, 11)
    assert first.not_enough == "not enough yet: 0 of 5 settings"
    assert shown.days_since_practice is None


def test_counts_come_with_a_wilson_interval() -> None:
    """7 good of 10: Wilson 0.3968 to 0.8922 (statsmodels agrees, see test_intervals)."""
    shown = _grade(evenings("+++-+-+-++"))
    assert (shown.attempts, shown.good, shown.rate) == (10, 7, 0.7)
    assert (shown.low, shown.high) == pytest.approx((0.3968, 0.8922), abs=5e-5)
    assert shown.not_enough is None


def test_the_curve_ends_where_now_stands() -> None:
    """The curve has one step a setting of the grade and `now` is its end."""
    shown = _grade(evenings("++-+++"))
    assert [c.good for c in shown.curve] == [True, True, False, True, True, True]
    assert (shown.now, shown.now_low) == (shown.curve[-1].rate, shown.curve[-1].low)
    assert [c.attempt_id for c in shown.curve] == [f"a0000{n}" for n in range(6)]


def test_good_to_go_counts_good_ones_not_points_lost() -> None:
    """Three points of eleven leave eight good ones."""
    assert _grade(evenings("+++++-")).good_to_go == 8


def test_an_outlook_needs_five_settings() -> None:
    """Below, `not_enough` says so; at five there is a chance to pass soon."""
    few = _grade(evenings("++++"))
    assert (few.forecast, few.not_enough) == (None, "not enough yet: 4 of 5 settings")
    assert _grade(evenings("+++++")).forecast is not None


def test_a_grade_that_is_passed_has_no_outlook() -> None:
    """Eleven good ones pass it; there is nothing to look out for."""
    passed = _grade(evenings("+" * 11))
    assert (passed.state, passed.forecast, passed.not_enough) == ("passed", None, None)


def test_without_curves_every_number_stands() -> None:
    """Only the curve is missing."""
    log = evenings("++-+++-+")
    with_curve = progress(COURSE, log).grades[0]
    without = progress(COURSE, log, curves=False).grades[0]
    assert without.curve == ()
    assert without.now == pytest.approx(with_curve.now, abs=1e-12)
    assert without.forecast == with_curve.forecast


def test_the_grades_alone_are_those_of_the_whole_answer() -> None:
    """What a line of a class rests on is what Progress shows of the same grades."""
    log = evenings("++-+++-+++++++++-") + evenings("+-+", "copper-2.0", start=17)
    assert grades_reached(COURSE, log).grades == progress(COURSE, log, curves=False).grades


def test_a_passed_grade_says_how_much_was_luck() -> None:
    """A pass in 11 settings comes with the exact chance at p1: 0.5 to the 11th."""
    shown = _grade(evenings("+" * 11))
    assert shown.state == "passed"
    assert (shown.counted, shown.good_to_go) == (11, 0)
    assert shown.luck == pytest.approx(0.5**11)


def test_slipping_shows_until_passed_again() -> None:
    """Failures at a passed grade turn its state and set its points to 0."""
    shown = _grade(evenings("+" * 11 + "----"))
    assert (shown.state, shown.points) == ("slipping", 0)
    assert shown.path[-1].event == "slipping"
    assert _grade(evenings("+" * 11 + "----" + "+" * 11)).state == "passed"


def test_a_harder_grade_passes_the_easier_one() -> None:
    """Eleven good ones above are enough below, and luck is that of the harder grade's own."""
    few, enough = _grade(evenings("++", "copper-2.0")), _grade(evenings("+" * 11, "copper-2.0"))
    assert (few.attempts, few.points, few.state, few.path) == (0, 0, "ahead", ())
    assert (enough.attempts, enough.points, enough.state) == (0, 11, "passed")
    assert [(p.own, p.event) for p in enough.path] == [(False, "passed")]
    assert enough.counted == 11
    assert enough.luck == pytest.approx(0.5**11)


def test_what_is_no_whole_setting_is_named_as_what_it_is() -> None:
    """Parts and unjudged settings move no points; a grade that is not the course's has a line."""
    attempts = [
        *evenings("+++", kind="part", part="depth"),
        *evenings("?", start=3),
        *evenings("+", "brass-9", start=4),
        *evenings("+", start=5),
    ]
    shown = progress(COURSE, attempts)
    assert (shown.settings, shown.left_out) == (1, 4)
    assert shown.not_whole == NotWhole(parts=3, blocks=0, not_judged=1)
    assert [(line.attempts, line.good) for line in shown.own_work] == [(1, 1)]
    assert shown.together.attempts == 2


def test_a_stricter_course_fails_slight_defects() -> None:
    """A course that fails from severity 1 on counts a remark as a failure."""
    attempts = evenings("+", result=("high",), severity=(1,))
    strict = progress(two_track_course(failure_from=1), attempts).grades[0]
    assert (strict.good, _grade(attempts).good) == (0, 1)


def test_days_since_practice_need_today() -> None:
    """The clock is the caller's; a day in the future counts as none."""
    attempts = evenings("+", kind="part", part="depth")
    assert progress(COURSE, attempts, today=date(2026, 1, 20)).days_since_practice == 7
    assert progress(COURSE, attempts, today=date(2026, 1, 1)).days_since_practice == 0
    assert progress(COURSE, attempts).days_since_practice is None
    assert progress(COURSE, [Attempt()], today=date(2026, 1, 1)).days_since_practice is None


def test_two_setters_are_a_programming_fault() -> None:
    """Logs of several people are never merged."""
    mixed = evenings("+", setter_id="s1") + evenings("+", setter_id="s2", start=1)
    with pytest.raises(ValueError, match="2 setters"):
        progress(COURSE, mixed)


def test_the_answer_is_frozen() -> None:
    """A result cannot be changed by whoever shows it."""
    shown = progress(COURSE, [])
    with pytest.raises(AttributeError, match="immutable"):
        shown.settings = 3  # type: ignore[misc]


@how(deadline=None, max_examples=25)
@given(st.permutations(evenings("++-+-+++--++")))
def test_the_order_rows_come_in_does_not_matter(attempts: list[Attempt]) -> None:
    """Times decide, not rows."""
    assert progress(COURSE, attempts) == progress(COURSE, evenings("++-+-+++--++"))
