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

import numpy as np

from platebook.analysis.arrays import Floats, Truths, Whole
from platebook.analysis.models.normal import normal_cdf
from platebook.analysis.models.null_model import Frame, Nuisance, Projection
from platebook.values import Value

_MOST_EDGES = 3


class Response(Value):
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


class Measurement(Value):
    """One reading between `low` and `high`, in the response's own unit; equal ones are a value.

    `error` is its standard uncertainty. `step` is the distance of the pins that gave an interval,
    `edges` part the choices of which one was taken.
    """

    low: float
    high: float
    error: float
    step: float = 0.0
    edges: tuple[float, ...] = ()


class Measurements(Value, eq=False):
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

_STEPS, _HALVINGS = 40, 12
_NEAR, _LEVEL = 1e-7, 1e-12
_FAR = 8.0
_NARROW = 1e-6
_LEAST_WEIGHT = 1e-6


class Slopes(Value, eq=False):
    """Log chance of each reading, its slope in the middle, and the weight (minus the curve)."""

    log_chance: Floats
    residual: Floats
    weight: Floats


def slopes(low: Floats, high: Floats, middle: Floats, spread: Floats) -> Slopes:
    """All of one shape, or of shapes that go together; `spread` is the standard deviation.

    Far from the middle a limit counts as a value, which is right to one part in a hundred there.
    """
    a, b = (low - middle) / spread, (high - middle) / spread
    value = (b - a < _NARROW) | (a > _FAR) | (b < -_FAR)
    z = np.where(b < -_FAR, b, np.where(value, a, 0.0))
    log_chance = -0.5 * np.square(z) - np.log(spread)
    slope, curve = z, np.ones_like(z)
    if not value.all():
        inside = ~value
        log_chance[inside], slope[inside], curve[inside] = _between(a[inside], b[inside])
    weight = np.maximum(curve, _LEAST_WEIGHT) / np.square(spread)
    return Slopes(log_chance, slope / spread, weight)


def _between(a: Floats, b: Floats) -> tuple[Floats, Floats, Floats]:
    """Log chance of lying between limits in standard deviations, its slope, and minus its curve."""
    side = np.where(a + b > 0.0, -1.0, 1.0)
    chance = np.maximum(np.abs(normal_cdf(side * b) - normal_cdf(side * a)), 1e-300)
    at_a, at_b = _density(a), _density(b)
    slope = (at_a - at_b) / chance
    curve = np.square(slope) + (_times(b, at_b) - _times(a, at_a)) / chance
    return np.log(chance), slope, curve


def _density(z: Floats) -> Floats:
    near = np.clip(z, -30.0, 30.0)
    return np.where(np.isfinite(z), np.exp(-0.5 * np.square(near)) / np.sqrt(2 * np.pi), 0.0)


def _times(z: Floats, density: Floats) -> Floats:
    return np.where(np.isfinite(z), z, 0.0) * density


class CensoredFit(Value, eq=False):
    """One fit (the first axis is 1): scatter, middles and spreads (r), coefficients, slopes.

    `settled` says whether its steps came to an end.
    """

    frame: Frame
    scatter: float
    spread: Floats
    middle: Floats
    fixed: Floats
    random: Floats
    residual: Floats
    projection: Projection
    settled: bool


class _Place(Value, eq=False):
    """Where d fits stand: coefficients, the slopes there, and the penalised log likelihood (d)."""

    fixed: Floats
    random: Floats
    at: Slopes
    height: Floats


