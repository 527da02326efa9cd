"""The success curve: how likely the next setting was to come out good, with its band.

| function | gives |
|---|---|
| `success_curve` | the curve over one grade's settings and where it stands now |

Model: the log-odds of a good setting drift from one to the next as a random walk, each setting is
good or not. The posterior is computed on a grid of log-odds by a forward and a backward pass (a
fixed-interval smoother), so there is no approximation beyond the grid; how fast the skill drifts is
not known, so four speeds are weighed by how well they explain the settings.

At 0 settings the curve is empty. At 1 or few the band is nearly everything. All good or all failed
gives a curve near, never at, 1 or 0. A long series is taken in up to `MOST_BINS` equal bins of
consecutive settings. Source of the model: Smith et al., J Neurosci 2004;24:447.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats

BAND = 0.95
"""Share of the posterior between `low` and `high`."""

DRIFTS = (0.0, 0.1, 0.2, 0.4)
"""Standard deviations of one step of the log-odds, equally likely beforehand."""

MOST_BINS = 400

_LOG_ODDS = np.linspace(-5.0, 5.0, 101)
_START_SD = 1.5
"""Spread of the log-odds before anything is known: nearly even over the rate."""


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """The curve at one setting, counted from 1: the middle of the posterior and its band."""

    number: int
    rate: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Curve:
    """The curve, and the rate after the last setting as (rate, chance) pairs for forecasts."""

    points: tuple[CurvePoint, ...] = ()
    now: tuple[tuple[float, float], ...] = ()


def _rates() -> Floats:
    return 1.0 / (1.0 + np.exp(-_LOG_ODDS))


def _kernels(drifts: Sequence[float]) -> Floats:
    """Chances to step from one log-odds to another; shape (drifts, from, to)."""
    apart = _LOG_ODDS[:, None] - _LOG_ODDS[None, :]
    kernels = [
        np.exp(-0.5 * (apart / sd) ** 2) if sd > 0 else np.eye(len(_LOG_ODDS)) for sd in drifts
    ]
    stacked = np.stack(kernels)
    return np.asarray(stacked / stacked.sum(axis=2, keepdims=True))


def _likelihoods(good: Floats, of: Floats) -> Floats:
    """Likelihood of each bin at each log-odds, scaled to a largest value of 1."""
    log_good = -np.log1p(np.exp(-_LOG_ODDS))
    log_failed = -np.log1p(np.exp(_LOG_ODDS))
    logs = good[:, None] * log_good + (of - good)[:, None] * log_failed
    return np.asarray(np.exp(logs - logs.max(axis=1, keepdims=True)))


def _smooth(likelihoods: Floats, kernels: Floats) -> Floats:
    """Posterior over the grid at each bin, mixed over the drifts; shape (bins, grid)."""
    bins, size = likelihoods.shape
    drifts = len(kernels)
    start = np.exp(-0.5 * (_LOG_ODDS / _START_SD) ** 2)
    forward = np.empty((bins, drifts, size))
    evidence = np.zeros(drifts)
    current = np.tile(start / start.sum(), (drifts, 1))
    for place in range(bins):
        if place:
            current = np.einsum("dg,dgh->dh", current, kernels)
        current = current * likelihoods[place]
        total = current.sum(axis=1)
        evidence += np.log(total)
        current = current / total[:, None]
        forward[place] = current
    weights = np.exp(evidence - evidence.max())
    weights /= weights.sum()
    backward = np.ones((drifts, size))
    posterior = np.empty((bins, size))
    for place in range(bins - 1, -1, -1):
        both = forward[place] * backward
        both /= both.sum(axis=1, keepdims=True)
        posterior[place] = weights @ both
        backward = np.einsum("dgh,dh->dg", kernels, likelihoods[place] * backward)
        backward /= backward.max(axis=1, keepdims=True)
    return posterior


def _quantiles(posterior: Floats, wanted: Sequence[float]) -> Floats:
    """Rates below which the wanted shares of each row lie; shape (rows, wanted)."""
    below = np.cumsum(posterior, axis=1) - posterior / 2
    rows = [np.interp(wanted, row, _LOG_ODDS) for row in below]
    return np.asarray(1.0 / (1.0 + np.exp(-np.array(rows))))


def success_curve(good: Sequence[bool], *, drifts: Sequence[float] = DRIFTS) -> Curve:
    """The curve over settings in order; True is a good one."""
    count = len(good)
    if count == 0:
        return Curve()
    width = -(-count // MOST_BINS)
    starts = np.arange(0, count, width)
    goods = np.add.reduceat(np.asarray(good, dtype=np.float64), starts)
    sizes = np.diff(np.append(starts, count)).astype(np.float64)
    kernels = _kernels([sd * width**0.5 for sd in drifts])
    posterior = _smooth(_likelihoods(goods, sizes), kernels)
    side = (1 - BAND) / 2
    low_middle_high = _quantiles(posterior, (side, 0.5, 1 - side))
    points = tuple(
        CurvePoint(number + 1, float(middle), float(low), float(high))
        for number in range(count)
        for low, middle, high in (low_middle_high[number // width],)
    )
    now = tuple(zip(_rates().tolist(), posterior[-1].tolist(), strict=True))
    return Curve(points, now)
