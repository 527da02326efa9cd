"""What only the calendar tells apart is not judged, and says so."""

import numpy as np
import pytest

from platebook.analysis.findings.asking.apart_in_time import (
    constant_in_sessions,
    far_enough_apart,
    reason_in_time,
)

EVENINGS = np.repeat(np.arange(8), 5)
"""Eight evenings of five attempts."""

NAN = float("nan")


def test_a_tool_changed_once_is_told_with_its_attempt() -> None:
    """The 41st attempt is the first with the new tool."""
    values = np.array([0.0] * 40 + [1.0] * 24)
    assert reason_in_time(values, np.arange(64) // 8) == (
        "changed once, at attempt 41: cannot be told from time"
    )


def test_attempts_before_the_window_are_counted() -> None:
    """The number is that of the log, not of the part that is looked at."""
    values = np.array([0.0] * 10 + [NAN] * 2 + [1.0] * 12)
    assert reason_in_time(values, np.arange(24) // 8, first=100) == (
        "changed once, at attempt 113: cannot be told from time"
    )


@pytest.mark.parametrize(
    ("by_evening", "judged"),
    [
        ([0, 1, 0, 1, 0, 1, 0, 0], True),
        ([0, 1, 0, 0, 0, 1, 0, 0], False),
        ([1, 2, 3, 4, 5, 6, 7, 8], True),
        ([3, 7, 3, 3, 3, 3, 9, 3], False),
        ([3, 7, 3, 3, 4, 3, 9, 3], True),
    ],
)
def test_an_evening_is_one_choice(by_evening: list[float], judged: object) -> None:
    """Three evenings on each side of some split, or it is not judged."""
    values = np.repeat(np.array(by_evening, dtype=float), 5)
    reason = reason_in_time(values, EVENINGS)
    assert reason == (
        None if judged else "one value all through an evening: 3 evenings of each are needed"
    )


def test_what_changes_within_an_evening_is_judged_by_its_attempts() -> None:
    """One attempt that differs from the rest of its evening is enough."""
    values = np.zeros(40)
    values[[3, 4, 11]] = 1.0
    assert not constant_in_sessions(values, EVENINGS)
    assert reason_in_time(values, EVENINGS) is None


@pytest.mark.parametrize("count", [0, 1, 2])
def test_few_or_constant_values_are_left_to_other_reasons(count: int) -> None:
    """Nothing changes, so nothing is said of when."""
    assert reason_in_time(np.full(count, 2.0), np.zeros(count, dtype=int)) is None


def test_both_sides_need_three_sessions() -> None:
    """Five attempts of one evening are one session."""
    inside = EVENINGS < 3
    assert far_enough_apart(inside, ~inside, EVENINGS)
    assert not far_enough_apart(EVENINGS < 2, EVENINGS >= 2, EVENINGS)
