"""Getting a stone into a hole narrower than itself: it goes in tilted."""

import math


def entry_tilt_deg(stone_mm: float, girdle_mm: float, seat_mm: float) -> float | None:
    """How far a stone must be tipped to enter a seat: 0 where it drops in, None where it cannot.

    A disc of diameter d and thickness g, tipped by φ, is d·cos φ + g·sin φ across; the answer is
    the least φ past its widest stance that makes it the seat's width. A wider seat never needs
    more. All lengths in the same unit; only their ratios matter.
    """
    if seat_mm >= stone_mm:
        return 0.0
    diagonal = math.hypot(stone_mm, girdle_mm)
    if seat_mm < girdle_mm:
        return None
    widest = math.atan2(girdle_mm, stone_mm)
    return math.degrees(widest + math.acos(min(1.0, seat_mm / diagonal)))