class _Fits(Value, eq=False):
    """d fits to the same readings: `spread` (d by r) and `precision` of the sessions (d) differ."""

    frame: Frame
    measured: Measurements
    spread: Floats
    precision: Floats

    def place(self, fixed: Floats, random: Floats) -> _Place:
        """The fits with these coefficients (d by q) and session effects (d by m)."""
        middle = fixed @ self.frame.z.T + random[:, self.frame.session]
        at = slopes(self.measured.low, self.measured.high, middle, self.spread)
        penalty = np.square(fixed) @ self.frame.precision
        penalty += self.precision * np.square(random).sum(axis=1)
        return _Place(fixed, random, at, at.log_chance.sum(axis=1) - 0.5 * penalty)

    def projection(self, at: Slopes) -> Projection:
        """What takes columns and sessions out, with these weights."""
        return Projection.of(self.frame, at.weight, self.precision[:, None])

    def fitted(self) -> tuple[_Place, Projection, Truths]:
        """Newton's steps to the top, each halved until it rises; and which fits got there (d)."""
        draws, q, m = len(self.spread), self.frame.z.shape[1], len(self.frame.starts)
        here = self.place(np.zeros((draws, q)), np.zeros((draws, m)))
        for _ in range(_STEPS):
            projection, residual = self.projection(here.at), here.at.residual
            step, step_session = projection.solve(
                residual @ self.frame.z - self.frame.precision * here.fixed,
                self.frame.by_session(residual, 1) - self.precision[:, None] * here.random,
            )
            largest = np.maximum(np.abs(step).max(axis=1), np.abs(step_session).max(axis=1))
            settled = largest < _NEAR
            if settled.all():
                break
            here = self._risen(here, step, step_session)
        return here, projection, settled

    def _risen(self, here: _Place, step: Floats, step_session: Floats) -> _Place:
        """The place after each step (d), or after the first half of it that is no lower."""
        part = np.ones(len(step))
        for _ in range(_HALVINGS):
            fixed = here.fixed + part[:, None] * step
            there = self.place(fixed, here.random + part[:, None] * step_session)
            lower = there.height < here.height - _LEVEL * (1.0 + np.abs(here.height))
            if not lower.any():
                break
            part = np.where(lower, 0.5 * part, part)
        return there

    def log_marginals(self) -> Floats:
        """Of each fit (d): all coefficients summed over; minus infinity for one not settled."""
        here, projection, settled = self.fitted()
        volume = np.linalg.slogdet(projection.core)[1]
        volume += np.log(projection.session_weight / self.precision[:, None]).sum(axis=1)
        return np.where(settled, here.height - 0.5 * volume, -np.inf)


class Spreads(Value):
    """The scatter of a response and its evenings' standard deviation, in its units."""

    scatter: float
    evening: float


def spreads(adjusted: Nuisance, measured: Measurements) -> Spreads:
    """The most likely pair; `adjusted` has the readings' rows. With nothing read the usual one.

    All pairs are fitted at once; one that could not be fitted is not the most likely.
    """
    if not len(measured):
        return Spreads(1.0, EVENINGS[1])
    evening = np.repeat(EVENINGS, len(SPREADS))
    spread = np.sqrt(np.square(SPREADS)[:, None] + np.square(measured.error))
    frame = Frame.of(adjusted, tail=math.inf)
    fits = _Fits(frame, measured, np.tile(spread, (len(EVENINGS), 1)), evening**-2.0)
    prior = -0.5 * np.square(np.log(SPREADS) / SPREAD_LOG_SD)
    by_evening = fits.log_marginals().reshape(len(EVENINGS), -1) + prior
    best, top = np.unravel_index(int(np.argmax(by_evening)), by_evening.shape)
    if not np.isfinite(by_evening[best, top]):
        return Spreads(1.0, EVENINGS[1])
    return Spreads(_peak(by_evening[best], int(top)), EVENINGS[best])


def _peak(values: Floats, top: int) -> float:
    """Where a parabola through the best place and its neighbours is highest."""
    if not 0 < top < len(values) - 1:
        return float(SPREADS[top])
    left, here, right = (float(values[place]) for place in (top - 1, top, top + 1))
    bend = left - 2 * here + right
    shift = 0.0 if not -math.inf < bend < 0.0 else 0.5 * (left - right) / bend
    return float(SPREADS[top] * 2 ** (0.25 * shift))


def fit_censored(adjusted: Nuisance, measured: Measurements, known: Spreads) -> CensoredFit:
    """Fit the readings, one or more, with these spreads; `adjusted` has the readings' rows."""
    frame = Frame.of(adjusted, session_precision=known.evening**-2, tail=math.inf)
    spread = np.sqrt(known.scatter**2 + np.square(measured.error))
    fits = _Fits(frame, measured, spread[None, :], np.full(1, known.evening**-2))
    here, projection, settled = fits.fitted()
    return CensoredFit(
        frame=frame,
        scatter=known.scatter,
        spread=spread,
        middle=(here.fixed @ frame.z.T + here.random[:, frame.session])[0],
        fixed=here.fixed,
        random=here.random,
        residual=here.at.residual,
        projection=projection,
        settled=bool(settled[0]),
    )


def best_guess(fit: CensoredFit, measured: Measurements) -> Floats:
    """What each reading most likely means (r): the value, or the mean between its limits."""
    at = slopes(measured.low, measured.high, fit.middle, fit.spread)
    return np.asarray(fit.middle + np.square(fit.spread) * at.residual, dtype=float)
