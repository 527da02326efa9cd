"""How a class did in a term so far, and how sure that is."""

from datetime import UTC, date, datetime, timedelta
from math import isclose

import numpy as np
import pytest
from tests.builders import an_attempt, some_course

from platebook.analysis.classes.terms import PersonsTerm, in_term, term_so_far
from platebook.analysis.models.intervals import wilson
from platebook.practice.attempt import Attempt

BEGAN = datetime(2026, 1, 8, 18, 30, tzinfo=UTC)
FIRST = BEGAN.date()


def a_day(number: int, result: str, grade: str) -> Attempt:
    """A setting so many days after the first."""
    return an_attempt(began=BEGAN + timedelta(days=number), grade=grade, result=(result,))


def test_days_outside_the_term_count_for_nothing() -> None:
    """Nor do attempts without a day."""
    course = some_course()
    grade = course.grades[0].id
    attempts = [
        *(a_day(n, result, grade) for n, result in ((-1, "good"), (0, "good"), (7, "loose"))),
        an_attempt(grade=grade, result=("good",), began=None),
        a_day(8, "good", grade),
    ]
    found = in_term(course, attempts, (), FIRST, FIRST + timedelta(days=7))
    assert found == PersonsTerm(good=1, of=2, passed=0)


def test_a_grade_passed_before_the_term_is_not_passed_in_it() -> None:
    """Twenty good ones pass the first grade; the term that holds the last of them counts it."""
    course = some_course()
    grade = course.grades[0].id
    attempts = [a_day(n, "good", grade) for n in range(20)]
    whole = in_term(course, attempts, (), FIRST, FIRST + timedelta(days=30))
    after = in_term(course, attempts, (), FIRST + timedelta(days=20), FIRST + timedelta(days=30))
    assert (whole.passed, after.passed) == (1, 0)


@pytest.mark.parametrize("people", [(), (PersonsTerm(0, 0, 0),)], ids=["nobody", "nothing"])
def test_where_nothing_was_judged_there_is_no_share(people: tuple[PersonsTerm, ...]) -> None:
    """And no band."""
    found = term_so_far(people)
    assert (found.of, found.share, found.low, found.high) == (0, None, None, None)
    assert found.passed_low is None


def test_one_person_has_wilsons_band_and_none_of_people() -> None:
    """There is nobody to lie apart from."""
    found = term_so_far([PersonsTerm(6, 10, 1)])
    assert (found.low, found.high) == wilson(6, 10)
    assert (found.passed_a_head, found.passed_low) == (1.0, None)


@pytest.mark.parametrize("passed", [0, 2])
def test_people_who_passed_as_many_have_no_band_of_grades(passed: int) -> None:
    """None lies apart from the others: a band of no width would claim to be sure."""
    found = term_so_far([PersonsTerm(6, 10, passed), PersonsTerm(9, 10, passed)])
    assert (found.passed_a_head, found.passed_low, found.passed_high) == (passed, None, None)


def test_people_who_lie_apart_widen_the_band() -> None:
    """The same counts from people alike keep Wilson's."""
    alike = term_so_far([PersonsTerm(5, 10, 1)] * 6)
    apart = term_so_far([PersonsTerm(10, 10, 2), PersonsTerm(0, 10, 0)] * 3)
    assert alike.low is not None
    assert apart.low is not None
    assert isclose(alike.low, wilson(30, 60).low)
    assert apart.low < alike.low - 0.2
    assert (apart.passed, apart.passed_a_head) == (6, 1.0)


def test_the_band_holds_the_share_of_a_class_as_often_as_it_says() -> None:
    """Ten people whose own shares spread: the band of 95 in 100 holds the true mean share."""
    rng = np.random.default_rng(20260108)
    held = 0
    for _ in range(400):
        shares = rng.beta(6, 4, size=10)
        people = [PersonsTerm(int(rng.binomial(15, share)), 15, 0) for share in shares]
        found = term_so_far(people)
        assert found.low is not None
        assert found.high is not None
        held += found.low <= 0.6 <= found.high
    assert 0.92 <= held / 400 <= 0.99


def test_a_term_is_a_pure_value() -> None:
    """The same people give the same answer."""
    people = [PersonsTerm(3, 8, 1), PersonsTerm(7, 9, 2)]
    assert term_so_far(people) == term_so_far(iter(people))
    assert date.fromisoformat("2026-01-08") == FIRST
