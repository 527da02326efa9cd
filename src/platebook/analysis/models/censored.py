"""Readings that are values, intervals or one side only, and normal regressions on them.

A reading is a value, an interval of a row of pins, or a choice that lies between edges. Every row
keeps how it was read, so that a drawn truth can be read in the same way (`Measurements.read`).

The response is Zβ + session + scatter, with the frame's normal priors on the coefficients, so a
maximum a posteriori fit exists whatever the readings say: also with all of them on one side. Both
spreads, of the scatter and of the evenings, are taken where their own posterior is highest
(Laplace's approximation for all coefficients).

Checked against scipy's maximum likelihood for censored data. Source of the censored normal
regression: J. Tobin, Econometrica 1958;26:24.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats, Truths, Whole
from platebook.analysis.models.null_model import Frame, Nuisance, Projection

_MOST_EDGES = 3


@dataclass(frozen=True, slots=True)
class Response:
    """What is measured: `unit` is its usual scatter and `middle` its usual value, both in `mm_or`.

    `decimals` is how finely it is written.
    """

    name: str
    middle: float
    unit: float
    mm_or: str = "mm"
    decimals: int = 2


OVERCUT = Response("overcut", 0.06, 0.03)
"""Seat minus bur. Custom's 0.06 and 0.03 mm stand in the rules of thumb too."""

DEPTH = Response("depth error", 0.0, 0.04)
"""Depth of the seat minus what the stone needs; its scatter is judgement."""

HEIGHT = Response("table height", 0.0, 0.04)
"""The middle of the table above the sheet; its scatter is judgement."""

TILT = Response("table tilt", 1.0, 1.0, "°", 1)
"""Lean of the table; that a setter's vary by about a degree is judgement."""


@dataclass(frozen=True, slots=True)
class Measurement:
    """One reading between `low` and `high`, in the response's own unit; equal ones are a value.

    `error` is its standard uncertainty. `step` is the distance of the pins that gave an interval,
    `edges` part the choices of which one was taken.
    """

    low: float
    high: float
    error: float
    step: float = 0.0
    edges: tuple[float, ...] = ()


@dataclass(frozen=True, eq=False)
class Measurements:
    """r readings of one response, in units around its usual value; `rows` are the attempts'."""

    response: Response
    rows: Whole
    low: Floats
    high: Floats
    error: Floats
    step: Floats
    edges: Floats

    def __len__(self) -> int:
        return len(self.rows)

    @classmethod
    def of(cls, response: Response, readings: Sequence[Measurement | None]) -> "Measurements":
        """The readings of a log's n attempts, None where there is none."""
        pairs = [(row, reading) for row, reading in enumerate(readings) if reading is not None]

        def array(values: Sequence[float]) -> Floats:
            return np.array(values, dtype=float)

        edges = np.full((len(pairs), _MOST_EDGES), np.inf)
        for place, (_, reading) in enumerate(pairs):
            edges[place, : len(reading.edges)] = reading.edges
        middle, unit = response.middle, response.unit
        return cls(
            response=response,
            rows=np.array([row for row, _ in pairs], dtype=np.intp),
            low=(array([reading.low for _, reading in pairs]) - middle) / unit,
            high=(array([reading.high for _, reading in pairs]) - middle) / unit,
            error=array([reading.error for _, reading in pairs]) / unit,
            step=array([reading.step for _, reading in pairs]) / unit,
            edges=(edges - middle) / unit,
        )

    def chosen(self, which: Whole | Truths) -> "Measurements":
        """The chosen measurements alone, by place or by truth value."""
        return Measurements(
            self.response,
            self.rows[which],
            self.low[which],
            self.high[which],
            self.error[which],
            self.step[which],
            self.edges[which],
        )

    def varies(self) -> bool:
        """Whether at least two readings differ; a log without that has nothing to be explained."""
        if not len(self):
            return False
        same = np.array_equal(self.low, np.full_like(self.low, self.low[0]))
        return not (same and np.array_equal(self.high, np.full_like(self.high, self.high[0])))

    def read(self, truth: Floats) -> tuple[Floats, Floats]:
        """Read other truths (d by r) as these were read: their limits, each d by r.

        The pins' row goes on to both sides; edges of the choices stay where they are.
        """
        low, high = truth.copy(), truth.copy()
        pins = np.flatnonzero(self.step > 0.0)
        if len(pins):
            start, step = self.low[pins], self.step[pins]
            low[:, pins] = start + np.floor((truth[:, pins] - start) / step) * step
            high[:, pins] = low[:, pins] + step
        chosen = np.flatnonzero(np.isfinite(self.edges[:, 0]))
        if len(chosen):
            edges = self.edges[chosen]
            ends = np.full((len(chosen), 1), np.inf)
            bounds = np.hstack([-ends, edges, ends])
            place = (truth[:, chosen, None] > edges).sum(axis=2)
            row = np.arange(len(chosen))
            low[:, chosen], high[:, chosen] = bounds[row, place], bounds[row, place + 1]
        return low, high


