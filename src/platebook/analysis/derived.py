"""Derived fields: what a setter's measurements say together. Nothing missing is ever filled in.

A value is derived only from what was measured on that attempt. The one table value in it is the
depth that a seat needs: the named cut's crown and girdle times the measured diameter, the same for
all rows, so that a row with a measured crown is not told apart from one without.
"""

import math
from collections.abc import Mapping

from platebook.practice.attempt import Attempt

NEEDED_DEPTH_RATIO = 0.162 + 0.03
"""Crown 16.2 % (M. Tolkowsky, Diamond Design, 1919) and a girdle of 3 % of the diameter."""

WIDEST_PIN_STEP_MM = 0.10
"""Pins further apart than this bound a seat too loosely to stand for a reading (judgement)."""

_DIAMETERS = ("stone_diameter_mm", "stone_diameter_min_mm", "stone_diameter_max_mm")
_LENGTHS = (
    *_DIAMETERS,
    "stone_depth_mm",
    "sheet_mm",
    "pilot_mm",
    "opening_bur_mm",
    "seat_bur_mm",
    "seat_diameter_mm",
    "seat_go_mm",
    "seat_nogo_mm",
    "seat_depth_mm",
)

_Lengths = Mapping[str, float]


def _lengths(attempt: Attempt, names: tuple[str, ...]) -> dict[str, float]:
    """The lengths that can be: a size of nothing, or without an end, was not measured."""
    return {
        name: value
        for name in names
        if (value := getattr(attempt, name)) is not None and 0 < value < math.inf
    }


def _stone(lengths: _Lengths) -> float | None:
    measured = lengths.get("stone_diameter_mm")
    if measured is not None:
        return measured
    low, high = lengths.get("stone_diameter_min_mm"), lengths.get("stone_diameter_max_mm")
    return (low + high) / 2 if low is not None and high is not None else None


def stone_mm(attempt: Attempt) -> float | None:
    """Girdle diameter: as measured, or the middle of the measured smallest and largest."""
    return _stone(_lengths(attempt, _DIAMETERS))


def _seat(lengths: _Lengths) -> float | None:
    """The seat as read, else the middle between two pins that are near to each other."""
    seat = lengths.get("seat_diameter_mm")
    if seat is not None:
        return seat
    go, nogo = lengths.get("seat_go_mm"), lengths.get("seat_nogo_mm")
    if go is None or nogo is None or not 0 < nogo - go <= WIDEST_PIN_STEP_MM:
        return None
    return (go + nogo) / 2


def _minus(left: float | None, right: float | None) -> float | None:
    return left - right if left is not None and right is not None else None


def _ratio(part: float | None, whole: float | None) -> float | None:
    return part / whole if part is not None and whole is not None else None


def derived(attempt: Attempt) -> dict[str, float]:
    """All derived dimensions of one attempt that its own measurements allow, by name."""
    lengths = _lengths(attempt, _LENGTHS)
    stone, sheet, layers = _stone(lengths), lengths.get("sheet_mm"), attempt.layers or 1
    thickness = sheet * layers if sheet is not None and layers > 0 else None
    needed = stone * NEEDED_DEPTH_RATIO if stone is not None else None
    largest, smallest = lengths.get("stone_diameter_max_mm"), lengths.get("stone_diameter_min_mm")
    dimensions = {
        "clearance_mm": _minus(_seat(lengths), stone),
        "undersize_mm": _minus(stone, lengths.get("seat_bur_mm")),
        "depth_error_mm": _minus(lengths.get("seat_depth_mm"), needed),
        "pilot_ratio": _ratio(lengths.get("pilot_mm"), stone),
        "opening_ratio": _ratio(lengths.get("opening_bur_mm"), stone),
        "wall_ratio": _ratio(thickness, stone),
        "culet_clearance_mm": _minus(thickness, lengths.get("stone_depth_mm")),
        "ovality_mm": _minus(largest, smallest),
    }
    return {name: value for name, value in dimensions.items() if value is not None}
