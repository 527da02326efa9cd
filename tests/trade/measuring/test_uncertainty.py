"""Uncertainty after JCGM 100."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import t as student

from platebook.trade.measuring.tool_checks import Component, combined, coverage, rectangular

END_GAUGE_NM = (
    Component(25, 18),
    Component(5.8, 24),
    Component(3.9, 5),
    Component(6.7, 8),
    Component(2.9),
    Component(50 * 11.5e-6 * 1e6 * 0.05 / math.sqrt(3), 2),
)


def test_end_gauge_calibration() -> None:
    """JCGM 100:2008, example H.1: u = 32 nm, 16 degrees of freedom, k99 = 2.92, U99 = 93 nm."""
    found = combined(END_GAUGE_NM)
    assert round(found.standard) == 32
    assert math.floor(found.freedom) == 16
    k = coverage(0.99, found.freedom)
    assert k == pytest.approx(2.92, abs=0.005)
    assert k * found.standard == pytest.approx(93, abs=0.6)


@given(st.floats(0.01, 0.999), st.integers(1, 200))
def test_coverage_agrees_with_scipy(share: float, freedom: int) -> None:
    """Student's t as scipy has it."""
    expected = student.ppf((1 + share) / 2, freedom)
    assert coverage(share, freedom) == pytest.approx(expected, rel=1e-6)


def test_coverage_of_the_normal_distribution() -> None:
    """Infinitely many degrees of freedom: 95 % within 1.960 (any table)."""
    assert coverage(0.95, math.inf) == pytest.approx(1.959964, abs=1e-6)


def test_freedom_is_truncated() -> None:
    """JCGM 100, G.4.1: 16.9 counts as 16."""
    assert coverage(0.99, 16.9) == coverage(0.99, 16)


def test_what_coverage_refuses() -> None:
    """No share outside 0 to 1 and no fewer than one degree of freedom."""
    with pytest.raises(ValueError, match="between 0 and 1"):
        coverage(1.0, 5)
    with pytest.raises(ValueError, match="one degree of freedom"):
        coverage(0.95, 0.5)


def test_nothing_combined_is_certain() -> None:
    """No component, or zeros only: 0, resting on infinitely many."""
    for parts in ((), (Component(0.0, 3),)):
        assert combined(parts) == Component(0.0, math.inf)


def test_rectangular_limits() -> None:
    """JCGM 100, 4.3.7: a / √3."""
    assert rectangular(0.02) == pytest.approx(0.011547, abs=1e-6)
