"""Measured responses: how each attempt's reading bounds a length or an angle, in standard units.

A reading is a value, an interval of a row of pins, or a choice that lies between edges. Every row
keeps how it was read, so that a drawn truth can be read in the same way (`Measurements.read`).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats, Truths, Whole

_MOST_EDGES = 3


@dataclass(frozen=True, slots=True)
class Response:
    """What is measured: `unit` is its usual scatter and `middle` its usual value, both in `mm_or`.

    `decimals` is how finely it is told.
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

    def some(self, chosen: Whole | Truths) -> "Measurements":
        """The chosen measurements alone, by place or by truth value."""
        return Measurements(
            self.response,
            self.rows[chosen],
            self.low[chosen],
            self.high[chosen],
            self.error[chosen],
            self.step[chosen],
            self.edges[chosen],
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
