"""How likely readings of seats are, wherever the hand's overcut may lie: an array by place.

A reading says that the seat lies between two limits, or at a value. Its chance hangs only on how
far the overcut lies from its first limit, so readings of the same kind (uncertainty, distance
between limits, open side) share one table of log chances, and each reads a stretch of it. Tables
are worked out in two steps a place, filled in by a cubic to sixteen, and read by a straight line
between two of those: off by less than 0.0005 of a log chance where seats differ by no more than the
least that a reading is uncertain by.
"""

import functools
import math
from collections.abc import Sequence

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from platebook.analysis.arrays import Floats, Whole, log_sum
from platebook.analysis.measurements.seat_readings import SeatReading
from platebook.analysis.models.normal import log_normal_cdf
from platebook.values import Value

_LEAST = -690.0
"""No log chance is taken for less."""
_SMALLEST_SHIFTED = np.float32(1e-37)
"""What an evening's shift leaves of a place at the least: single precision holds no less.

Sums over readings and shifts are taken in it: half the memory goes through the processor, and a
log chance of a hundred is off by a hundred-thousandth.
"""

_STEPS = 2
"""Steps of a table from one place to the next."""

_FINE = 16
"""The finer steps that are filled in, from one place to the next."""

_AT_ONCE = 2**16
"""Sums that are worked out together: as many as the processor's own memory holds."""

_FARTHEST_MM = 2.0
"""A reading that lies farther off than this says no more, nor less, than one that lies here."""


class _Readings(Value):
    """Readings that hang on fit edges alike, and which evening each belongs to.

    `anchor` is each reading's lower limit, or its upper one where the lower is open; a row for each
    fit edge that is to be summed over, one row where there is none. `kind` says which table is its
    own, and `worn` how many seats its bur had cut beyond the mean.
    """

    anchor: Floats
    kind: Whole
    worn: Floats
    evening: Whole


