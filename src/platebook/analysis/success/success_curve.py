"""The success curve: how likely the next setting was to come out good, with its band.

| function | gives |
|---|---|
| `success_curve` | the curve over settings in order, and where it stands now |
| `success_now` | where it stands now alone, for half the work |

Model: the log-odds of a good setting move from one to the next; each setting is good or not. How
much they move is not known, so eighteen kinds of movement are weighed by how well each explains the
settings: what skill wanders over the whole log, be it short or long (`WHOLE`), what it wanders in a
day of a pause (`PAUSE_DAY`), and a steady rise or fall (`TRENDS`). Movement is told for the whole
log and not for one setting, because a step that suits 50 settings is far too long for 2,000. The
posterior is computed on a grid of log-odds by a forward and a backward pass (a fixed-interval
smoother), so there is no approximation beyond the grid.

At 0 settings the curve is empty. At 1 or few the band is nearly everything. All good or all failed
gives a curve near, never at, 1 or 0. A long series is taken in bins of consecutive settings, about
`MOST_BINS` of them, which end where a pause lies. Without days there are no pauses. Sources: Smith
et al., J Neurosci 2004;24:447, for the model; docs/methods/curve.md for the rest.
"""

import itertools
from collections.abc import Iterable, Sequence
from datetime import date

import numpy as np

from platebook.analysis.arrays import Floats, Whole
from platebook.values import Value

BAND = 0.95
"""Share of the posterior between `low` and `high`."""

PAUSE_DAYS = 7
"""Days from one setting to the next that are no pause: practice once a week."""

MOST_BINS = 400

WHOLE = ((0.7, 0.25), (1.4, 0.5), (2.8, 0.25))
"""Standard deviations of what the log-odds wander over the whole log, each with how likely it is
beforehand. Chosen by the worst of thirteen shapes of log (docs/measured.md)."""

PAUSE_DAY = (0.0, 0.08)
"""Standard deviations of what they wander on one day of a pause, equally likely beforehand."""

TRENDS = ((0.0, 0.5), (1.5, 0.25), (-1.5, 0.25))
"""Steady rises of the log-odds from the first setting to the last, and how likely beforehand."""

_LOG_ODDS = np.linspace(-5.0, 5.0, 101)
_STEP = float(_LOG_ODDS[1] - _LOG_ODDS[0])
_EDGES = np.append(_LOG_ODDS - _STEP / 2, _LOG_ODDS[-1] + _STEP / 2)
_START_SD = 1.5
"""Spread of the log-odds before anything is known: nearly even over the rate."""

_WAVES = np.cos(np.pi * np.outer(np.arange(101), np.arange(101) + 0.5) / 101) * (2 / 101) ** 0.5
_WAVES[0] /= 2**0.5
_DAMPING = (1 - np.cos(np.pi * np.arange(101) / 101)) / _STEP**2
"""A walk on the grid that turns back at its ends, taken apart into cosine waves: a walk of variance
v multiplies each wave by exp(-v * damping), for any v, however small."""


class Movement(Value):
    """One way in which skill may have moved; log-odds, and how likely it is beforehand."""

    whole: float
    pause_day: float = 0.0
    trend: float = 0.0
    weight: float = 1.0


MOVEMENTS = tuple(
    Movement(whole, pause_day, trend, so_often * as_often)
    for (whole, so_often), pause_day, (trend, as_often) in itertools.product(
        WHOLE, PAUSE_DAY, TRENDS
    )
)


class CurvePoint(Value):
    """The curve at one setting, counted from 1: the middle of the posterior and its band."""

    number: int
    rate: float
    low: float
    high: float


class Curve(Value):
    """The curve, and the rate after the last setting as (rate, chance) pairs for forecasts."""

    points: tuple[CurvePoint, ...] = ()
    now: tuple[tuple[float, float], ...] = ()


class _Bins(Value):
    """Settings taken together: good ones, all, and days of pause before the first of each."""

    good: Floats
    of: Floats
    pause: Floats


def success_curve(
    good: Sequence[bool],
    days: Sequence[date | None] = (),
    *,
    movements: Sequence[Movement] = MOVEMENTS,
) -> Curve:
    """The curve over settings in order; True is a good one, `days` says when each was made.

    Raises ValueError where there are days, but not as many as settings.
    """
    if not good:
        return Curve()
    log = _Log(_bins(good, days), movements)
    forward, weights = log.forward()
    low_middle_high = log.quantiles(log.smooth(forward), weights)
    numbers = np.repeat(np.arange(len(log.bins.of)), log.bins.of.astype(int)).tolist()
    points = tuple(
        CurvePoint(number, float(middle), float(low), float(high))
        for number, place in enumerate(numbers, 1)
        for low, middle, high in (low_middle_high[place],)
    )
    return Curve(points, _pairs(weights @ forward[-1]))


def success_now(good: Sequence[bool], days: Sequence[date | None] = ()) -> Curve:
    """The last point of `success_curve` alone, with the rate after it; empty at 0 settings."""
    if not good:
        return Curve()
    log = _Log(_bins(good, days), MOVEMENTS)
    forward, weights = log.forward()
    ((low, middle, high),) = log.quantiles(forward[-1:], weights, of=slice(-1, None))
    point = CurvePoint(len(good), float(middle), float(low), float(high))
    return Curve((point,), _pairs(weights @ forward[-1]))


def _pairs(posterior: Floats) -> tuple[tuple[float, float], ...]:
    rates = 1.0 / (1.0 + np.exp(-_LOG_ODDS))
    return tuple(zip(rates.tolist(), posterior.tolist(), strict=True))


