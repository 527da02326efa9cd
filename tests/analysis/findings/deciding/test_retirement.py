"""A claim retires with its date where later attempts do not bear it out, and comes back."""

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from platebook.analysis.findings.asking.cutoffs import Cut
from platebook.analysis.findings.deciding.retirement import retirement
from platebook.analysis.findings.telling.results import Retired
from platebook.analysis.variables.attempt_log import attempt_log
from platebook.practice.attempt import Attempt

FIRST = datetime(2026, 1, 12, 18, 30, tzinfo=UTC)
A_SESSION = 6

Spell = tuple[int, int, float, float]
"""Sessions, attempts on the claim's side in each, share that shows it there and elsewhere."""


def _retired(*spells: Spell, dated: bool = True) -> Retired | None:
    """What comes of a log of such spells; shares are met exactly, not drawn."""
    inside: list[bool] = []
    hit: list[bool] = []
    for sessions, doing, here, elsewhere in spells:
        for side, share in ((True, here), (False, elsewhere)):
            of = sessions * (doing if side else A_SESSION - doing)
            times = [int((n + 1) * share) > int(n * share) for n in range(of)]
            if side:
                of_side = times
            else:
                of_rest = times
        for n in range(sessions):
            inside += [True] * doing + [False] * (A_SESSION - doing)
            hit += of_side[n * doing : (n + 1) * doing]
            hit += of_rest[n * (A_SESSION - doing) : (n + 1) * (A_SESSION - doing)]
    log = attempt_log(
        [
            Attempt(
                result=("loose",) if bad else ("good",),
                plate=f"P{n // A_SESSION}",
                began=FIRST + timedelta(days=n // A_SESSION, minutes=10 * (n % A_SESSION))
                if dated
                else None,
            )
            for n, bad in enumerate(hit)
        ]
    )
    sides = np.array(inside)
    cut = Cut(sides, ~sides, "a", "b", "here", "there")
    return retirement(cut, np.array(hit), log)


HABIT: Spell = (12, 3, 0.7, 0.1)
HARMLESS: Spell = (18, 3, 0.1, 0.1)
GIVEN_UP: Spell = (18, 0, 0.0, 0.1)


def test_a_habit_that_goes_on_does_not_retire() -> None:
    """The latest attempts bear it out."""
    assert _retired((30, 3, 0.7, 0.1)) is None


def test_a_habit_that_does_no_harm_any_more_retires_with_its_date() -> None:
    """72 attempts in which it failed, 108 in which it did not: the 13th evening begins it."""
    retired = _retired(HABIT, HARMLESS)
    assert retired is not None
    assert (retired.attempt, retired.day) == (73, date(2026, 1, 24))
    assert [(count.failed, count.of) for count in retired.counts] == [(5, 54), (5, 54)]
    assert retired.sentence == (
        "No longer so: 5 of 54, against 5 of 54, since 24 January 2026 (attempt 73)."
    )


def test_a_habit_that_was_given_up_retires() -> None:
    """None of the 108 attempts since lies on its side."""
    retired = _retired(HABIT, GIVEN_UP)
    assert retired is not None
    assert retired.sentence == (
        "Not done any more: none of the 108 attempts since 24 January 2026 (attempt 73)."
    )


@pytest.mark.parametrize("pause", [HARMLESS, GIVEN_UP])
def test_a_returning_habit_comes_back(pause: Spell) -> None:
    """Two evenings in which it fails again are enough."""
    assert _retired(HABIT, pause, (2, 3, 0.7, 0.1)) is None


def test_a_few_attempts_without_it_say_nothing() -> None:
    """One evening in which nothing failed retires nothing, nor one in which it was not done."""
    assert _retired(HABIT, (1, 3, 0.0, 0.0)) is None
    assert _retired(HABIT, (2, 0, 0.0, 0.0)) is None


def test_what_is_chosen_once_an_evening_is_missed_for_a_few_by_luck() -> None:
    """Every other evening it was done; four evenings without it are luck, twelve are not."""
    evenings: list[Spell] = [(1, 6, 0.7, 0.0), (1, 0, 0.0, 0.1)] * 10
    assert _retired(*evenings, (4, 0, 0.0, 0.1)) is None
    assert _retired(*evenings, (12, 0, 0.0, 0.1)) is not None


def test_without_dates_the_attempt_tells_when() -> None:
    """Sessions are then told by the plates."""
    retired = _retired(HABIT, HARMLESS, dated=False)
    assert retired is not None
    assert (retired.attempt, retired.day) == (73, None)
    assert retired.sentence.endswith("since attempt 73.")


def test_one_session_has_no_later_one() -> None:
    """With one session, or with none, there is nothing to compare."""
    assert _retired((1, 3, 0.7, 0.1)) is None
