"""How likely a hand's readings are, place by place on a grid of overcuts.

A place is the overcut at the readings' mean number of seats cut, so that it and the wear are nearly
independent. Readings of one evening share a shift, which is summed out.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats, Truths, Whole
from platebook.analysis.seat_readings import SeatReading

_SMALLEST = 1e-300


@dataclass(frozen=True, slots=True)
class SeatLikelihood:
    """Readings as arrays of one length. `starts` is where each evening begins.

    `edges_mm` are the fit edges to be summed over with `edge_chances`. `shifts` holds a matrix for
    each standard deviation of an evening's shift, side by side; it moves chances between places.
    """

    places_mm: Floats
    low: Floats
    high: Floats
    low_edges: Floats
    high_edges: Floats
    variance: Floats
    worn: Floats
    mean_uses: float
    starts: Whole
    shifts: Floats
    edges_mm: Floats
    edge_chances: Floats

    @classmethod
    def of(
        cls,
        readings: Sequence[SeatReading],
        places_mm: Floats,
        evenings_mm: Sequence[float],
        edges: tuple[Sequence[float], Sequence[float]],
    ) -> "SeatLikelihood":
        """The readings in order; where the seats cut are not known they count as the mean.

        `edges` are the possible fit edges and their chances.
        """
        ordered = sorted(readings, key=lambda r: r.session)
        uses = np.array([np.nan if r.uses is None else r.uses for r in ordered])
        known = uses[~np.isnan(uses)]
        mean = float(known.mean()) if known.size else 0.0
        sessions = np.array([r.session for r in ordered], dtype=np.intp)
        by_edges = any(r.low_edges or r.high_edges for r in ordered)
        sizes, chances = edges if by_edges else ((0.0,), (1.0,))
        return cls(
            places_mm=places_mm,
            low=np.array([r.low_mm for r in ordered]),
            high=np.array([r.high_mm for r in ordered]),
            low_edges=np.array([r.low_edges for r in ordered]),
            high_edges=np.array([r.high_edges for r in ordered]),
            variance=np.array([r.u_mm**2 for r in ordered]),
            worn=np.nan_to_num(uses - mean),
            mean_uses=mean,
            starts=np.flatnonzero(np.diff(sessions, prepend=-1)),
            shifts=np.hstack([_shift(places_mm, sd) for sd in evenings_mm]),
            edges_mm=np.array(sizes),
            edge_chances=np.array(chances),
        )

    def log_chances(self, wear: float, spread: float) -> Floats:
        """Log likelihood, one row for each standard deviation of the evenings, by place."""
        shape = (self.starts.size, -1, self.places_mm.size)
        if not self.low.size:
            return np.zeros((self.shifts.shape[1] // shape[2], shape[2]))
        found: list[Floats] = []
        for edge, chance in zip(self.edges_mm, self.edge_chances, strict=True):
            logs = np.log(self._chances(wear, spread, float(edge)))
            evenings = np.add.reduceat(logs, self.starts, axis=0)
            top = evenings.max(axis=1, keepdims=True)
            shifted = np.maximum(np.exp(evenings - top) @ self.shifts, _SMALLEST)
            summed = np.log(shifted).reshape(shape).sum(axis=0)
            found.append(summed + float(top.sum() + np.log(chance)))
        return np.asarray(np.logaddexp.reduce(found, axis=0))

    def _chances(self, wear: float, spread: float, edge: float) -> Floats:
        """Chance of each reading (rows) at each place (columns)."""
        from scipy.special import ndtr

        sd = np.sqrt(spread**2 + self.variance)[:, None]
        middle = self.places_mm[None, :] + wear * self.worn[:, None]
        low = ((self.low + self._edges(self.low_edges, edge))[:, None] - middle) / sd
        high = ((self.high + self._edges(self.high_edges, edge))[:, None] - middle) / sd
        exact: Truths = (self.low == self.high) & (self.low_edges == self.high_edges)
        found = np.empty_like(middle)
        found[exact] = np.exp(-0.5 * low[exact] ** 2) / sd[exact]
        low, high = low[~exact], high[~exact]
        side = np.where(low + high > 0, -1.0, 1.0)
        found[~exact] = np.abs(ndtr(side * high) - ndtr(side * low))
        return np.maximum(found, _SMALLEST)

    @staticmethod
    def _edges(count: Floats, edge: float) -> Floats:
        """That many edges; no edge at all is 0, an infinite number is an open side."""
        return np.where(np.isinf(count), count, count * edge)


def _shift(places_mm: Floats, sd: float) -> Floats:
    """What an evening of this standard deviation does: chances at shifted places, averaged."""
    if sd == 0:
        return np.eye(places_mm.size)
    apart = (places_mm[:, None] - places_mm[None, :]) / sd
    weights = np.exp(-0.5 * apart**2)
    return np.asarray(weights / weights.sum(axis=0, keepdims=True))
