"""Derived fields: what a setter's measurements say together. Nothing missing is ever filled in.

A value is derived only from what was measured on that attempt. The one table value in it is the
depth that a seat needs: the named cut's crown and girdle times the measured diameter, the same for
all rows, so that a row with a measured crown is not told apart from one without.
"""

import math
from dataclasses import dataclass

from platebook.practice.attempt import Attempt

NEEDED_DEPTH_RATIO = 0.162 + 0.03
"""Crown 16.2 % (M. Tolkowsky, Diamond Design, 1919) and a girdle of 3 % of the diameter."""

WIDEST_PIN_STEP_MM = 0.10
"""Pins further apart than this bound a seat too loosely to stand for a reading (judgement)."""


@dataclass(frozen=True, slots=True)
class Bounds:
    """A length known only to lie between two limits; an infinite limit is an open side."""

    low: float
    high: float

    @property
    def exact(self) -> bool:
        """Whether both limits are the same: a reading."""
        return self.low == self.high


def _positive(value: float | None) -> float | None:
    return value if value is not None and math.isfinite(value) and value > 0 else None


def stone_mm(attempt: Attempt) -> float | None:
    """Girdle diameter: as measured, or the middle of the measured smallest and largest."""
    low = _positive(attempt.stone_diameter_min_mm)
    high = _positive(attempt.stone_diameter_max_mm)
    middle = (low + high) / 2 if low is not None and high is not None else None
    return _positive(attempt.stone_diameter_mm) or middle


def seat_bounds(attempt: Attempt) -> Bounds | None:
    """The seat's diameter: a reading, or between two pins, or beside the stone by `fit`.

    A stone that drops in (fit 4 and 5) says that the seat is at least the stone's size; one that
    has to be pushed, tipped or will not enter (1 to 3) says that it is at most that.
    """
    seat = _positive(attempt.seat_diameter_mm)
    if seat is not None:
        return Bounds(seat, seat)
    go, nogo = _positive(attempt.seat_go_mm), _positive(attempt.seat_nogo_mm)
    low, high = go if go is not None else 0.0, nogo if nogo is not None else math.inf
    stone = stone_mm(attempt)
    if attempt.fit in {"drops in", "drops in and moves"} and stone is not None:
        low = max(low, stone)
    if attempt.fit in _TIGHT and stone is not None:
        high = min(high, stone)
    if low >= high or (low == 0.0 and math.isinf(high)):
        return None
    return Bounds(low, high)


_TIGHT = frozenset({"will not enter", "enters with a firm push", "enters tilted and snaps"})


def clearance_bounds(attempt: Attempt) -> Bounds | None:
    """Seat minus stone, as closely as readings, pins or `fit` tell it."""
    seat, stone = seat_bounds(attempt), stone_mm(attempt)
    if seat is None or stone is None:
        return None
    return Bounds(seat.low - stone, seat.high - stone)


def _clearance(attempt: Attempt) -> float | None:
    stone, seat = stone_mm(attempt), _positive(attempt.seat_diameter_mm)
    if stone is None:
        return None
    if seat is not None:
        return seat - stone
    go, nogo = _positive(attempt.seat_go_mm), _positive(attempt.seat_nogo_mm)
    if go is None or nogo is None or not 0 < nogo - go <= WIDEST_PIN_STEP_MM:
        return None
    return (go + nogo) / 2 - stone


def _ratio(part: float | None, whole: float | None) -> float | None:
    top, bottom = _positive(part), _positive(whole)
    return top / bottom if top is not None and bottom is not None else None


def _minus(left: float | None, right: float | None) -> float | None:
    first, second = _positive(left), _positive(right)
    return first - second if first is not None and second is not None else None


def derived(attempt: Attempt) -> dict[str, float]:
    """All derived dimensions of one attempt that its own measurements allow, by name."""
    stone = stone_mm(attempt)
    sheet = _positive(attempt.sheet_mm)
    thickness = sheet * (attempt.layers or 1) if sheet is not None else None
    needed = stone * NEEDED_DEPTH_RATIO if stone is not None else None
    found = {
        "clearance_mm": _clearance(attempt),
        "undersize_mm": _minus(stone, attempt.seat_bur_mm),
        "depth_error_mm": _minus(attempt.seat_depth_mm, needed),
        "pilot_ratio": _ratio(attempt.pilot_mm, stone),
        "opening_ratio": _ratio(attempt.opening_bur_mm, stone),
        "wall_ratio": _ratio(thickness, stone),
        "culet_clearance_mm": _minus(thickness, attempt.stone_depth_mm),
        "ovality_mm": _minus(attempt.stone_diameter_max_mm, attempt.stone_diameter_min_mm),
    }
    return {name: value for name, value in found.items() if value is not None}
