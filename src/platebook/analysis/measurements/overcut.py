"""How wide one hand cuts with one bur shape: readings weighed on a grid of overcuts.

A place is the overcut at the readings' mean number of seats cut, so that it and the wear are nearly
independent. Readings of one evening share a shift, which is summed out.

A seat is bur + overcut + wear · seats cut before + the evening's own shift + scatter. The overcut
of a fresh bur, the wear and both spreads are unknown; their posterior is summed on a grid, so that
limits (pins, `fit`) count for exactly what they say.

Assumption: scatter and evenings are normal, and the hand is one hand over the readings used, the
latest `RECENT` of them. With 0 readings the answer is the prior; with 1 or few it lies between the
prior and the readings; with all on one side the prior holds it. Constant readings give a small
spread, never 0. The method page is docs/methods/overcut.md.
"""

import math
from collections.abc import Sequence

import numpy as np

from platebook.analysis.arrays import Floats, log_sum
from platebook.analysis.measurements.seat_likelihood import SeatLikelihood
from platebook.analysis.measurements.seat_readings import SeatReading
from platebook.analysis.models.intervals import Interval
from platebook.trade.tools.expected_hand import (
    EVENING_CHANCES,
    EVENINGS_MM,
    SPREAD_LOG_SD,
    ExpectedHand,
)
from platebook.values import Value

RECENT = 120
"""Hands change, so older readings of a shape are not used."""

WEAR_SD_MM = 0.0005
"""How much wear moves a seat, each seat the bur has cut, in either direction (judgement)."""

EDGES_MM = (0.045, 0.06, 0.075)
EDGE_CHANCES = (0.25, 0.5, 0.25)
"""Where a stone stops to snap in and begins to move: the custom windows' 0.06 mm, in the setter's
own judgement a little more or less (judgement)."""

PLACES_MM: Floats = np.arange(-0.14, 0.3401, 0.003)

_POSSIBLE = 1e-8
"""Chances below this, beside the likeliest, change no answer by a thousandth of a micrometre."""

_BESIDE = 3
"""Places asked beside those that seem possible: an unworn bur's lie a little elsewhere."""


class Overcut(Value):
    """What is known of one hand and shape.

    `mean_mm` is the mean overcut of a fresh bur with its `interval_mm`; `spread_mm` the standard
    deviation of the next seat around it. `readings` counts those used.
    """

    mean_mm: float
    interval_mm: Interval
    wear_mm_per_seat: float
    wear_interval_mm: Interval
    spread_mm: float
    readings: int


class Grid(Value):
    """Where a posterior is summed: at which overcuts, and at which nodes of wear and of spread.

    `nodes` are in standard deviations of the unknown as it was known before, `log_shares` how much
    each counts. They close in on where the posterior lies, in so many `passes` at the most.
    """

    places_mm: Floats
    nodes: Floats
    log_shares: Floats
    passes: int


FINE = Grid(PLACES_MM, np.linspace(-3.0, 3.0, 7), np.zeros(7), passes=3)
"""Even steps, so that limits can be read between them."""

_GAUSS: Floats = np.array([0.741963784302725858, 2.33441421833897724])
_GAUSS_SHARES: Floats = np.array([0.454124145231931451, 0.0458758547680684918])
"""Nodes and shares of Gauss and Hermite's rule of four for a standard normal: x times the root of 2
and w by the root of pi, of Abramowitz and Stegun (1964), table 25.10."""

COARSE = Grid(
    PLACES_MM[::2],
    np.concatenate([-_GAUSS[::-1], _GAUSS]),
    np.log(np.concatenate([_GAUSS_SHARES[::-1], _GAUSS_SHARES]))
    + np.concatenate([_GAUSS[::-1], _GAUSS]) ** 2 / 2,
    passes=4,
)
"""Two fifths of the work, for hands that are only heard of as part of a class: means are those of a
plain sum to 1.5 µm at the worst and spreads to one in thirty; limits are rough."""

_LOOKED_AT: Floats = np.linspace(-3.0, 3.0, 7)
_BETWEEN: Floats = np.linspace(-4.0, 4.0, 161)
"""Spreads that are looked at first, and those for which is said what lies between them, both in
standard deviations of the spread as it was known before."""


class _Axis(Value):
    """The nodes of one unknown, `sd` apart, which close in on where its posterior lies."""

    grid: Grid
    middle: float
    sd: float

    @property
    def nodes(self) -> Floats:
        """The values of the unknown that are summed over."""
        return np.asarray(self.middle + self.sd * self.grid.nodes)

    def closer(self, weights: Floats) -> "_Axis":
        """The axis around these weights' mean; the same one where it already is fine enough."""
        mean = float(weights @ self.nodes)
        sd = math.sqrt(max(float(weights @ (self.nodes - mean) ** 2), 0.0))
        off = abs(mean - self.middle) >= 0.5 * self.sd
        if sd >= 0.8 * self.sd and not off:
            return self
        return _Axis(self.grid, mean, max(sd, 0.6 * self.sd))


def learn_overcut(
    readings: Sequence[SeatReading],
    prior: ExpectedHand,
    *,
    confidence: float = 0.95,
    grid: Grid = FINE,
) -> Overcut:
    """The posterior of one hand with one bur shape, summed over this grid; deterministic."""
    used = readings[-RECENT:]
    likelihood = SeatLikelihood.of(used, grid.places_mm, EVENINGS_MM, (EDGES_MM, EDGE_CHANCES))
    usual = math.log(prior.spread_mm)
    looked_at = usual + SPREAD_LOG_SD * _LOOKED_AT
    unworn = _logs(likelihood, (np.zeros(1), looked_at), prior, slice(None))
    axes = _Axis(grid, 0.0, WEAR_SD_MM), _Axis(grid, *_spread_between(looked_at, unworn[0], usual))
    chances = _posterior(likelihood, axes, prior, _possible(unworn))
    for _ in range(grid.passes - 1):
        nearer = (
            axes[0].closer(chances.sum(axis=(1, 2, 3))),
            axes[1].closer(chances.sum(axis=(0, 2, 3))),
        )
        if nearer == axes:
            break
        axes = nearer
        with np.errstate(divide="ignore"):
            chances = _posterior(likelihood, axes, prior, _possible(np.log(chances)))
    return _summary(chances, axes, likelihood, confidence)


