"""Derived fields and sessions: what measurements and times say together; gaps are never filled.

A value is derived only from what was measured on that attempt. The one table value in it is the
depth that a seat needs: the named cut's crown and girdle times the measured diameter, the same for
all rows, so that a row with a measured crown is not told apart from one without.

A pause of over three hours, from the last start plus its minutes, begins a session. A day whose
hours nobody wrote down is one session. Attempts without any date are one session a plate.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

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


PAUSE = timedelta(hours=3)


@dataclass(frozen=True, slots=True)
class Place:
    """Where one attempt stands in time; None where nobody wrote down what it needs.

    `session` counts from 0, the orders from 1. `days_since_practice` is the time between this
    session and the last start before it, the same for all attempts of a session.
    """

    session: int
    order_in_session: int | None
    order_on_plate: int | None
    minutes_into_session: float | None
    days_since_practice: float | None


def _begins_session(previous: Attempt, attempt: Attempt) -> bool:
    if previous.began is None or attempt.began is None:
        return previous.began is not attempt.began or previous.plate != attempt.plate
    if previous.day_only or attempt.day_only:
        return previous.began.date() != attempt.began.date()
    worked = timedelta(minutes=min(max(previous.minutes or 0.0, 0.0), 24 * 60))
    return attempt.began - (previous.began + worked) > PAUSE


def _days(previous: Attempt, attempt: Attempt) -> float | None:
    if previous.began is None or attempt.began is None:
        return None
    if previous.day_only or attempt.day_only:
        return float((attempt.began.date() - previous.began.date()).days)
    return (attempt.began - previous.began).total_seconds() / 86_400


def places(attempts: Sequence[Attempt]) -> tuple[Place, ...]:
    """The place of each attempt; the attempts are one setter's, in order (`in_order`)."""
    found: list[Place] = []
    plates: dict[tuple[int, str], int] = {}
    session, order, days = -1, 0, None
    start: datetime | None = None
    previous: Attempt | None = None
    for attempt in attempts:
        if previous is None or _begins_session(previous, attempt):
            days = None if previous is None else _days(previous, attempt)
            session, order, start = session + 1, 0, attempt.began
        order += 1
        on_plate = None
        if attempt.plate:
            key = (session, attempt.plate)
            on_plate = plates[key] = plates.get(key, 0) + 1
        minutes = None
        if start is not None and attempt.began is not None and not attempt.day_only:
            minutes = (attempt.began - start).total_seconds() / 60
        dated = order if attempt.began is not None else None
        found.append(Place(session, dated, on_plate, minutes, days))
        previous = attempt
    return tuple(found)
