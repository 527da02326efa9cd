"""Clock patterns: the exact chance against every outcome there is, and what is told of logs."""

from itertools import combinations_with_replacement

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.stats import multinomial
from tests.advice.evenings import evenings

from platebook.analysis.findings.find import find
from platebook.analysis.findings.telling.clock_patterns import (
    ENOUGH,
    HOURS,
    LEAST,
    chance_of_arc,
    clock_patterns,
)
from platebook.analysis.findings.telling.results import ClockPattern
from platebook.analysis.variables.attempt_log import attempt_log
from platebook.practice.attempt import Attempt


def _at(hours: list[int | None], result: tuple[str, ...] = ("high",)) -> list[Attempt]:
    rows = evenings("-" * len(hours))
    return [a.with_values(result=result, clock=h) for a, h in zip(rows, hours, strict=True)]


def _patterns(attempts: list[Attempt]) -> tuple[ClockPattern, ...]:
    return clock_patterns(attempt_log(attempts))


def _fullest(cells: NDArray[np.int64]) -> NDArray[np.int64]:
    """Of rows of twelve counts the most that three hours in a row hold."""
    return np.asarray((cells + np.roll(cells, 1, axis=1) + np.roll(cells, 2, axis=1)).max(axis=1))


@pytest.mark.parametrize(("n", "least"), [(5, 3), (6, 4), (6, 6), (7, 4), (7, 5)])
def test_the_chance_is_that_of_all_outcomes_added_up(n: int, least: int) -> None:
    """Reference library: scipy's multinomial probabilities of every way to place n on 12 hours."""
    places = np.array(list(combinations_with_replacement(range(HOURS), n)))
    cells = np.array([np.bincount(row, minlength=HOURS) for row in places])
    full = cells[_fullest(cells) >= least]
    expected = multinomial.pmf(full, n=n, p=np.full(HOURS, 1 / HOURS)).sum()
    assert chance_of_arc(n, least) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(("n", "least"), [(9, 6), (20, 11), (40, 21)])
def test_the_chance_is_that_of_random_places(n: int, least: int) -> None:
    """Longer rows against 400,000 random ones, within four standard errors."""
    draws = 400_000
    cells = np.random.default_rng(5).multinomial(n, np.full(HOURS, 1 / HOURS), draws)
    hits = int((_fullest(cells) >= least).sum())
    expected = draws * chance_of_arc(n, least)
    assert abs(hits - expected) <= 4 * max(expected, 1.0) ** 0.5


def test_by_hand_all_in_one_arc() -> None:
    """By hand, two places: apart by 0, 1 or 2 hours either way, 5 of 12."""
    assert chance_of_arc(2, 2) == pytest.approx(5 / 12)
    assert chance_of_arc(1, 1) == pytest.approx(1.0)


@pytest.mark.parametrize(("n", "count"), [(6, 3), (6, 7), (0, 0)])
def test_no_more_than_half_is_a_fault_of_the_caller(n: int, count: int) -> None:
    """The formula holds for more than half only."""
    with pytest.raises(ValueError, match="more than half"):
        chance_of_arc(n, count)


def test_seven_of_nine_at_three_to_five() -> None:
    """The sentence, the counts and the chance: 1 in 70 by the check above."""
    (pattern,) = _patterns(_at([3, 4, 4, 5, 5, 4, 3, 9, 12]))
    assert (pattern.defect, pattern.first, pattern.last, pattern.count, pattern.of) == (
        "high",
        3,
        5,
        7,
        9,
    )
    assert pattern.by_hour == (0, 0, 2, 3, 2, 0, 0, 0, 1, 0, 0, 1)
    assert pattern.share == pytest.approx(chance_of_arc(9, 7))
    assert pattern.sentence == (
        "7 of 9 high ones with a place noted and no other defect were at 3 to 5 o'clock "
        "(12 is the plate's notch); spread evenly, as many lie together in 1 such log in 70."
    )


def test_an_arc_goes_over_twelve_and_stands_in_its_middle() -> None:
    """All at 12 o'clock lie in 11 to 1."""
    (pattern,) = _patterns(_at([12] * 8))
    assert (pattern.first, pattern.last, pattern.count) == (11, 1, 8)


def test_places_all_round_tell_nothing() -> None:
    """One at each hour, too few, or no place at all: nothing is told."""
    assert _patterns(_at(list(range(1, 13)))) == ()
    assert _patterns(_at([4] * (LEAST - 1))) == ()
    assert _patterns(_at([None] * 20)) == ()
    assert _patterns([]) == ()


def test_a_place_shared_by_two_defects_is_neither_ones() -> None:
    """An attempt that was high and tilted does not say which of them the place is of."""
    assert _patterns(_at([4] * 8, ("high", "tilted"))) == ()


def test_more_defects_looked_at_ask_more_of_each() -> None:
    """The chance is multiplied by the number of defects that have enough places."""
    high, loose = _at([4] * 8), _at(list(range(1, 9)), ("loose",))
    (alone,), (beside,) = _patterns(high), _patterns([*high, *loose])
    assert beside.share == pytest.approx(2 * alone.share)


def test_evenly_spread_places_are_seldom_told_of() -> None:
    """Known truth: with nothing behind it at most 1 log in 20, over 600 logs of three defects."""
    rng = np.random.default_rng(11)
    pattern = 0
    for _ in range(600):
        logs = [
            _at([int(h) for h in rng.integers(1, 13, 12)], (defect,))
            for defect in ("high", "loose", "chipped")
        ]
        pattern += bool(_patterns([a for log in logs for a in log]))
    assert pattern / 600 <= ENOUGH + 2 * (ENOUGH * (1 - ENOUGH) / 600) ** 0.5


@given(st.lists(st.integers(1, 12), min_size=6, max_size=20), st.integers(0, 11))
def test_turning_the_plate_turns_the_pattern(hours: list[int], by: int) -> None:
    """Invariant: the chance does not know where the notch is."""
    turned = [(h - 1 + by) % 12 + 1 for h in hours]
    assert [(p.count, p.share) for p in _patterns(_at(list(hours)))] == [
        (p.count, p.share) for p in _patterns(_at(list(turned)))
    ]


def test_findings_tell_of_it() -> None:
    """The pattern stands in the findings and in their answer, also where the log is short."""
    findings = find(_at([4, 4, 5, 5, 4, 3, 4, 5]))
    assert findings.evidence == "counts only"
    assert [pattern.sentence for pattern in findings.clocks] == [
        s for s in findings.answer if "o'clock" in s
    ]
    assert len(findings.clocks) == 1
