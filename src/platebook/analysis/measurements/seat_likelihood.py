"""How likely readings of seats are, wherever the hand's overcut may lie: an array by place.

A reading says that the seat lies between two limits, or at a value. Its chance hangs only on how
far the overcut lies from its first limit, so readings of the same kind (uncertainty, distance
between limits, open side) share one table of log chances, and each reads a stretch of it. Tables
are worked out in two steps a place, filled in by a cubic to sixteen, and read by a straight line
between two of those: off by less than 0.0005 of a log chance where seats differ by no more than the
least that a reading is uncertain by.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from operator import attrgetter

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from platebook.analysis.arrays import Floats, Whole
from platebook.analysis.measurements.seat_readings import SeatReading
from platebook.analysis.models.normal import normal_cdf

_SMALLEST = 1e-300
_STEPS = 2
"""Steps of a table from one place to the next."""

_FINE = 16
"""The finer steps that are filled in, from one place to the next."""

_FARTHEST_MM = 2.0
"""A reading that lies farther off than this says no more, nor less, than one that lies here."""


@dataclass(frozen=True, slots=True)
class SeatLikelihood:
    """Readings as arrays. `starts` is where each evening begins.

    `anchor` is each reading's lower limit, or its upper one where the lower is open; a row for each
    fit edge that is to be summed over with `edge_chances`. `kind` says which row of `kinds` its
    table is: where the limits lie beyond the anchor, low and high, and the reading's variance;
    both limits at the anchor are a value. `shifts` holds a matrix for each standard deviation of
    an evening's shift above 0, side by side; it moves chances between places.
    """

    places_mm: Floats
    anchor: Floats
    kind: Whole
    kinds: Floats
    worn: Floats
    mean_uses: float
    starts: Whole
    shifts: Floats
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

        Places lie evenly. Of the evenings' standard deviations the first is 0. `edges` are the
        possible fit edges and their chances.
        """
        ordered = sorted(readings, key=attrgetter("session"))
        uses = np.array([np.nan if r.uses is None else r.uses for r in ordered])
        known = uses[~np.isnan(uses)]
        mean = float(known.mean()) if known.size else 0.0
        sessions = np.array([r.session for r in ordered], dtype=np.intp)
        by_edges = any(r.low_edges or r.high_edges for r in ordered)
        sizes, chances = edges if by_edges else ((0.0,), (1.0,))
        low = _limits([(r.low_mm, r.low_edges) for r in ordered], sizes)
        high = _limits([(r.high_mm, r.high_edges) for r in ordered], sizes)
        anchor = np.where(np.isfinite(low), low, np.where(np.isfinite(high), high, 0.0))
        variance = np.broadcast_to(np.array([r.u_mm**2 for r in ordered]), low.shape)
        each = np.stack([low - anchor, np.round(high - anchor, 9), variance], axis=-1)
        kinds, kind = np.unique(each.reshape(-1, 3), axis=0, return_inverse=True)
        return cls(
            places_mm=places_mm,
            anchor=anchor,
            kind=kind.reshape(low.shape),
            kinds=kinds,
            worn=np.nan_to_num(uses - mean),
            mean_uses=mean,
            starts=np.flatnonzero(np.diff(sessions, prepend=-1)),
            shifts=np.hstack([_shift(places_mm, sd) for sd in evenings_mm[1:]]),
            edge_chances=np.array(chances),
        )

    @property
    def readings(self) -> int:
        """How many there are."""
        return self.worn.size

    def log_chances(self, wears: Floats, spreads: Floats, within: slice) -> Floats:
        """Log likelihood by wear, spread, standard deviation of the evenings and place.

        `within` says which of all places.
        """
        places = self.places_mm.size
        shifts = self.shifts.reshape(places, -1, places)[..., within]
        logs = np.zeros((wears.size, spreads.size, 1 + shifts.shape[1], shifts.shape[2]))
        if not self.readings:
            return logs
        wears = wears if self.worn.any() else np.zeros(1)  # else they are all the same
        stretches = _Stretches.of(self, wears)
        for number, spread in enumerate(spreads.tolist()):
            table = sliding_window_view(_finer(self._table(stretches.steps_mm, spread)), places)
            by_wear = [stretches.evenings(table, n, self.starts) for n in range(wears.size)]
            logs[:, number] = self._summed(np.array(by_wear), shifts, within)
        return logs

    def _table(self, steps_mm: Floats, spread: float) -> Floats:
        """Log chances by kind and by how far the place lies above the anchor."""
        low, high = self.kinds[:, :1] - steps_mm, self.kinds[:, 1:2] - steps_mm
        sd = np.sqrt(spread**2 + self.kinds[:, 2:])
        open_below, open_above = np.isinf(self.kinds[:, 0]), np.isinf(self.kinds[:, 1])
        chances = np.empty_like(high)
        value = self.kinds[:, 0] == self.kinds[:, 1]
        chances[value] = np.exp(-0.5 * (low[value] / sd[value]) ** 2) / sd[value]
        one = open_below | open_above
        limit = np.where(open_below[one, None], high[one], -low[one])
        chances[one] = normal_cdf(limit / sd[one])
        two = ~(one | value)
        under, over = low[two] / sd[two], high[two] / sd[two]
        side = np.where(under + over > 0, -1.0, 1.0)
        chances[two] = np.abs(normal_cdf(side * over) - normal_cdf(side * under))
        return np.asarray(np.log(np.maximum(chances, _SMALLEST)))

    def _summed(self, evenings: Floats, shifts: Floats, within: slice) -> Floats:
        """By wear, the evenings' standard deviation and place within.

        Of logs by wear, fit edge, evening and any place; `shifts` are those that end within.
        """
        top = evenings.max(axis=3, keepdims=True)
        off = np.maximum(evenings - top, np.log(_SMALLEST))
        moved = np.exp(off).reshape(-1, len(shifts)) @ shifts.reshape(len(shifts), -1)
        shifted = np.log(np.maximum(moved, _SMALLEST)).reshape(*off.shape[:3], *shifts.shape[1:])
        unshifted = off[..., within].sum(axis=2)
        by_edge = np.concatenate([unshifted[:, :, None], shifted.sum(axis=2)], axis=2)
        by_edge += (top.sum(axis=(2, 3)) + np.log(self.edge_chances))[..., None, None]
        return np.asarray(np.logaddexp.reduce(by_edge, axis=1))