class SeatLikelihood(Value):
    """Readings as arrays: those that hang on no fit edge, and those that do.

    `kinds` says what each table is of: where the limits lie beyond the anchor, low and high, and
    the reading's variance; both limits at the anchor are a value. `shifts` holds a matrix for each
    standard deviation of an evening's shift above 0, side by side; it moves chances between places.
    """

    places_mm: Floats
    groups: "tuple[_Readings, ...]"
    kinds: Floats
    mean_uses: float
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
        uses = np.array([np.nan if r.uses is None else r.uses for r in readings])
        known = uses[~np.isnan(uses)]
        mean = float(known.mean()) if known.size else 0.0
        by_edges = np.array([bool(r.low_edges or r.high_edges) for r in readings], dtype=bool)
        sizes, chances = edges if by_edges.any() else ((0.0,), (1.0,))
        low = _limits([(r.low_mm, r.low_edges) for r in readings], sizes)
        high = _limits([(r.high_mm, r.high_edges) for r in readings], sizes)
        anchor = np.where(np.isfinite(low), low, np.where(np.isfinite(high), high, 0.0))
        variance = np.broadcast_to(np.array([r.u_mm**2 for r in readings]), low.shape)
        each = (low - anchor, np.round(high - anchor, 9), variance)
        numbers: dict[tuple[float, float, float], int] = {}
        kind = np.array(
            [
                numbers.setdefault(one, len(numbers))
                for one in zip(*(part.ravel().tolist() for part in each), strict=True)
            ],
            dtype=np.intp,
        ).reshape(low.shape)
        kinds, worn = np.array(list(numbers)).reshape(-1, 3), np.nan_to_num(uses - mean)
        sessions = np.array([r.session for r in readings], dtype=np.intp)
        evening = np.unique(sessions, return_inverse=True)[1]
        groups = ((slice(0, 1), ~by_edges), (slice(None), by_edges))
        return cls(
            places_mm=places_mm,
            groups=tuple(
                _Readings(anchor[rows][:, these], kind[rows][:, these], worn[these], evening[these])
                for rows, these in groups
                if these.any()
            ),
            kinds=kinds,
            mean_uses=mean,
            shifts=_shifts(
                places_mm.size, float(places_mm[1] - places_mm[0]), tuple(evenings_mm[1:])
            ),
            edge_chances=np.array(chances),
        )

    @property
    def readings(self) -> int:
        """How many there are."""
        return sum(group.worn.size for group in self.groups)

    def log_chances(self, wears: Floats, spreads: Floats, within: slice) -> Floats:
        """Log likelihood by wear, spread, standard deviation of the evenings and place.

        `within` says which of all places.
        """
        places = self.places_mm.size
        shifts = self.shifts.reshape(places, -1, places)[..., within]
        logs = np.zeros((wears.size, spreads.size, 1 + shifts.shape[1], shifts.shape[2]))
        if not self.groups:
            return logs
        worn = any(group.worn.any() for group in self.groups)
        wears = wears if worn else np.zeros(1)  # else they are all the same
        stretches = _Stretches.of(self, wears)
        tables = _finer(self._tables(stretches.steps_mm, spreads))
        at_once = max(_AT_ONCE // (spreads.size * stretches.evening_rows * places), 1)
        for first in range(0, wears.size, at_once):
            these = slice(first, first + at_once)
            logs[these] = self._summed(stretches.evenings(tables, these, places), shifts, within)
        logs[wears.size :] = logs[0]
        return logs

    def _tables(self, steps_mm: Floats, spreads: Floats) -> Floats:
        """Log chances by spread, kind and how far the place lies above the anchor.

        All spreads at once: the normal's chance of many values is worked out far sooner together.
        """
        low, high = self.kinds[:, :1] - steps_mm, self.kinds[:, 1:2] - steps_mm
        sd = np.sqrt(spreads[:, None, None] ** 2 + self.kinds[:, 2:])
        open_below, open_above = np.isinf(self.kinds[:, 0]), np.isinf(self.kinds[:, 1])
        logs = np.empty((spreads.size, *high.shape))
        value = self.kinds[:, 0] == self.kinds[:, 1]
        logs[:, value] = -0.5 * (low[value] / sd[:, value]) ** 2 - np.log(sd[:, value])
        one = open_below | open_above
        limit = np.where(open_below[one, None], high[one], -low[one])
        logs[:, one] = log_normal_cdf(limit / sd[:, one])
        two = ~(one | value)
        under, over = low[two] / sd[:, two], high[two] / sd[:, two]
        above = under + over > 0  # the side on which little is left tells two limits apart
        near = log_normal_cdf(np.where(above, -under, over))
        far = log_normal_cdf(np.where(above, -over, under))
        with np.errstate(divide="ignore"):
            logs[:, two] = near + np.log(1 - np.exp(far - near))
        return np.asarray(np.maximum(logs, _LEAST))

    def _summed(self, evenings: Floats, shifts: Floats, within: slice) -> Floats:
        """By wear, spread, the evenings' standard deviation and place within.

        Of logs by wear, spread, fit edge, evening and place; `shifts` are those that end within.
        """
        top = evenings.max(axis=4, keepdims=True)
        off = evenings - top
        moved = np.exp(off).reshape(-1, len(shifts)) @ shifts.reshape(len(shifts), -1)
        shifted = np.log(np.maximum(moved, _SMALLEST_SHIFTED))
        shifted = shifted.reshape(*off.shape[:4], *shifts.shape[1:]).sum(axis=3)
        unshifted = off[..., within].sum(axis=3)
        by_edge = np.concatenate([unshifted[..., None, :], shifted], axis=3, dtype=float)
        by_edge += (top.sum(axis=(3, 4)) + np.log(self.edge_chances))[..., None, None]
        return log_sum(by_edge, axis=2)


class _Stretches(Value):
    """Where in the tables each reading's places lie, for some wears.

    `steps_mm` are the steps that tables are worked out at. For each group of readings: `first` is
    by wear, fit edge and two neighbours of each reading, one after the other, where in the flat
    finer tables a stretch of places begins; `shares` has the neighbours' shares in the row of the
    reading's evening.
    """

    steps_mm: Floats
    groups: tuple[tuple[Whole, Floats], ...]

    @classmethod
    def of(cls, seats: SeatLikelihood, wears: Floats) -> "_Stretches":
        places = seats.places_mm
        step = float(places[1] - places[0])
        span = float(places[-1] - places[0])
        offs = [
            np.clip(
                places[0] + wears[:, None, None] * group.worn - group.anchor,
                -_FARTHEST_MM,
                _FARTHEST_MM - span,
            )
            for group in seats.groups
        ]
        lowest = min(float(off.min()) for off in offs)
        highest = max(float(off.max()) for off in offs)
        rows = places.size + 2 + int((highest - lowest) / step)
        evenings = 1 + max(int(group.evening.max()) for group in seats.groups)
        groups = []
        for group, off in zip(seats.groups, offs, strict=True):
            at = (off - lowest) / step * _FINE
            whole = np.floor(at).astype(np.intp)
            neighbours = whole[..., None] + np.arange(2)
            first = (group.kind[..., None] * _FINE + neighbours % _FINE) * rows
            first += neighbours // _FINE
            shares = np.zeros((*off.shape[:2], evenings, off.shape[2], 2), np.float32)
            reading = np.arange(off.shape[2])
            shares[:, :, group.evening, reading, 0] = 1 - (at - whole)
            shares[:, :, group.evening, reading, 1] = at - whole
            flat = (*off.shape[:2], -1)
            groups.append((first.reshape(flat), shares.reshape(*off.shape[:2], evenings, -1)))
        steps = np.asarray(lowest + step / _STEPS * np.arange(-1, rows * _STEPS + 2))
        return cls(steps_mm=steps, groups=tuple(groups))

    @property
    def evening_rows(self) -> int:
        """How many sums of one wear and spread are taken: one a fit edge and evening."""
        return max(math.prod(shares.shape[1:3]) for _, shares in self.groups)

    def evenings(self, tables: Floats, wears: slice, places: int) -> Floats:
        """The sum of each evening's readings, by wear, spread, fit edge, evening and place."""
        stretches = sliding_window_view(tables.ravel(), places)
        table = np.arange(len(tables))[:, None, None] * tables.shape[1]
        sums = [
            shares[wears, None] @ stretches[table + first[wears, None]]
            for first, shares in self.groups
        ]
        return np.asarray(sum(sums))


def _finer(tables: Floats) -> Floats:
    """The tables in fine steps, a flat one a spread; each stands beside the one a place farther."""
    spreads, kinds, _ = tables.shape
    between = sliding_window_view(tables.astype(np.float32), 4, axis=2) @ _BETWEEN
    by_place = between.reshape(spreads, kinds, -1, _FINE)
    return np.ascontiguousarray(by_place.swapaxes(2, 3)).reshape(spreads, -1)


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


_BETWEEN = _cubic(np.arange(0, 1, _STEPS / _FINE)).astype(np.float32)
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


@functools.cache
def _shifts(places: int, step_mm: float, sds_mm: tuple[float, ...]) -> Floats:
    """What an evening of each standard deviation does: chances at shifted places, averaged.

    A matrix each, side by side; all hands on one grid share them.
    """
    place = np.arange(places) * step_mm
    apart = place[:, None] - place
    each = [np.exp(-0.5 * (apart / sd) ** 2) for sd in sds_mm]
    averaged = [weights / weights.sum(axis=0, keepdims=True) for weights in each]
    return np.hstack(averaged).astype(np.float32)