def exactly(value: float, error: float) -> Measurement:
    """A measurement that is one value, with its standard uncertainty."""
    return Measurement(value, value, error)


def between(edges: tuple[float, ...], place: int, error: float) -> Measurement:
    """The choice number `place`, from 0, of those that the edges part."""
    bounds = (-math.inf, *edges, math.inf)
    return Measurement(bounds[place], bounds[place + 1], error, edges=edges)


SPREADS: Floats = np.exp2(np.arange(-2.0, 2.01, 0.25))
"""Scatters that are weighed, in the response's units."""

SPREAD_LOG_SD = 0.7
EVENINGS = (0.25, 0.5, 1.0)
"""Standard deviations of an evening's own shift, in the response's units (judgement)."""

_STEPS = 40
_NEAR = 1e-7
_LARGEST_STEP = 4.0
_FAR = 8.0
_NARROW = 1e-6
_LEAST_WEIGHT = 1e-6


@dataclass(frozen=True, eq=False)
class Slopes:
    """Log chance of each reading, its slope in the middle, and the weight (minus the curve)."""

    log_chance: Floats
    residual: Floats
    weight: Floats


def slopes(low: Floats, high: Floats, middle: Floats, spread: Floats) -> Slopes:
    """All of one shape, or of shapes that go together; `spread` is the standard deviation.

    Far from the middle a limit counts as a value, which is right to one part in a hundred there.
    """
    from scipy.special import ndtr

    a, b = (low - middle) / spread, (high - middle) / spread
    value = (b - a < _NARROW) | (a > _FAR) | (b < -_FAR)
    z = np.where(a > _FAR, a, np.where(b < -_FAR, b, np.where(value, a, 0.0)))
    a, b = np.where(value, -1.0, a), np.where(value, 1.0, b)
    side = np.where(a + b > 0.0, -1.0, 1.0)
    chance = np.maximum(np.abs(ndtr(side * b) - ndtr(side * a)), 1e-300)
    at_a, at_b = _density(a), _density(b)
    slope = (at_a - at_b) / chance
    curve = np.square(slope) + (_times(b, at_b) - _times(a, at_a)) / chance
    return Slopes(
        np.where(value, -0.5 * np.square(z) - np.log(spread), np.log(chance)),
        np.where(value, z, slope) / spread,
        np.maximum(np.where(value, 1.0, curve), _LEAST_WEIGHT) / np.square(spread),
    )


def _density(z: Floats) -> Floats:
    near = np.clip(z, -30.0, 30.0)
    return np.where(np.isfinite(z), np.exp(-0.5 * np.square(near)) / np.sqrt(2 * np.pi), 0.0)


def _times(z: Floats, density: Floats) -> Floats:
    return np.where(np.isfinite(z), z, 0.0) * density


@dataclass(frozen=True, eq=False)
class CensoredFit:
    """One fit (the first axis is 1): scatter, middles and spreads (r), coefficients, slopes."""

    frame: Frame
    scatter: float
    spread: Floats
    middle: Floats
    fixed: Floats
    random: Floats
    residual: Floats
    projection: Projection


@dataclass(frozen=True, eq=False)
class _Fits:
    fixed: Floats
    random: Floats
    log_marginal: Floats
    projection: Projection
    residual: Floats


