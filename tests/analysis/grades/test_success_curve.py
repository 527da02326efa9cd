"""The success curve: its posterior, its coverage and its behaviour at few settings."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as how
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import expit
from scipy.stats import norm

from platebook.analysis.grades.success_curve import MOST_BINS, Curve, success_curve


def test_without_drift_it_is_the_posterior_of_one_rate() -> None:
    """With no drift the middle matches numerical integration by scipy (logistic-normal)."""
    good = [True] * 7 + [False] * 3

    def density(x: float) -> float:
        return float(norm.pdf(x, scale=1.5) * expit(x) ** 7 * (1 - expit(x)) ** 3)

    whole = quad(density, -5, 5)[0]
    point = success_curve(good, drifts=(0.0,)).points[-1]
    for rate, share in ((point.low, 0.025), (point.rate, 0.5), (point.high, 0.975)):
        below = quad(density, -5, float(np.log(rate / (1 - rate))))[0] / whole
        assert below == pytest.approx(share, abs=0.006)


def test_with_drift_it_matches_a_sum_over_both_settings() -> None:
    """A good setting then a failure, drift 0.4, against a fine double sum."""
    first = np.linspace(-5, 5, 2001)[:, None]
    second = np.linspace(-5, 5, 2001)[None, :]
    moved = norm.pdf(second - first, scale=0.4)
    density = norm.pdf(first, scale=1.5) * expit(first) * moved * (1 - expit(second))
    below = np.cumsum(density.sum(axis=0)) / density.sum()
    last = success_curve([True, False], drifts=(0.4,)).points[-1]
    for rate, share in ((last.low, 0.025), (last.rate, 0.5), (last.high, 0.975)):
        at = np.searchsorted(second[0], np.log(rate / (1 - rate)))
        assert below[at] == pytest.approx(share, abs=0.01)


def test_the_band_holds_the_truth_as_often_as_it_says() -> None:
    """On 120 simulated setters whose skill drifts, a 95 % band covers 92 to 98 %."""
    rng = np.random.default_rng(20260101)
    held: list[float] = []
    for _ in range(120):
        skill = rng.normal(0, 1) + np.cumsum(rng.normal(0, rng.choice([0.0, 0.1, 0.2]), 40))
        rates = expit(skill)
        points = success_curve((rng.random(40) < rates).tolist()).points
        pairs = zip(points, rates, strict=True)
        held.append(float(np.mean([p.low <= r <= p.high for p, r in pairs])))
    assert 0.92 <= float(np.mean(held)) <= 0.98


def test_no_settings_have_no_curve() -> None:
    """Nothing counted gives an empty curve."""
    assert success_curve([]) == Curve()


def test_one_setting_says_next_to_nothing() -> None:
    """One good setting leaves a band over most of the range."""
    (point,) = success_curve([True]).points
    assert point.high - point.low > 0.6
    assert point.rate > 0.5


@pytest.mark.parametrize("good", [True, False])
def test_all_the_same_never_reaches_certainty(good: bool) -> None:  # noqa: FBT001 a parameter
    """Thirty of one kind give a rate near the end of the range, and a band inside it."""
    last = success_curve([good] * 30).points[-1]
    assert 0 < last.low < last.rate < last.high < 1
    assert (last.rate > 0.9) is good
    assert (last.rate < 0.1) is not good


def test_a_long_log_is_taken_in_bins() -> None:
    """Twenty thousand settings give a point each and a narrow band round the true rate."""
    good = (np.random.default_rng(5).random(20_000) < 0.7).tolist()
    points = success_curve(good).points
    assert len(points) == 20_000
    assert len({p.rate for p in points}) <= MOST_BINS
    assert points[-1].low < 0.7 < points[-1].high
    assert points[-1].high - points[-1].low < 0.1


@how(deadline=None)
@given(st.lists(st.booleans(), min_size=1, max_size=40))
def test_good_and_failed_are_mirror_images(good: list[bool]) -> None:
    """Turning every setting round turns the curve round."""
    curve = success_curve(good).points
    turned = success_curve([not g for g in good]).points
    assert [p.rate for p in curve] == pytest.approx([1 - p.rate for p in turned], abs=1e-6)
    assert [p.low for p in curve] == pytest.approx([1 - p.high for p in turned], abs=1e-6)


@how(deadline=None)
@given(st.lists(st.booleans(), min_size=1, max_size=30), st.integers(0, 29))
def test_a_good_one_more_never_lowers_the_curve(good: list[bool], place: int) -> None:
    """Making one failure good raises every point."""
    better = [g or number == place for number, g in enumerate(good)]
    pairs = zip(success_curve(good).points, success_curve(better).points, strict=True)
    assert all(b.rate >= a.rate - 1e-9 for a, b in pairs)
