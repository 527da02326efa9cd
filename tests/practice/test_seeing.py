"""Verdicts as typed, when two of them agree, and when it is time to judge a plate again."""

from datetime import date, timedelta

import pytest
from tests.builders import BEGAN, an_exercise, some_course

from platebook.practice.attempt import Attempt
from platebook.practice.results import verdict
from platebook.practice.seeing import (
    SEEING,
    Verdict,
    agrees,
    needed,
    read_verdict,
    seeing_standing,
    seeing_tries,
    verdict_text,
)

COURSE = some_course(
    exercises=(
        an_exercise("whole"),
        an_exercise("seeing", kind="part", part="seeing", row=12, pass_at=10),
    )
)


def seen(text: str) -> Verdict:
    """The verdict that this text is."""
    verdict, expected = read_verdict(text)
    assert verdict is not None, expected
    return verdict


@pytest.mark.parametrize(
    ("typed", "kept", "said"),
    [
        ("good", "good", "good"),
        ("0", "good", "good"),
        ("loose 2", "loose 2", "loose, clearly"),
        ("4 1", "tilted 1", "tilted, slight"),
        ("gap", "gap 2", "gap, clearly"),
        ("tilted 3; gap", "tilted 3; gap 2", "tilted, setting lost + gap, clearly"),
        ("off mark 1", "off mark 1", "off mark, slight"),
    ],
)
def test_a_verdict_reads_back_as_it_is_kept(typed: str, kept: str, said: str) -> None:
    """A digit behind a defect is its severity, clear where none stands."""
    one = seen(typed)
    assert (verdict_text(one), verdict(one.result, one.severity)) == (kept, said)
    assert seen(kept) == seen(typed)


@pytest.mark.parametrize("typed", ["", "crooked 2", "good; loose", "loose 4"])
def test_what_is_no_verdict_says_what_was_expected(typed: str) -> None:
    """Nothing is made of it."""
    verdict, expected = read_verdict(typed)
    assert verdict is None
    assert expected


@pytest.mark.parametrize(
    ("known", "given", "right"),
    [
        ("good", "good", True),
        ("good", "gap 1", True),
        ("gap 1", "good", True),
        ("good", "gap 2", False),
        ("loose 2", "good", False),
        ("loose 1", "good", False),
        ("loose 2", "gap 2", False),
        ("loose 2", "gap 2; loose 3", True),
        ("tilted 2; gap 2", "gap 2", False),
        ("tilted 2; gap 1", "tilted 3", True),
    ],
)
def test_a_failure_is_seen_by_its_worst_defect(
    known: str,
    given: str,
    right: bool,  # noqa: FBT001 - a column of the table above
) -> None:
    """Slight ones are remarks, but loose fails at any severity; degrees are not compared."""
    assert agrees(seen(known), seen(given)) == right


@pytest.mark.parametrize(("positions", "wanted"), [(12, 10), (6, 5), (10, 9), (4, 4)])
def test_the_course_says_how_many_are_enough(positions: int, wanted: int) -> None:
    """Ten of twelve, and of other plates the same share, rounded up."""
    assert needed(COURSE.exercise("seeing"), positions) == wanted


def a_try(right: int, of: int, days: int = 0) -> list[Attempt]:
    """A plate judged so many days after the first one."""
    began = BEGAN + timedelta(days=days)
    results = [("good",)] * right + [("missed",)] * (of - right)
    return [
        Attempt(began=began, kind="part", part=SEEING, plate="R", result=result)
        for result in results
    ]


def test_it_is_time_again_after_a_month() -> None:
    """From the last plate that was judged well enough."""
    standing = seeing_standing([*a_try(7, 12), *a_try(11, 12, days=3)], COURSE)
    assert (standing.passed, standing.tries, standing.due) == (True, 2, date(2026, 3, 8))
    assert not standing.is_due(date(2026, 3, 7))
    assert standing.is_due(date(2026, 3, 8))
    assert standing.sentence() == (
        "Seeing: 11 of 12 right on 6 February 2026, enough; again from 8 March 2026."
    )


def test_a_plate_that_was_not_enough_is_due_the_next_day() -> None:
    """Not on the day its verdicts were told; and before the first one it is always time."""
    standing = seeing_standing(a_try(7, 12), COURSE)
    assert (standing.passed, standing.is_due(BEGAN.date())) == (False, False)
    assert standing.is_due(BEGAN.date() + timedelta(days=1))
    first = seeing_standing([], COURSE)
    assert (first.last, first.is_due(BEGAN.date())) == (None, True)
    assert seeing_tries([]) == ()