def _fits(frame: Frame, measured: Measurements, spread: Floats) -> _Fits:
    """A fit for each row of spreads (d by r), all at once."""
    draws = len(spread)
    fixed = np.zeros((draws, frame.z.shape[1]))
    random = np.zeros((draws, len(frame.starts)))
    for _ in range(_STEPS):
        middle = fixed @ frame.z.T + random[:, frame.session]
        at = slopes(measured.low, measured.high, middle, spread)
        step, step_session = Projection.of(frame, at.weight, frame.session_precision).solve(
            at.residual @ frame.z - frame.precision * fixed,
            frame.by_session(at.residual, 1) - frame.session_precision * random,
        )
        largest = np.maximum(np.abs(step).max(axis=1), np.abs(step_session).max(axis=1))
        shrink = np.minimum(1.0, _LARGEST_STEP / np.maximum(largest, _NEAR))[:, None]
        fixed, random = fixed + shrink * step, random + shrink * step_session
        if float(largest.max()) < _NEAR:
            break
    middle = fixed @ frame.z.T + random[:, frame.session]
    at = slopes(measured.low, measured.high, middle, spread)
    projection = Projection.of(frame, at.weight, frame.session_precision)
    penalty = np.square(fixed) @ frame.precision
    penalty += frame.session_precision * np.square(random).sum(axis=1)
    penalty -= len(frame.starts) * np.log(frame.session_precision)
    volume = np.linalg.slogdet(projection.core)[1] + np.log(projection.session_weight).sum(axis=1)
    log_marginal = at.log_chance.sum(axis=1) - 0.5 * (penalty + volume)
    return _Fits(fixed, random, log_marginal, projection, at.residual)


@dataclass(frozen=True, slots=True)
class Spreads:
    """The scatter of a response and its evenings' standard deviation, in its units."""

    scatter: float
    evening: float


def spreads(adjusted: Nuisance, measured: Measurements) -> Spreads:
    """The most likely pair; `adjusted` has the readings' rows. With nothing read the usual one."""
    if not len(measured):
        return Spreads(1.0, EVENINGS[1])
    spread = np.sqrt(np.square(SPREADS)[:, None] + np.square(measured.error))
    prior = -0.5 * np.square(np.log(SPREADS) / SPREAD_LOG_SD)
    best, likeliest = -np.inf, Spreads(1.0, EVENINGS[1])
    for evening in EVENINGS:
        frame = Frame.of(adjusted, session_precision=evening**-2, tail=math.inf)
        log_posterior = _fits(frame, measured, spread).log_marginal + prior
        top = int(np.argmax(log_posterior))
        if log_posterior[top] > best:
            best = float(log_posterior[top])
            likeliest = Spreads(_peak(log_posterior, top), evening)
    return likeliest


def _peak(values: Floats, top: int) -> float:
    """Where a parabola through the best place and its neighbours is highest."""
    if not 0 < top < len(values) - 1:
        return float(SPREADS[top])
    left, here, right = (float(values[place]) for place in (top - 1, top, top + 1))
    bend = left - 2 * here + right
    shift = 0.0 if bend >= 0.0 else 0.5 * (left - right) / bend
    return float(SPREADS[top] * 2 ** (0.25 * shift))


def fit_censored(adjusted: Nuisance, measured: Measurements, known: Spreads) -> CensoredFit:
    """Fit the readings, one or more, with these spreads; `adjusted` has the readings' rows."""
    frame = Frame.of(adjusted, session_precision=known.evening**-2, tail=math.inf)
    spread = np.sqrt(known.scatter**2 + np.square(measured.error))
    fits = _fits(frame, measured, spread[None, :])
    middle = (fits.fixed @ frame.z.T + fits.random[:, frame.session])[0]
    return CensoredFit(
        frame, known.scatter, spread, middle, fits.fixed, fits.random, fits.residual,
        fits.projection,
    )  # fmt: skip


def best_guess(fit: CensoredFit, measured: Measurements) -> Floats:
    """What each reading most likely means (r): the value, or the mean between its limits."""
    at = slopes(measured.low, measured.high, fit.middle, fit.spread)
    return np.asarray(fit.middle + np.square(fit.spread) * at.residual, dtype=float)
