"""Candidates: what a log can judge, standardised, and why it cannot judge the rest."""

from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.builders import an_attempt

from platebook.analysis.findings.asking.candidates import (
    LEAST_ROWS,
    Candidate,
    Candidates,
    candidates,
    in_form,
    r_squared,
)
from platebook.analysis.models.null_model import nuisance
from platebook.analysis.variables.attempt_log import attempt_log
from platebook.analysis.variables.columns import Column

NAN = float("nan")
GOOD, HIGH = ("good",), ("high",)


def _column(values: Sequence[float], target: float | None = None) -> Column:
    return Column("hammer_g", "number", process=False, values=np.array(values), target=target)


def _judge(values: Sequence[float], *, failed: Sequence[bool] = ()) -> Candidates:
    """What one column of a log says; every other attempt failed unless told otherwise."""
    outcomes = failed or [place % 2 == 1 for place in range(len(values))]
    log = attempt_log([an_attempt(result=HIGH if bad else GOOD) for bad in outcomes])
    return candidates([_column(values)], log, nuisance(log))


@pytest.mark.parametrize(
    ("values", "reason"),
    [
        ([40.0, 50.0] * 3 + [NAN] * 14, "noted 6 times in 20 attempts; 8 times are needed"),
        ([40.0] * 20, "never changed"),
        ([40.0] * 18 + [50.0] * 2, "changed in 2 of 20 attempts"),
    ],
)
def test_a_column_with_too_little_in_it_says_why(values: list[float], reason: str) -> None:
    """Fewer than eight values, one value, or fewer than three of the rarer one."""
    judged = _judge(values)
    assert (judged.groups, judged.variables()) == ((), ())
    assert [unjudged.reason for unjudged in judged.unjudged] == [reason]


def test_a_reading_skipped_when_things_went_well_is_not_judged() -> None:
    """Taken of all ten failed ones and of two of ten good ones, it would stand for failure."""
    failed = [True] * 10 + [False] * 10
    values = [float(40 + place) for place in range(12)] + [NAN] * 8
    (unjudged,) = _judge(values, failed=failed).unjudged
    assert unjudged.reason == "measured on 10 of 10 failed and 2 of 10 good ones"


def test_a_number_is_judged_straight_and_by_its_distance() -> None:
    """Both forms are standardised: mean 0 and standard deviation 1 on the rows they stand on."""
    rng = np.random.default_rng(4)
    (group,) = _judge(rng.normal(50, 10, 40).tolist()).groups
    assert [candidate.form for candidate in group.candidates] == ["linear", "distance"]
    assert group.x.mean(axis=0) == pytest.approx([0.0, 0.0], abs=1e-12)
    assert group.x.std(axis=0) == pytest.approx([1.0, 1.0])


def test_rows_without_the_value_are_left_out_above_one_in_twenty() -> None:
    """Two of forty are not: there the mean stands in."""
    rng = np.random.default_rng(5)
    values = rng.normal(50, 10, 40)
    few, many = values.copy(), values.copy()
    few[3], many[:4] = NAN, NAN
    assert _judge(few.tolist()).groups[0].rows.tolist() == list(range(40))
    assert _judge(many.tolist()).groups[0].rows.tolist() == list(range(4, 40))


def test_distance_is_from_the_wanted_value_else_from_the_median() -> None:
    """By hand: 1, 2 and 6 lie 2, 1 and 3 from a wanted 3, and 1, 0 and 4 from their median."""
    assert in_form(_column([1.0, 2.0, 6.0], target=3.0), "distance").tolist() == [2.0, 1.0, 3.0]
    assert in_form(_column([1.0, 2.0, 6.0]), "distance").tolist() == [1.0, 0.0, 4.0]


def test_a_gap_is_filled_with_the_mean_for_adjusting_only() -> None:
    """The standardised mean is 0."""
    filled = Candidate(_column([1.0, NAN, 3.0]), "linear", 1.0).filled()
    assert filled.tolist() == [-1.0, 0.0, 1.0]


@given(st.floats(-5, 5), st.floats(0.1, 5))
def test_r_squared_is_that_of_the_correlation(slope: float, shift: float) -> None:
    """With an intercept and one column it is the squared correlation (any textbook)."""
    z = np.linspace(-1, 1, 30)
    x = slope * z + shift * np.cos(7 * z)
    expected = float(np.corrcoef(x, z)[0, 1] ** 2)
    assert r_squared(x, np.column_stack([np.ones(30), z])) == pytest.approx(expected, abs=1e-9)


def test_a_constant_is_explained_wholly() -> None:
    """Nothing is left of it for a question."""
    assert r_squared(np.ones(LEAST_ROWS), np.ones((LEAST_ROWS, 1))) == 1.0