def _spread_between(looked_at: Floats, logs: Floats, usual: float) -> tuple[float, float]:
    """Mean and standard deviation of the spread's logarithm, by logs of chances at some of them.

    Around the likeliest they are taken to fall as those of plain values do: by their number for
    each unit of the logarithm, and by their squares over the spread's. Where it is no such curve
    the spread is where it was before.
    """
    by_spread = log_sum(logs.reshape(looked_at.size, -1), axis=1)
    top = min(max(int(by_spread.argmax()), 1), looked_at.size - 2)
    around = looked_at[top - 1 : top + 2] - looked_at[top]
    terms = np.stack([np.ones(3), around, np.exp(-2 * around)], axis=1)
    _, count, squares = np.linalg.solve(terms, by_spread[top - 1 : top + 2])
    if not (count < 0 and squares < 0):
        return usual, SPREAD_LOG_SD
    between = usual + SPREAD_LOG_SD * _BETWEEN
    curve = count * (between - looked_at[top]) + squares * np.exp(-2 * (between - looked_at[top]))
    chances = np.exp(curve - curve.max())
    chances /= chances.sum()
    mean = float(chances @ between)
    return mean, math.sqrt(float(chances @ (between - mean) ** 2))


def _posterior(
    likelihood: SeatLikelihood, axes: tuple[_Axis, _Axis], prior: ExpectedHand, likely: slice
) -> Floats:
    """Chances by wear, spread, evening and place; they sum to 1.

    Only `likely` places and some beside them are asked, and more where these were not enough.
    """
    slopes, log_sds = (axis.nodes for axis in axes)
    of_wear, of_spread = (axis.grid.log_shares for axis in axes)
    shares = of_wear[:, None, None, None] + of_spread[:, None, None]
    beside, end = _BESIDE, likelihood.places_mm.size
    while True:
        within = slice(max(likely.start - beside, 0), min(likely.stop + beside, end))
        logs = np.full((slopes.size, log_sds.size, len(EVENINGS_MM), end), -np.inf)
        logs[..., within] = _logs(likelihood, (slopes, log_sds), prior, within)
        logs[..., within] += shares
        likely, beside = _possible(logs), 4 * beside
        enough_below = likely.start > within.start or within.start == 0
        if enough_below and (likely.stop < within.stop or within.stop == end):
            chances = np.exp(logs - logs.max())
            return np.asarray(chances / chances.sum())


def _possible(logs: Floats) -> slice:
    """The places that matter, by logs of chances of which places are the last axis."""
    by_place = logs.max(axis=(0, 1, 2))
    possible = np.flatnonzero(by_place > by_place.max() + math.log(_POSSIBLE))
    return slice(int(possible[0]), int(possible[-1]) + 1)


def _logs(
    likelihood: SeatLikelihood, nodes: tuple[Floats, Floats], prior: ExpectedHand, within: slice
) -> Floats:
    """Logs of what the chances are in proportion to, at nodes of wear and spread, within places."""
    slopes, log_sds = nodes
    fresh = likelihood.places_mm[within] - slopes[:, None] * likelihood.mean_uses
    at_place = -0.5 * ((fresh - prior.overcut_mm) / prior.between_mm) ** 2
    at_wear = -0.5 * (slopes / WEAR_SD_MM) ** 2
    at_spread = -0.5 * ((log_sds - math.log(prior.spread_mm)) / SPREAD_LOG_SD) ** 2
    logs = likelihood.log_chances(slopes, np.exp(log_sds), within)
    logs += (at_place + at_wear[:, None])[:, None, None]
    logs += at_spread[:, None, None] + np.log(np.array(EVENING_CHANCES))[:, None]
    return logs


def _summary(
    chances: Floats, axes: tuple[_Axis, _Axis], likelihood: SeatLikelihood, confidence: float
) -> Overcut:
    wear, spread = axes
    fresh = likelihood.places_mm - wear.nodes[:, None] * likelihood.mean_uses
    by_fresh, by_wear = chances.sum(axis=(1, 2)), chances.sum(axis=(1, 2, 3))
    mean = float((by_fresh * fresh).sum())
    doubt = float((by_fresh * (fresh - mean) ** 2).sum())
    scatter = float(chances.sum(axis=(0, 2, 3)) @ np.exp(2 * spread.nodes))
    evenings = float(chances.sum(axis=(0, 1, 3)) @ np.square(EVENINGS_MM))
    return Overcut(
        mean_mm=mean,
        interval_mm=_interval(fresh.ravel(), by_fresh.ravel(), confidence),
        wear_mm_per_seat=float(by_wear @ wear.nodes),
        wear_interval_mm=_interval(wear.nodes, by_wear, confidence),
        spread_mm=math.sqrt(doubt + scatter + evenings),
        readings=likelihood.readings,
    )


def _interval(values: Floats, chances: Floats, confidence: float) -> Interval:
    """The middle part of a posterior; between nodes the chance is taken to rise evenly."""
    order = np.argsort(values, kind="stable")
    below = np.cumsum(chances[order]) - chances[order] / 2
    low, high = np.interp([(1 - confidence) / 2, (1 + confidence) / 2], below, values[order])
    return Interval(float(low), float(high))
