"""The normal distribution: as scipy's, as the published table, and at its ends."""

import math

import numpy as np
import pytest
from scipy.special import log_ndtr, ndtr

from platebook.analysis.models.normal import log_normal_cdf, normal_cdf


def test_it_is_what_scipy_gives() -> None:
    """From one tail to the other, to a rounding: relative 1e-14 in the tails, 1e-15 in all."""
    z = np.concatenate([np.linspace(-38, 38, 400_001), np.array([0.0, -0.0, 1e-300])])
    ours, theirs = normal_cdf(z), ndtr(z)
    assert np.abs(ours - theirs).max() < 1e-15
    usual = theirs > 1e-290
    assert (np.abs(ours - theirs)[usual] / theirs[usual]).max() < 1e-13


@pytest.mark.parametrize(
    ("z", "chance"),
    [(0.0, 0.5), (1.0, 0.841344746068543), (1.959963984540054, 0.975), (-3.0, 0.001349898031630)],
)
def test_a_table_says_the_same(z: float, chance: float) -> None:
    """Published: Abramowitz and Stegun (1964), table 26.1, to the 15 places it has."""
    assert math.isclose(float(normal_cdf(np.array([z]))[0]), chance, abs_tol=5e-16 * 10)


def test_ends_and_nothing() -> None:
    """0 and 1 far out, not a number as it came, and no value for none, of any shape."""
    ends = normal_cdf(np.array([[-np.inf, np.inf], [-50.0, 50.0]]))
    assert ends.tolist() == [[0.0, 1.0], [0.0, 1.0]]
    assert np.isnan(normal_cdf(np.array([np.nan]))).tolist() == [True]
    assert normal_cdf(np.empty((0, 3))).shape == (0, 3)


def test_its_logarithm_is_what_scipy_gives() -> None:
    """Off by 0.00001 at the most, between the table's ends and in one shape or another."""
    z = np.linspace(-37, 9, 7 * 28_001).reshape(7, -1)
    assert np.abs(log_normal_cdf(z) - log_ndtr(z)).max() < 1e-5
    beyond = log_normal_cdf(np.array([-50.0, -np.inf, 12.0, np.inf]))
    assert beyond == pytest.approx([*[float(log_ndtr(-37.0))] * 2, 0.0, 0.0], abs=1e-9)
