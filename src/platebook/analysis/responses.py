"""What is measured of each attempt: overcut, depth error, height and tilt of the table.

| function | gives |
|---|---|
| `measured_overcut` | seat minus bur, by the closest reading |
| `measured_depth_error` | seat depth minus what the stone needs, else the trial stone's side |
| `measured_height` | the table above the sheet after setting, else with the trial stone |
| `measured_tilt` | the lean of the table |

None where nothing was measured, or where it was measured of a stone of unknown size.
"""

import math

from platebook.analysis.derived import NEEDED_DEPTH_RATIO, stone_mm
from platebook.analysis.measured import Measurement, between, exactly
from platebook.analysis.seat_readings import (
    CUSTOM_EDGE_MM,
    NO_TOOLS,
    Worth,
    seat_reading,
)
from platebook.practice.attempt import Attempt
from platebook.practice.fields import ranks

DEPTH_U_MM = 0.03
"""Standard uncertainty of what is left under a flat pin on the ledge (judgement: ± 0.03 mm)."""

TRIAL_U_MM = 0.015
"""Standard uncertainty of a trial stone with a straight edge (judgement: ± 0.03 mm)."""

HEIGHT_U_MM = 0.015
"""Standard uncertainty of a table's height by a rule on edge and the light (judgement)."""

TILT_U_DEG = 0.5
"""Standard uncertainty of a lean told by a reflection (judgement)."""

TRIAL_EDGES = (-0.015, 0.01, 0.03)
"""Depth of the trial table, in diameters, between proud, flush, just under and deep: the nail
catches at 0.015 above, and good tables lie 0 to 0.03 below the metal (common practice)."""

FARTHEST_MM = 1.0
"""A depth error or height beyond this is a typing error (judgement)."""

STEEPEST_DEG = 45.0


def measured_overcut(attempt: Attempt, worth: Worth = NO_TOOLS) -> Measurement | None:
    """Seat minus bur: a value, between pins, or beside the stone by `fit`."""
    reading, _ = seat_reading(attempt, worth=worth)
    if reading is None:
        return None
    if reading.low_edges or reading.high_edges:
        stone = reading.low_mm
        return Measurement(
            stone + reading.low_edges * CUSTOM_EDGE_MM,
            stone + reading.high_edges * CUSTOM_EDGE_MM,
            reading.u_mm,
            edges=(stone - CUSTOM_EDGE_MM, stone, stone + CUSTOM_EDGE_MM),
        )
    step = reading.high_mm - reading.low_mm
    return Measurement(reading.low_mm, reading.high_mm, reading.u_mm, step=step)


def measured_depth_error(attempt: Attempt) -> Measurement | None:
    """Too deep is positive. The trial stone tells a side where the depth was not measured."""
    stone, depth = stone_mm(attempt), attempt.seat_depth_mm
    if stone is None:
        return None
    if depth is not None and 0 < depth < math.inf:
        error = depth - stone * NEEDED_DEPTH_RATIO
        return exactly(error, DEPTH_U_MM) if abs(error) <= FARTHEST_MM else None
    place = ranks("trial_height").get(attempt.trial_height or "")
    if place is None:
        return None
    return between(tuple(edge * stone for edge in TRIAL_EDGES), place - 1, TRIAL_U_MM)


def measured_height(attempt: Attempt) -> Measurement | None:
    """Above the sheet is positive. The trial stone speaks where the set table was not measured."""
    height, stone = attempt.table_height_mm, stone_mm(attempt)
    if height is not None and abs(height) <= FARTHEST_MM:
        return exactly(height, HEIGHT_U_MM)
    place = ranks("trial_height").get(attempt.trial_height or "")
    if stone is None or place is None:
        return None
    edges = tuple(-edge * stone for edge in reversed(TRIAL_EDGES))
    return between(edges, len(edges) - (place - 1), TRIAL_U_MM)


def measured_tilt(attempt: Attempt) -> Measurement | None:
    """Degrees from level; the sign, where somebody wrote one, does not count."""
    tilt = attempt.table_tilt_deg
    if tilt is None or not abs(tilt) <= STEEPEST_DEG:
        return None
    return exactly(abs(tilt), TILT_U_DEG)