@dataclass(frozen=True, slots=True)
class _Stretches:
    """Where in the tables each reading's places lie, for some wears.

    `steps_mm` are the steps that tables are worked out at; `first` is by wear, fit edge and two
    neighbours of each reading, one after the other, where in the flat finer tables a stretch of
    places begins; `weights` are the neighbours' shares.
    """

    steps_mm: Floats
    first: Whole
    weights: Floats

    @classmethod
    def of(cls, seats: SeatLikelihood, wears: Floats) -> "_Stretches":
        places = seats.places_mm
        step = float(places[1] - places[0])
        span = float(places[-1] - places[0])
        off = places[0] + wears[:, None, None] * seats.worn - seats.anchor
        off = np.clip(off, -_FARTHEST_MM, _FARTHEST_MM - span)
        lowest = float(off.min())
        rows = places.size + 2 + int((float(off.max()) - lowest) / step)
        at = (off - lowest) / step * _FINE
        whole = np.floor(at).astype(np.intp)
        neighbours = whole[..., None] + np.arange(2)
        first = (seats.kind[..., None] * _FINE + neighbours % _FINE) * rows + neighbours // _FINE
        flat = (*off.shape[:2], -1)
        return cls(
            steps_mm=np.asarray(lowest + step / _STEPS * np.arange(-1, rows * _STEPS + 2)),
            first=first.reshape(flat),
            weights=np.stack([1 - (at - whole), at - whole], axis=-1).reshape(flat),
        )

    def evenings(self, table: Floats, wear: int, starts: Whole) -> Floats:
        """The sum of each evening's readings, by fit edge, evening and place."""
        near = table[self.first[wear]]
        near *= self.weights[wear][..., None]
        return np.asarray(np.add.reduceat(near, 2 * starts, axis=1))


def _finer(table: Floats) -> Floats:
    """The table in fine steps, flat; each stands beside the one a place farther on."""
    between = sliding_window_view(table, 4, axis=1) @ _BETWEEN
    by_place = between.reshape(len(table), -1, _FINE)
    return np.ascontiguousarray(by_place.swapaxes(1, 2)).ravel()


def _cubic(part: Floats) -> Floats:
    """Shares of the step before, at, after and after that, for a place so far past the second."""
    before, after, beyond = part + 1, part - 1, part - 2
    shares = (
        -part * after * beyond / 6,
        before * after * beyond / 2,
        -before * part * beyond / 2,
        before * part * after / 6,
    )
    return np.stack(shares)


_BETWEEN = _cubic(np.arange(0, 1, _STEPS / _FINE))
"""Those shares for each fine step from one step of a table to the next."""


def _limits(with_edges: Sequence[tuple[float, float]], edges_mm: Sequence[float]) -> Floats:
    """A limit of each reading with its number of fit edges, for each edge; shape (edges, readings).

    No edge at all is 0, an infinite number is an open side.
    """
    limits = np.array([mm for mm, _ in with_edges])
    counts = np.array([count for _, count in with_edges])
    return np.array(
        [limits + np.where(np.isinf(counts), counts, counts * edge) for edge in edges_mm]
    )


def _shift(places_mm: Floats, sd: float) -> Floats:
    """What an evening of this standard deviation does: chances at shifted places, averaged."""
    apart = (places_mm[:, None] - places_mm[None, :]) / sd
    weights = np.exp(-0.5 * apart**2)
    return np.asarray(weights / weights.sum(axis=0, keepdims=True))
