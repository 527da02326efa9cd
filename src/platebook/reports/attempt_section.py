"""The seat of one attempt in section, from what was measured of it.

What was not measured of the stone comes from the named cut. The seat is as wide as was read, or as
the pins allow, or else as the bur; it is drawn as deep as was read, or as the trial stone showed.
"""

from collections.abc import Mapping

from platebook.practice.attempt import Attempt
from platebook.trade import Stone
from platebook.trade.burs import bur_at
from platebook.trade.faults import TradeError
from platebook.trade.proportions import Profile, profile
from platebook.trade.resting import Hole, rest
from platebook.trade.section import Section, section

BURS = ("hart", "setting", "ball", "flame")
"""Shapes that a seat can be drawn for."""

TRIAL_SHARES: Mapping[str, float] = {
    "proud": 0.03,
    "flush": 0.0,
    "just under": -0.02,
    "deep": -0.06,
}
"""Table above the metal as a share of the stone's diameter, for a drawing (common practice)."""

PILOT_SHARE = 1 / 3
"""The customary pilot hole, for a drawing in which none was noted (common practice)."""


def attempt_section(attempt: Attempt) -> Section | None:
    """The seat and stone of an attempt; None where stone, sheet or seat were not noted."""
    diameter, sheet = attempt.stone_diameter_mm, attempt.sheet_mm
    width = seat_width_mm(attempt)
    if diameter is None or sheet is None or width is None:
        return None
    depth, crown = attempt.stone_depth_mm, attempt.stone_crown_mm
    try:
        stone = profile(Stone(diameter_mm=diameter, depth_mm=depth, crown_mm=crown))
    except TradeError:
        return None
    hole = Hole(
        thickness_mm=sheet * (attempt.layers or 1),
        pilot_mm=attempt.pilot_mm or PILOT_SHARE * diameter,
        seat=bur_at(
            attempt.seat_bur_shape if attempt.seat_bur_shape in BURS else "setting",
            width,
            stone.carried_mm,
            angle_deg=attempt.seat_bur_angle_deg,
        ),
    )
    return section(stone, _as_deep(attempt, stone, hole))


def seat_width_mm(attempt: Attempt) -> float | None:
    """How wide the seat was, as near as the record has it."""
    if attempt.seat_diameter_mm is not None:
        return attempt.seat_diameter_mm
    if attempt.seat_go_mm is not None and attempt.seat_nogo_mm is not None:
        return (attempt.seat_go_mm + attempt.seat_nogo_mm) / 2
    return attempt.seat_bur_mm


def _as_deep(attempt: Attempt, stone: Profile, hole: Hole) -> Hole:
    if attempt.seat_depth_mm is not None:
        return hole.with_seat_at(attempt.seat_depth_mm)
    wanted = TRIAL_SHARES.get(attempt.trial_height or "flush", 0.0) * stone.diameter_mm
    resting = rest(stone, hole)
    if resting is None:
        return hole
    deeper = stone.carried_mm + resting.table_height_mm - wanted
    return hole.with_seat_at(max(deeper, 0.0))
