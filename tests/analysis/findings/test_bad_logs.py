"""Logs that nobody meant to keep like that: an answer in words, no warning, no crash."""

import warnings
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis import find
from platebook.analysis.findings.results import Findings
from platebook.practice.attempt import Attempt

BEGAN = datetime(2026, 3, 2, 18, 30, tzinfo=UTC)
GOOD_LOG = planted(Plan(attempts=48, causes=(Cause("clearance_mm", "loose", size=2.0),)), 11)


def _quietly(attempts: list[Attempt] | tuple[Attempt, ...]) -> Findings:
    with warnings.catch_warnings(), np.errstate(all="raise", under="ignore"):
        warnings.simplefilter("error")
        return find(attempts)


def test_only_results_and_nothing_else() -> None:
    """With no set-up and no readings there is nothing to check, and it says so."""
    bare = [Attempt(result=("loose",) if i % 3 == 0 else ("good",)) for i in range(60)]
    answer = _quietly(bare)
    assert [f for f in answer.findings if f.status != "mechanism"] == []
    assert answer.checked == "Nothing could be checked yet."
    assert answer.failures == 20


def test_columns_that_never_change_are_named_as_not_judged() -> None:
    """One bur, one speed, one metal: constant columns say nothing and are told."""
    rows = [
        Attempt(result=("loose",) if i % 3 == 0 else ("good",), speed_step="slow", punch="copper")
        for i in range(40)
    ]
    reasons = {one.variable: one.reason for one in _quietly(rows).not_judged}
    assert reasons == {"speed_step": "never changed", "punch": "never changed"}


def test_readings_left_out_when_things_went_well_are_not_judged() -> None:
    """Measured on every failure and on few good ones: a gap that would itself look like a cause."""
    rows = [
        replace(a, seat_diameter_mm=a.seat_diameter_mm if a.result != ("good",) else None)
        for a in GOOD_LOG.attempts
    ]
    reasons = {one.variable: one.reason for one in _quietly(rows).not_judged}
    assert reasons["clearance_mm"].startswith("measured on ")


def test_what_moves_only_with_the_grade_is_not_judged() -> None:
    """A sheet chosen by the grade cannot be told from the grade."""
    reasons = {one.variable: one.reason for one in _quietly(GOOD_LOG.attempts).not_judged}
    assert reasons["wall_ratio"] == "changes only with the grade"


def test_times_out_of_order_are_put_in_order() -> None:
    """The clock decides, not the row."""
    shuffled = [GOOD_LOG.attempts[i] for i in np.random.default_rng(1).permutation(48)]
    assert _quietly(shuffled) == _quietly(GOOD_LOG.attempts)


def test_attempts_at_the_same_second_get_an_answer() -> None:
    """An import that knows one time for all rows is one session."""
    rows = [replace(a, began=BEGAN) for a in GOOD_LOG.attempts]
    assert _quietly(rows).attempts == 48


def test_attempts_without_any_time_get_an_answer() -> None:
    """Rows keep the order they came in."""
    rows = [replace(a, began=None, attempt_id=None) for a in GOOD_LOG.attempts]
    assert _quietly(rows).attempts == 48


def test_a_course_changed_midway_gets_an_answer() -> None:
    """Grades of two courses are simply different grades."""
    rows = [
        replace(a, course="other" if i > 24 else "first", grade=f"grade {i // 8}")
        for i, a in enumerate(GOOD_LOG.attempts)
    ]
    assert _quietly(rows).attempts == 48


def test_absurd_numbers_do_not_break_the_answer() -> None:
    """A typing error of a thousand millimetres stays in the log and breaks nothing."""
    rows = [
        replace(a, seat_bur_mm=1900.0, hammer_g=1e9, minutes=1e7) if i == 5 else a
        for i, a in enumerate(GOOD_LOG.attempts)
    ]
    assert _quietly(rows).attempts == 48


def test_a_value_outside_the_list_is_a_level_of_its_own() -> None:
    """What was typed is kept, and can go with failure like any listed value."""
    rows = [
        Attempt(
            began=BEGAN + timedelta(days=i // 6, minutes=12 * (i % 6)),
            result=("marred",) if i % 3 == 0 else ("good",),
            lubricant="soap" if i % 3 == 0 else "wax",
        )
        for i in range(72)
    ]
    first = _quietly(rows).findings[0]
    assert (first.variable, first.direction) == ("lubricant", "soap")
    assert [(c.failed, c.of) for c in first.counts] == [(24, 24), (0, 48)]


def test_a_perfect_predictor_has_a_finite_odds_ratio() -> None:
    """Every loose stone with wide seats, none without: the prior keeps the size finite."""
    rows = [
        replace(
            a,
            result=("loose",)
            if (a.seat_diameter_mm or 0) > (a.stone_diameter_mm or 0) + 0.01
            else ("good",),
        )
        for a in GOOD_LOG.attempts
    ]
    first = _quietly(rows).findings[0]
    assert first.family == "width of the seat"
    assert first.odds_ratio is not None
    assert 1.0 < first.odds_ratio < 200.0


def test_result_words_that_count_nowhere() -> None:
    """Empty results, missed parts and culet out where the grade is free are no failures."""
    rows = [Attempt(result=r) for r in (None, (), ("missed",), ("culet out",), ("good",))]
    answer = _quietly(rows)
    assert (answer.attempts, answer.failures) == (2, 0)


@pytest.mark.slow
def test_twenty_thousand_attempts_get_an_answer() -> None:
    """A lifetime of settings: the planted habit still stands first."""
    log = planted(Plan(attempts=20_000, causes=(Cause("clearance_mm", "loose", size=0.5),)), 12)
    first = _quietly(log.attempts).findings[0]
    assert (first.family, first.status) == ("width of the seat", "claim")