def _bins(good: Sequence[bool], days: Sequence[date | None]) -> _Bins:
    """Settings in equal bins, of one each where they are few, and none over a pause."""
    if days and len(days) != len(good):
        raise ValueError(f"{len(days)} days for {len(good)} settings")
    pauses = list(_pauses(days)) if days else [0] * len(good)
    width = -(-len(good) // MOST_BINS)
    firsts: list[int] = []
    for place, pause in enumerate(pauses):
        if not firsts or pause or place - firsts[-1] == width:
            firsts.append(place)
    starts: Whole = np.array(firsts)
    return _Bins(
        good=np.add.reduceat(np.asarray(good, dtype=np.float64), starts),
        of=np.diff(np.append(starts, len(good))).astype(np.float64),
        pause=np.array(pauses, dtype=np.float64)[starts],
    )


def _pauses(days: Iterable[date | None]) -> Iterable[int]:
    """Days beyond `PAUSE_DAYS` before each setting; none where the day is unknown or runs back."""
    last: date | None = None
    for day in days:
        apart = (day - last).days if day is not None and last is not None else 0
        yield max(apart - PAUSE_DAYS, 0)
        last = day or last


def _distinct(movements: Sequence[Movement], *, paused: bool) -> tuple[Movement, ...]:
    """The movements, those that are one where there was no pause as one with both their weights."""
    weights: dict[tuple[float, float, float], float] = {}
    for of in movements:
        key = (of.whole, of.pause_day if paused else 0.0, of.trend)
        weights[key] = weights.get(key, 0.0) + of.weight
    return tuple(Movement(*key, weight) for key, weight in weights.items())


class _Log:
    """One series of settings under every movement; arrays are (bins, movements, grid).

    Log-odds are counted from the steady rise, which is 0 at the last bin: so a rise shifts what the
    settings say, and the walk itself is the same for all.
    """

    def __init__(self, bins: _Bins, movements: Sequence[Movement]) -> None:
        movements = _distinct(movements, paused=bool(bins.pause.any()))
        count = float(bins.of.sum())
        apart = np.append(0.0, (bins.of[1:] + bins.of[:-1]) / 2)
        to_end = apart.sum() - np.cumsum(apart)
        whole, pause_day, trend, weight = (
            np.array([getattr(m, name) for m in movements])
            for name in ("whole", "pause_day", "trend", "weight")
        )
        self.bins = bins
        self.trends, self._trend_of = np.unique(trend, return_inverse=True)
        self.risen = -self.trends * to_end[:, None] / count
        self._walked = apart[:, None] * whole**2 / count + bins.pause[:, None] * pause_day**2
        self._prior = np.log(weight / weight.sum())
        self._likelihoods, self._largest = self._weigh()

    def _weigh(self) -> tuple[Floats, Floats]:
        """Likelihood of each bin, (bins, trends, grid), scaled; and the logs of the scales."""
        odds = _LOG_ODDS + self.risen[:, :, None]
        good, of = self.bins.good[:, None, None], self.bins.of[:, None, None]
        # The log-odds lie within some 7 of 0: nothing is lost by the plain way to this logarithm.
        logs = (good - of) * odds - of * np.log(1.0 + np.exp(-odds))
        largest = logs.max(axis=(1, 2))
        return np.exp(logs - largest[:, None, None])[:, self._trend_of], largest

    def _walk(self, chances: Floats, place: int) -> Floats:
        """Where the log-odds may be after the walk from the bin before `place`, or before it."""
        waves = chances @ _WAVES.T
        waves *= np.exp(-self._walked[place][:, None] * _DAMPING)
        return np.asarray(np.maximum(waves @ _WAVES, 0.0))

    def forward(self) -> tuple[Floats, Floats]:
        """Posterior after each bin, of those up to it; and how likely each movement is at last."""
        start = np.exp(-0.5 * ((_LOG_ODDS + self.risen[0][self._trend_of, None]) / _START_SD) ** 2)
        current = start / start.sum(axis=1, keepdims=True)
        evidence = self._prior.copy()
        posterior = np.empty((len(self.bins.of), *current.shape))
        for place, likelihood in enumerate(self._likelihoods):
            current = (self._walk(current, place) if place else current) * likelihood
            total = current.sum(axis=1)
            evidence += np.log(total)
            current /= total[:, None]
            posterior[place] = current
        weights = np.exp(evidence - evidence.max())
        return posterior, weights / weights.sum()

    def smooth(self, forward: Floats) -> Floats:
        """Posterior at each bin, of all."""
        smoothed = np.empty_like(forward)
        behind = np.ones_like(forward[0])
        for place in range(len(forward) - 1, -1, -1):
            both = forward[place] * behind
            smoothed[place] = both / both.sum(axis=1, keepdims=True)
            behind = self._walk(self._likelihoods[place] * behind, place)
            behind /= behind.max(axis=1, keepdims=True)
        return smoothed

    def quantiles(self, posterior: Floats, weights: Floats, of: slice = slice(None)) -> Floats:
        """Rates at the band's ends and its middle, mixed over the movements; shape (bins, 3)."""
        side = (1 - BAND) / 2
        rows = []
        for chances, risen in zip(posterior, self.risen[of], strict=True):
            below = np.zeros_like(_EDGES)
            for trend, shift in enumerate(risen):
                these = weights * (self._trend_of == trend) @ chances
                up_to = np.append(0.0, np.cumsum(these))
                below += np.interp(_EDGES - shift, _EDGES, up_to)
            rows.append(np.interp((side, 0.5, 1 - side), below, _EDGES))
        return np.asarray(1.0 / (1.0 + np.exp(-np.array(rows))))
