"""What the measurements of one attempt say together: clearances, errors, the stone's diameter.

A dimension is derived only from what was measured on that attempt; gaps are never filled. The one
table value in it is the depth that a seat needs: the named cut's crown and girdle times the
measured diameter, the same for all rows, so that a row with a measured crown is not told apart from
one without.

Lengths are taken apart and together as whole micrometres, so that a clearance of 2.05 less 2.00 mm
is 0.05 mm, as a person counts it, and not a little less.
"""

import functools
import math
from collections.abc import Mapping

from platebook.practice.attempt import Attempt
from platebook.trade.geometry.curved import drop_mm
from platebook.trade.records import Curve

NEEDED_DEPTH_RATIO = 0.162 + 0.03
"""Crown 16.2 % (M. Tolkowsky, Diamond Design, 1919) and a girdle of 3 % of the diameter."""


WIDEST_PIN_STEP_MM = 0.10
"""Pins further apart than this bound a seat too loosely to stand for a reading (judgement)."""


_DIAMETERS = ("stone_diameter_mm", "stone_diameter_min_mm", "stone_diameter_max_mm")


_LENGTHS = (
    *_DIAMETERS,
    "stone_hole_mm",
    "stone_depth_mm",
    "sheet_mm",
    "curve_radius_mm",
    "pilot_mm",
    "opening_bur_mm",
    "seat_bur_mm",
    "seat_diameter_mm",
    "seat_go_mm",
    "seat_nogo_mm",
    "seat_depth_mm",
)


_Lengths = Mapping[str, float]
"""Lengths of one attempt by field, in millimetres that are exact in micrometres."""


_RATIO_DECIMALS = 6


def _micrometres(length_mm: float) -> int:
    return round(length_mm * 1000)


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
    return _middle(low, high) if low is not None and high is not None else None


def _middle(low: float, high: float) -> float:
    """The middle of two lengths, to the micrometre."""
    return round((_micrometres(low) + _micrometres(high)) / 2) / 1000


def stone_mm(attempt: Attempt) -> float | None:
    """Girdle diameter: as measured, or the middle of the measured smallest and largest."""
    measured = attempt.stone_diameter_mm
    if measured is not None and 0 < measured < math.inf:
        return measured
    return _stone(_lengths(attempt, _DIAMETERS))


def _seat(lengths: _Lengths) -> float | None:
    """The seat as read, else the middle between two pins that are near to each other."""
    seat = lengths.get("seat_diameter_mm")
    if seat is not None:
        return seat
    go, nogo = lengths.get("seat_go_mm"), lengths.get("seat_nogo_mm")
    if go is None or nogo is None or not 0 < nogo - go <= WIDEST_PIN_STEP_MM:
        return None
    return _middle(go, nogo)


def _minus(left: float | None, right: float | None) -> float | None:
    if left is None or right is None:
        return None
    return (_micrometres(left) - _micrometres(right)) / 1000


def _uneven(thin: float | None, thick: float | None) -> float | None:
    """How much thicker a girdle is at its thickest; a knife edge is no thickness, and counts."""
    ends = (thin, thick)
    if any(mm is not None and not 0 <= mm < math.inf for mm in ends):
        return None
    return _minus(thick, thin)


def _ratio(part: float | None, whole: float | None) -> float | None:
    return round(part / whole, _RATIO_DECIMALS) if part is not None and whole is not None else None


def _curve_drop(curve: str | None, radius: float | None, stone: float | None) -> float | None:
    """How far the metal has fallen beside the stone; 0 in metal that is said to be flat."""
    if curve == "flat":
        return 0.0
    if curve not in ("ring", "dome") or radius is None or stone is None or stone >= 2 * radius:
        return None
    return drop_mm(Curve(kind=curve, radius_mm=radius), stone / 2, 90)


@functools.lru_cache(maxsize=1024)
def derived(attempt: Attempt) -> Mapping[str, float]:
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
        "lobed_mm": _minus(lengths.get("stone_hole_mm"), largest or stone),
        "girdle_uneven_mm": _uneven(attempt.stone_girdle_min_mm, attempt.stone_girdle_max_mm),
        "curve_drop_mm": _curve_drop(attempt.curve, lengths.get("curve_radius_mm"), stone),
    }
    return {name: value for name, value in dimensions.items() if value is not None}
