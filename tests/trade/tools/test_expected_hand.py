"""The hand that nobody knows yet: how its next seat spreads, by arithmetic and by drawing hands."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.stats import norm

from platebook.trade.rules import RuleBook
from platebook.trade.tools.bur_choice import chance_between
from platebook.trade.tools.expected_hand import (
    EVENING_CHANCES,
    EVENINGS_MM,
    SPREAD_LOG_SD,
    ExpectedHand,
    custom_hand,
    taught_hand,
)

CUSTOM = custom_hand(RuleBook())


def drawn_spreads(expected: ExpectedHand, hands: int) -> NDArray[np.float64]:
    """How seats of so many hands spread around what is expected of them all, a value a hand."""
    rng = np.random.default_rng(20261129)
    of_one = expected.spread_mm * np.exp(SPREAD_LOG_SD * rng.normal(size=hands))
    evenings = rng.choice(EVENINGS_MM, hands, p=EVENING_CHANCES)
    return np.asarray(np.sqrt(expected.between_mm**2 + of_one**2 + evenings**2))


def test_custom_expects_what_its_rules_say() -> None:
    """Overcut 0.06, hands differing by 0.04, seats by 0.03 mm (judgement): 0.0573 in all.

    0.04² + 0.03² · e^(2 · 0.5²) + 0.3 · 0.01² + 0.2 · 0.02² + 0.1 · 0.03² (arithmetic; the mean
    square of a lognormal value).
    """
    assert ExpectedHand(0.06, 0.04, 0.03) == CUSTOM
    variance = 0.0016 + 0.0009 * math.exp(0.5) + 0.00003 + 0.00008 + 0.00009
    assert CUSTOM.next_spread_mm == pytest.approx(math.sqrt(variance), abs=1e-9)


def test_hands_that_are_drawn_spread_so() -> None:
    """200,000 hands: the root mean square of their spreads (Monte Carlo error 0.0001 mm)."""
    spreads = drawn_spreads(CUSTOM, 200_000)
    assert CUSTOM.next_spread_mm == pytest.approx(math.sqrt(np.mean(spreads**2)), abs=0.0003)


@pytest.mark.parametrize("expected_mm", [-0.09, -0.04, -0.03, 0.01])
def test_a_normal_seat_stands_for_all_these_hands(expected_mm: float) -> None:
    """The share of drawn hands' first seats that fit is the chance shown, to 3 in 100 (scipy)."""
    spreads = drawn_spreads(CUSTOM, 50_000)
    fits = norm.cdf((0 - expected_mm) / spreads) - norm.cdf((-0.06 - expected_mm) / spreads)
    shown = chance_between(-0.06, 0.0, expected_mm, CUSTOM.next_spread_mm)
    assert shown == pytest.approx(float(np.mean(fits)), abs=0.03)


@given(st.floats(0, 0.1), st.floats(0.021, 0.1))
def test_a_taught_hand_spreads_by_its_class_and_how_classmates_differ(
    between: float, seats: float
) -> None:
    """At right angles, as independent spreads add up (JCGM 100, 5.1.2)."""
    taught = taught_hand(0.08, between, seats)
    assert taught.next_spread_mm == pytest.approx(math.hypot(between, seats), rel=1e-9)


@given(st.floats(0.0001, 0.1))
def test_the_steadiest_class_leaves_its_seats_some_spread(seats: float) -> None:
    """However little its seats differ, and never less in all than they do."""
    taught = taught_hand(0.08, 0.03, seats)
    assert taught.spread_mm > 0
    assert taught.next_spread_mm >= math.hypot(0.03, seats) - 1e-12
