"""Promotion points: exact limits, and what each setting moves."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.advice.evenings import evenings
from tests.advice.two_track_course import LAST, LEARNING, two_track_course

from platebook.analysis.grades.point_chances import Walk, chance_within, mean_attempts
from platebook.analysis.grades.points import (
    FALSE_PROMOTION,
    TRIES,
    GradePoints,
    count_points,
    false_promotion,
    good_to_go,
    mean_to_pass,
    points_for,
    promotion_walk,
    slipping_watch,
)
from platebook.analysis.grades.whole_settings import whole_settings
from platebook.practice.attempt import Attempt

COURSE = two_track_course()


def _count(attempts: list[Attempt]) -> dict[str, GradePoints]:
    return count_points(COURSE, whole_settings(COURSE, attempts))


def test_limits_are_the_smallest_safe_ones_for_the_rates() -> None:
    """The course's points follow from its rates, and one point less would not be safe.

    Exact sums over the chain; no source outside: the method is Biau & Porcher's (2010), the chain
    is checked in test_walk.
    """
    assert points_for(0.10, 0.35) == LAST
    assert points_for(0.20, 0.50) == LEARNING
    for points in (LAST, LEARNING):
        lower = Walk(points.good, points.failure, points.up_at - 1)
        assert chance_within(lower, points.p1, TRIES)[-1] > FALSE_PROMOTION


@pytest.mark.parametrize(("attempts", "chance"), [(60, 0.046), (100, 0.086), (200, 0.178)])
def test_false_promotion_of_the_last_grade(attempts: int, chance: float) -> None:
    """Exact chain values for p0 0.10, p1 0.35: 4.6 %, 8.6 % and 17.8 %."""
    assert false_promotion(LAST, attempts) == pytest.approx(chance, abs=5e-4)


def test_false_promotion_starts_at_nothing() -> None:
    """Without attempts nobody has passed."""
    assert false_promotion(LAST, 0) == 0.0


def test_mean_attempts_and_the_learning_grades() -> None:
    """Exact chain values: mean 26.05 and 24; 3.8 % in 60; 91 % of competent within 40."""
    assert mean_to_pass(LAST) == pytest.approx(26.05, abs=0.005)
    assert mean_to_pass(LEARNING) == pytest.approx(24, abs=0.5)
    assert false_promotion(LEARNING, 60) == pytest.approx(0.038, abs=5e-4)
    assert chance_within(promotion_walk(LEARNING), 0.2, 40)[-1] == pytest.approx(0.91, abs=0.005)


def test_the_watch_has_its_exact_run_lengths() -> None:
    """Exact chain values for p0 0.10, p1 0.35: at 11, quiet for 247, found after 12.8."""
    watch = slipping_watch(LAST)
    assert (watch.good, watch.failure, watch.up_at) == (-1, 4, 11)
    assert mean_attempts(watch, 0.10) == pytest.approx(247, abs=0.5)
    assert mean_attempts(watch, 0.35) == pytest.approx(12.8, abs=0.05)


@pytest.mark.parametrize(("p0", "p1"), [(0.5, 0.2), (0.2, 0.2), (0.0, 0.5), (0.2, 1.0)])
def test_rates_that_do_not_rise_are_refused(p0: float, p1: float) -> None:
    """Points need a better and a worse failure rate."""
    with pytest.raises(ValueError, match="rise"):
        points_for(p0, p1)


def test_rates_too_near_to_tell_ask_for_many_good_ones() -> None:
    """Nearly equal rates still have a safe limit, and it is far away."""
    points = points_for(0.5, 0.501)
    assert (points.good, points.failure) == (1, -1)
    assert points.up_at > LEARNING.up_at
    assert false_promotion(points, TRIES) <= FALSE_PROMOTION


def test_eleven_good_in_a_row_pass_a_learning_grade() -> None:
    """The counter rises by one a good setting and passes at its limit."""
    standing = _count(evenings("+" * 11))["copper-1.5"]
    assert standing.passed
    assert [s.value for s in standing.steps] == list(range(1, 12))
    assert standing.steps[-1].event == "passed"


def test_a_failure_takes_two_and_the_floor_is_zero() -> None:
    """The counter never falls below 0."""
    values = [s.value for s in _count(evenings("+++--+"))["copper-1.5"].steps]
    assert values == [1, 2, 3, 1, 0, 1]


def test_a_harder_setting_takes_nothing_from_an_easier_grade() -> None:
    """It moves its own points alone, until they are enough for the easier ones too."""
    own = evenings("+++", "copper-2.0")
    standings = _count([*own, *evenings("---+", "sterling-2.0", start=3)])
    points = {grade: s.points for grade, s in standings.items() if s.points}
    assert points == {"copper-2.0": 3, "sterling-2.0": 1}


def test_points_enough_at_a_harder_grade_pass_the_easier_ones() -> None:
    """Fifteen good ones in sterling pass copper 2.0 and 1.5 on its chain, and no other."""
    standings = _count(evenings("+" * 15, "sterling-2.0"))
    passed = {grade for grade, s in standings.items() if s.passed}
    assert passed == {"copper-1.5", "copper-2.0", "sterling-2.0"}
    easier = standings["copper-1.5"]
    assert (easier.through, [s.own for s in easier.steps]) == ("sterling-2.0", [False])
    assert easier.steps[-1].event == "passed"


def test_harder_failures_do_not_touch_a_passed_grade() -> None:
    """Once passed, only settings at the grade itself feed its watch."""
    attempts = evenings("+" * 11) + evenings("-" * 8, "copper-2.0", start=11)
    assert _count(attempts)["copper-1.5"].passed


def test_slipping_back_has_to_be_passed_again() -> None:
    """The watch signals after failures at the passed grade, and the counter starts anew."""
    slipped = _count(evenings("+" * 11 + "----"))["copper-1.5"]
    assert (slipped.passed, slipped.slipped, slipped.points) == (False, True, 0)
    assert slipped.steps[-1].event == "slipping"
    again = _count(evenings("+" * 11 + "----" + "+" * 11))["copper-1.5"]
    assert (again.passed, again.slipped) == (True, False)


def test_parts_blocks_and_unjudged_settings_count_nowhere() -> None:
    """Only judged whole settings at a grade of the course move points."""
    others = [
        *evenings("+", kind="part", part="depth", start=0),
        *evenings("+", kind="block", start=1),
        *evenings("?", start=2),
        *evenings("+", "no-such-grade", start=3),
        evenings("+", start=4).pop().with_values(grade=None),
    ]
    assert all(s.points == 0 and not s.steps for s in _count(others).values())


@given(signs=st.text("+-", max_size=60), place=st.integers(0, 59))
def test_a_failure_turned_good_never_lowers_a_counter(signs: str, place: int) -> None:
    """More good settings never leave a setter with fewer points before passing."""
    better = signs[:place] + "+" + signs[place + 1 :] if place < len(signs) else signs
    before = _count(evenings(signs))["copper-2.0"], _count(evenings(signs))["copper-1.5"]
    after = _count(evenings(better))["copper-1.5"]
    first_pass = next((s.setting for s in after.steps if s.event == "passed"), len(signs))
    old = [s.value for s in before[1].steps if s.moved == "points"][:first_pass]
    new = [s.value for s in after.steps if s.moved == "points"][: len(old)]
    assert all(a <= b for a, b in zip(old, new, strict=False))
    assert before[0] == GradePoints("copper-2.0")


def test_good_ones_to_go_end_with_the_points() -> None:
    """By hand, 11 points at one a good one: 11 at first, 7 after four; none once passed."""
    points = COURSE.grades[0].points
    easiest = COURSE.grades[0].id
    to_go = [good_to_go(points, _count(evenings("+" * n))[easiest]) for n in (0, 4, 11)]
    assert to_go == [11, 7, 0]
