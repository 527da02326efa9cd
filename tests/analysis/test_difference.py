"""How far two groups differ: against the two-sample closed form, shrunk, with its interval."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from platebook.analysis.censored import Spreads
from platebook.analysis.cutoffs import Cut
from platebook.analysis.difference import Difference, difference
from platebook.analysis.heights import Height
from platebook.analysis.measured import Measurements, Response, exactly
from platebook.analysis.nuisance import Nuisance

RESPONSE = Response("overcut", 0.0, 0.03)
KNOWN = Spreads(1.0, 1e-3)
N = 40


def _split(inside: np.ndarray) -> Cut:
    return Cut(inside, ~inside, "a wide bur", "below it", "wide", "narrow")


def _log(seed: int, apart: float) -> tuple[Nuisance, Height, np.ndarray, np.ndarray]:
    """Measurements in millimetres, a third of them `apart` units higher; each its own session."""
    rng = np.random.default_rng(seed)
    inside = np.arange(N) % 3 == 0
    y = rng.standard_normal(N) + apart * inside
    readings = Measurements.of(RESPONSE, [exactly(0.03 * v, 0.0) for v in y])
    adjusted = Nuisance(np.ones((N, 1)), np.array([1e-6]), np.arange(N))
    return adjusted, Height(readings, KNOWN), inside, y


@pytest.mark.parametrize("seed", range(4))
def test_a_real_difference_is_the_shrunk_one_of_two_means(seed: int) -> None:
    """Precision 1/n1 + 1/n2 of the means and N(0, 1) before: d / (1 + v), v = 1/n1 + 1/n2."""
    adjusted, height, inside, y = _log(seed, 1.0)
    found = difference(adjusted, height, _split(inside), real=1.0)
    plain = y[inside].mean() - y[~inside].mean()
    v = 1 / inside.sum() + 1 / (~inside).sum()
    mean, sd = plain / (1 + v), np.sqrt(v / (1 + v))
    assert found.by == pytest.approx(0.03 * mean, abs=1e-5)
    low, high = (float(norm.ppf(share, mean, sd)) for share in (0.025, 0.975))
    assert found.low == pytest.approx(0.03 * low, abs=1e-5)
    assert found.high == pytest.approx(0.03 * high, abs=1e-5)
    assert found.measured == N


def test_a_doubtful_difference_reaches_nothing() -> None:
    """With a chance of nothing the interval holds 0."""
    adjusted, height, inside, _ = _log(1, 2.0)
    sure, doubtful = (difference(adjusted, height, _split(inside), real=r) for r in (1.0, 0.9))
    assert sure.low > 0.0
    assert doubtful.low == 0.0
    assert doubtful.by == sure.by


def test_counts_are_of_readings_beyond_the_middle() -> None:
    """Both sides together are all readings; half of them lie above the middle."""
    adjusted, height, inside, _ = _log(2, 3.0)
    (k, of), (k_out, of_out) = difference(adjusted, height, _split(inside), 1.0).beyond
    assert (of, of_out, k + k_out) == (int(inside.sum()), int((~inside).sum()), N // 2)
    assert k / of > k_out / of_out


@pytest.mark.parametrize("everyone", [True, False])
def test_a_group_of_all_or_none_differs_by_nothing(*, everyone: bool) -> None:
    """No contrast: the prior alone answers, around 0."""
    adjusted, height, _, _ = _log(3, 1.0)
    found = difference(adjusted, height, _split(np.full(N, everyone)), 0.5)
    assert found.by == pytest.approx(0.0, abs=1e-9)
    assert found.low == pytest.approx(-found.high)


@given(
    st.floats(min_value=-1, max_value=1),
    st.floats(min_value=0, max_value=1),
    st.integers(min_value=0, max_value=9),
)
def test_turning_twice_gives_the_same(by: float, half: float, k: int) -> None:
    """Wider by so much is narrower by as little, and back."""
    made = Difference(by, by - half, by + half, 20, ((k, 10), (9 - k, 10)))
    assert made.turned().turned() == made
    assert made.turned().low <= made.turned().by <= made.turned().high
