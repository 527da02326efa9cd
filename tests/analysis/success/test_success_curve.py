"""The success curve: its posterior, its coverage and its behaviour at few settings."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as how
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import expit
from scipy.stats import norm
from tests.simulated.shapes import SIX, known_log

from platebook.analysis.success.success_curve import (
    MOST_BINS,
    PAUSE_DAYS,
    Curve,
    Movement,
    success_curve,
    success_now,
)

STILL = (Movement(whole=0.0),)


def test_without_drift_it_is_the_posterior_of_one_rate() -> None:
    """With no drift the middle matches numerical integration by scipy (logistic-normal)."""
    good = [True] * 7 + [False] * 3

    def density(x: float) -> float:
        return float(norm.pdf(x, scale=1.5) * expit(x) ** 7 * (1 - expit(x)) ** 3)

    whole = quad(density, -5, 5)[0]
    point = success_curve(good, movements=STILL).points[-1]
    for rate, share in ((point.low, 0.025), (point.rate, 0.5), (point.high, 0.975)):
        below = quad(density, -5, float(np.log(rate / (1 - rate))))[0] / whole
        assert below == pytest.approx(share, abs=0.006)


def _last_of_two(moved_by: float, risen: float = 0.0) -> tuple[float, ...]:
    """Band and middle after a good setting and a failure, by a fine double sum."""
    first = np.linspace(-5, 5, 2001)[:, None]
    second = np.linspace(-5, 5, 2001)[None, :]
    moved = norm.pdf(second - first - risen, scale=moved_by)
    density = norm.pdf(first, scale=1.5) * expit(first) * moved * (1 - expit(second))
    below = np.cumsum(density.sum(axis=0)) / density.sum()
    return tuple(float(np.interp(share, below, second[0])) for share in (0.025, 0.5, 0.975))


def _log_odds(good: list[bool], days: list[date], movement: Movement) -> tuple[float, ...]:
    last = success_curve(good, days, movements=(movement,)).points[-1]
    return tuple(float(np.log(r / (1 - r))) for r in (last.low, last.rate, last.high))


DAY = date(2026, 3, 2)


def test_what_wanders_over_the_whole_log_matches_a_double_sum() -> None:
    """Two settings that wander 0.8 over the log, so 0.8 / sqrt(2) from one to the next."""
    found = _log_odds([True, False], [], Movement(whole=0.8))
    assert found == pytest.approx(_last_of_two(0.8 / 2**0.5), abs=0.02)


def test_a_pause_lets_it_wander_by_the_day() -> None:
    """Sixteen days beyond the week that is no pause, at 0.2 the day: 0.8 in all."""
    days = [DAY, DAY + timedelta(days=PAUSE_DAYS + 16)]
    found = _log_odds([True, False], days, Movement(whole=0.0, pause_day=0.2))
    assert found == pytest.approx(_last_of_two(0.8), abs=0.02)


def test_a_week_is_no_pause() -> None:
    """Practice once a week is the same as practice in one evening."""
    weekly = [DAY + timedelta(days=7 * n) for n in range(3)]
    assert success_curve([True, False, True], weekly) == success_curve([True, False, True])


def test_a_steady_rise_shifts_what_the_first_said() -> None:
    """A rise of 2 over two settings is a rise of 1 from the one to the other."""
    found = _log_odds([True, False], [], Movement(whole=0.8, trend=2.0))
    assert found == pytest.approx(_last_of_two(0.8 / 2**0.5, risen=1.0), abs=0.02)


def test_days_that_are_not_as_many_as_settings_are_refused() -> None:
    """A day too few is a fault of whoever asks."""
    with pytest.raises(ValueError, match="1 days for 2 settings"):
        success_curve([True, True], [DAY])


def test_days_that_run_back_or_are_unknown_are_no_pause() -> None:
    """A wrong clock does no harm."""
    days = [DAY, None, DAY - timedelta(days=90)]
    assert success_curve([True, False, True], days) == success_curve([True, False, True])


@pytest.mark.parametrize("shape", sorted(SIX))
def test_at_the_end_the_band_holds_the_truth_whatever_the_shape(shape: str) -> None:
    """On 40 logs of 300 settings: what 200 logs show in docs/measured.md, less three errors."""
    rng = np.random.default_rng((20260404, sum(shape.encode())))
    logs = [known_log(shape, 300, rng) for _ in range(40)]
    ends = [success_now(log.good, log.days).points[0] for log in logs]
    held = [e.low <= log.share[-1] <= e.high for e, log in zip(ends, logs, strict=True)]
    off = [abs(e.rate - log.share[-1]) for e, log in zip(ends, logs, strict=True)]
    assert sum(held) >= 34
    assert float(np.median(off)) <= 0.07


@how(deadline=None, max_examples=30)
@given(st.lists(st.booleans(), min_size=1, max_size=60))
def test_the_end_alone_is_the_curves_end(good: list[bool]) -> None:
    """Now and Progress ask in two ways and are told the same."""
    curve, now = success_curve(good), success_now(good)
    assert now.now == curve.now
    assert now.points[0].rate == pytest.approx(curve.points[-1].rate, abs=1e-12)
    assert now.points[0].low == pytest.approx(curve.points[-1].low, abs=1e-12)


def test_the_band_holds_the_truth_all_along() -> None:
    """On 60 simulated setters whose skill drifts, a 95 % band covers at least 92 % of the curve."""
    rng = np.random.default_rng(20260101)
    held: list[float] = []
    for _ in range(60):
        skill = rng.normal(0, 1) + np.cumsum(rng.normal(0, rng.choice([0.0, 0.1, 0.2]), 40))
        rates = expit(skill)
        points = success_curve((rng.random(40) < rates).tolist()).points
        pairs = zip(points, rates, strict=True)
        held.append(float(np.mean([p.low <= r <= p.high for p, r in pairs])))
    assert float(np.mean(held)) >= 0.92


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
    """Making one failure good raises every point, however skill moves as long as that is given."""
    better = [g or number == place for number, g in enumerate(good)]
    wanders = (Movement(whole=1.4),)
    before, after = (success_curve(log, movements=wanders).points for log in (good, better))
    pairs = zip(before, after, strict=True)
    assert all(b.rate >= a.rate - 1e-9 for a, b in pairs)
