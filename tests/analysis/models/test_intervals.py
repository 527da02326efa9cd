"""Intervals for proportions against the published examples."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.proportion import proportion_confint

from platebook.analysis.models.intervals import Interval, newcombe_difference, wilson


@pytest.mark.parametrize(
    ("good", "of", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_wilson_gives_the_published_limits(good: int, of: int, low: float, high: float) -> None:
    """Newcombe, Stat Med 1998;17:857, table I, method 3, 95 %."""
    assert wilson(good, of) == pytest.approx((low, high), abs=5e-5)


@pytest.mark.parametrize(
    ("first", "second", "low", "high"),
    [((56, 70), (48, 80), 0.0524, 0.3339), ((10, 10), (0, 10), 0.6075, 1.0)],
)
def test_the_difference_gives_the_published_limits(
    first: tuple[int, int], second: tuple[int, int], low: float, high: float
) -> None:
    """Newcombe, Stat Med 1998;17:873, table II, method 10, 95 %."""
    assert newcombe_difference(first, second) == pytest.approx((low, high), abs=5e-5)


@given(of=st.integers(1, 500), share=st.floats(0, 1), confidence=st.sampled_from([0.8, 0.9, 0.99]))
def test_wilson_agrees_with_statsmodels(of: int, share: float, confidence: float) -> None:
    """Any count and confidence gives what the reference library gives."""
    good = round(share * of)
    reference = proportion_confint(good, of, alpha=1 - confidence, method="wilson")
    assert wilson(good, of, confidence=confidence) == pytest.approx(reference, abs=1e-9)


def test_nothing_counted_leaves_everything_possible() -> None:
    """No settings say nothing about a rate or a difference."""
    assert wilson(0, 0) == Interval(0.0, 1.0)
    assert newcombe_difference((0, 0), (3, 4)) == Interval(-1.0, 1.0)


def test_more_good_than_counted_is_a_programming_fault() -> None:
    """Counts that are no proportion raise."""
    with pytest.raises(ValueError, match="5 of 4"):
        wilson(5, 4)


@given(of_1=st.integers(1, 60), of_2=st.integers(1, 60), data=st.data())
def test_the_difference_turns_round_with_its_sides(
    of_1: int, of_2: int, data: st.DataObject
) -> None:
    """Swapping the sides mirrors the interval, and it holds the observed difference."""
    first = (data.draw(st.integers(0, of_1)), of_1)
    second = (data.draw(st.integers(0, of_2)), of_2)
    low, high = newcombe_difference(first, second)
    assert newcombe_difference(second, first) == pytest.approx((-high, -low))
    observed = first[0] / of_1 - second[0] / of_2
    assert low - 1e-12 <= observed <= high + 1e-12
