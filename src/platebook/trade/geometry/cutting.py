"""How deep to cut a seat, and what a trial stone shows on the way there.

The bur's widest part goes below the surface by `sunk_mm` for a level table. A stone wider than the
seat perches on its mouth until it is pressed in, at one height whatever the depth: what tells the
depth then is a smaller trial stone that drops in.
"""

import math
from typing import Literal

from platebook.trade.geometry.resting import Hole, needed_belt_mm, rest
from platebook.trade.stones import Profile
from platebook.values import Value, replace

TRIAL_STEP_MM = 0.05


class Cutting(Value):
    """The depth to cut to, and the trial stone that shows it; None for what no depth gives.

    `sunk_mm` to `sunk_high_mm` is how far the bur's widest part goes below the surface, `perch_mm`
    the table's height before the stone is pressed in. A stone of `trial_mm` drops in, and its table
    lies `trial_high_mm` (at the least depth) to `trial_low_mm` above the surface. `contact` carries
    the stone across `contact_mm`, `gap_under_mm` is the largest gap under its pavilion.
    """

    sunk_mm: float | None
    sunk_high_mm: float | None
    perch_mm: float | None
    trial_mm: float | None
    trial_low_mm: float | None
    trial_high_mm: float | None
    contact: Literal["girdle edge", "pavilion"] | None
    contact_mm: float | None
    gap_under_mm: float | None


def cut_to(stone: Profile, hole: Hole, below_mm: float) -> Cutting:
    """How deep the seat bur goes for a table from level to this far below, and how one sees it."""
    least = needed_belt_mm(stone, hole)
    most = needed_belt_mm(stone, hole, below_mm=below_mm)
    cut = hole if least is None else hole.with_seat_at(least)
    deeper = cut if most is None else hole.with_seat_at(most)
    at_rest = rest(stone, cut)
    drops_in = cut.mouth_mm >= stone.diameter_mm / 2
    perched = None if drops_in else rest(stone, cut, pressed=False)
    trial = stone if drops_in else scaled(stone, _trial_mm(2 * cut.mouth_mm))
    shown = rest(trial, cut) if trial is not None else None
    deepest = rest(trial, deeper) if trial is not None else None
    seen = least is not None and trial is not None and shown is not None and deepest is not None
    return Cutting(
        sunk_mm=least,
        sunk_high_mm=most,
        perch_mm=perched.table_height_mm if perched is not None else None,
        trial_mm=trial.diameter_mm if trial is not None and seen else None,
        trial_low_mm=deepest.table_height_mm if deepest is not None and seen else None,
        trial_high_mm=shown.table_height_mm if shown is not None and seen else None,
        contact=at_rest.contact if at_rest is not None else None,
        contact_mm=2 * at_rest.contact_radius_mm if at_rest is not None else None,
        gap_under_mm=at_rest.gap_under_mm if at_rest is not None else None,
    )


def _trial_mm(mouth_mm: float) -> float:
    """The largest whole step that drops in."""
    return round(math.floor(round(mouth_mm / TRIAL_STEP_MM, 6)) * TRIAL_STEP_MM, 3)


def scaled(stone: Profile, diameter_mm: float) -> Profile | None:
    """A stone of the same cut and another diameter; None for one of no size."""
    if diameter_mm <= 0:
        return None
    by = diameter_mm / stone.diameter_mm
    sizes = ("depth_mm", "crown_mm", "girdle_mm", "pavilion_mm", "table_mm")
    scaled_to = {name: getattr(stone, name) * by for name in sizes}
    return replace(stone, diameter_mm=diameter_mm, **scaled_to)
