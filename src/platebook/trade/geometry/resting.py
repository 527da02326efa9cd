"""Where a stone comes to rest in a hole, and how it gets into one narrower than itself.

Everything turns about one axis. The stone is a table, a crown, a cylindrical girdle and a conical
pavilion; the hole is a pilot hole and the burs sunk into flat sheet, and its floor at a radius is
the deepest of them. The stone sinks until the least height between floor and pavilion is used up.
Floors are concave and the pavilion is a straight line, so that least height lies at an edge: the
answer is exact.
"""

import math
from collections.abc import Iterator
from itertools import combinations
from typing import Literal

from platebook.trade.geometry.burs import ROUNDING, Bur, crossings_mm
from platebook.trade.stones import Profile
from platebook.values import Value, replace

HALVINGS = 100


class Hole(Value):
    """A hole in sheet: thickness, pilot diameter, the seat bur and any other bur, all at depth."""

    thickness_mm: float
    pilot_mm: float
    seat: Bur
    others: tuple[Bur, ...] = ()

    @property
    def burs(self) -> tuple[Bur, ...]:
        """All burs, the seat's first."""
        return (self.seat, *self.others)

    @property
    def inner_mm(self) -> float:
        """Radius at which metal begins: inside it the hole goes through."""
        through = [
            min(bur.radius_at_mm(self.thickness_mm), bur.radius_mm)
            for bur in self.burs
            if bur.tip_mm > self.thickness_mm
        ]
        return max(self.pilot_mm / 2, *through, 0.0)

    @property
    def mouth_mm(self) -> float:
        """Radius of the hole at the surface."""
        return max([self.pilot_mm / 2, *[bur.mouth_mm for bur in self.burs]])

    @property
    def is_bare(self) -> bool:
        """Whether no bur has yet cut beyond the pilot hole."""
        return self.mouth_mm == self.pilot_mm / 2

    def with_seat_at(self, belt_mm: float) -> "Hole":
        """The same hole with the seat bur's widest part at another depth."""
        return replace(self, seat=replace(self.seat, belt_mm=belt_mm))

    def seat_begins_mm(self) -> float:
        """Radius at which the seat bur's own floor begins, going inwards from its mouth it ends."""
        outside = self.seat.mouth_mm
        for inside in sorted((r for r in self.edges_mm() if r < outside), reverse=True):
            middle = (inside + outside) / 2
            own = self.seat.floor_mm(middle) + ROUNDING * self.thickness_mm
            if self.floor_mm(middle, outward=True) > own:
                break
            outside = inside
        return outside

    def floor_mm(self, radius_mm: float, *, outward: bool) -> float:
        """Depth of the metal's surface at a radius, on its outward or inward side."""
        depths = []
        for bur in self.burs:
            mouth = bur.mouth_mm
            if radius_mm < mouth or (radius_mm == mouth and not outward):
                depths.append(bur.floor_mm(radius_mm))
        return max(depths, default=0.0)

    def edges_mm(self) -> tuple[float, ...]:
        """Radii at which the floor has a corner, from where metal begins outwards."""
        burs, inner = self.burs, self.inner_mm
        corners = {inner, *[bur.mouth_mm for bur in burs]}
        for bur, other in combinations(burs, 2):
            corners.update(crossings_mm(bur, other))
        return tuple(sorted([r for r in corners if r >= inner]))


class Rest(Value):
    """A stone at rest. Millimetres; heights above the sheet's surface positive, depths below it.

    `girdle_depth_mm` is where the girdle's lower edge lies and `table_height_mm` the table;
    `contact` says what carries it, at `contact_radius_mm`. `side_gap_mm` is the room beside the
    girdle a side (negative: it bites into the wall), `gap_under_mm` the largest gap between
    pavilion and metal, measured upright. `ledge_mm` is the metal under the girdle and
    `ledge_width_mm` how much of the seat's own floor reaches in under it; `culet_clearance_mm` the
    room between point and back (negative: it stands out), `back_hole_mm` the hole at the back.
    """

    girdle_depth_mm: float
    table_height_mm: float
    contact: Literal["girdle edge", "pavilion"]
    contact_radius_mm: float
    side_gap_mm: float
    gap_under_mm: float
    ledge_mm: float
    ledge_width_mm: float
    culet_clearance_mm: float
    back_hole_mm: float


def rest(stone: Profile, hole: Hole, *, pressed: bool = True) -> Rest | None:
    """Where the stone rests, or None where it falls through.

    A stone wider than the hole's mouth is taken as pressed in, its girdle biting into the wall;
    with `pressed` false it perches on the mouth, as it does before it is pushed.
    """
    outer = stone.diameter_mm / 2
    limit = _pressed_limit(stone, hole) if pressed else outer
    carried = _carried_at(stone, hole, limit)
    if carried is None:
        return None
    girdle, at = carried
    return Rest(
        girdle_depth_mm=girdle,
        table_height_mm=stone.carried_mm - girdle,
        contact="girdle edge" if at == outer else "pavilion",
        contact_radius_mm=at,
        side_gap_mm=hole.mouth_mm - outer,
        gap_under_mm=max(_highest(stone, hole, limit) - girdle, 0.0),
        ledge_mm=hole.thickness_mm - girdle,
        ledge_width_mm=max(min(limit, hole.seat.mouth_mm) - hole.seat_begins_mm(), 0.0),
        culet_clearance_mm=hole.thickness_mm - girdle - stone.pavilion_mm,
        back_hole_mm=2 * hole.inner_mm,
    )


def needed_belt_mm(stone: Profile, hole: Hole, *, below_mm: float = 0.0) -> float | None:
    """How deep the seat bur's widest part must go for the table to lie this far below the sheet.

    The pilot and the other burs stay as they are. Where the seat bur alone carries, the stone sinks
    as the bur does and one step is exact; else the bracket is halved. None where no depth does it:
    the stone falls through first, or an opening already lets it lie lower.
    """
    wanted = stone.carried_mm + below_mm
    low, high = -hole.seat.tip_mm + hole.seat.belt_mm, hole.thickness_mm

    def lies_at(belt_mm: float) -> float:
        sunk = hole.with_seat_at(belt_mm)
        carried = _carried_at(stone, sunk, _pressed_limit(stone, sunk))
        return math.inf if carried is None else carried[0]

    if not lies_at(low) <= wanted <= lies_at(high):
        return None
    belt = wanted
    for turn in range(HALVINGS):
        lies = lies_at(belt)
        if math.isclose(lies, wanted, abs_tol=ROUNDING * stone.diameter_mm):
            return belt
        low, high = (belt, high) if lies < wanted else (low, belt)
        guess = belt + wanted - lies
        belt = guess if turn % 2 == 0 and low < guess < high else (low + high) / 2
    return None


def _pressed_limit(stone: Profile, hole: Hole) -> float:
    """Radius up to which metal can carry a pressed stone; a bare pilot is never pressed into."""
    outer = stone.diameter_mm / 2
    return outer if hole.is_bare else min(outer, hole.mouth_mm)


def _carried_at(stone: Profile, hole: Hole, limit: float) -> tuple[float, float] | None:
    return None if hole.inner_mm >= limit else min(_heights(stone, hole, limit))


def _heights(stone: Profile, hole: Hole, limit: float) -> Iterator[tuple[float, float]]:
    inner = hole.inner_mm
    for radius in {*[r for r in hole.edges_mm() if r < limit], limit}:
        if radius > inner:
            yield hole.floor_mm(radius, outward=False) - stone.under_mm(radius), radius
        if radius < limit:
            yield hole.floor_mm(radius, outward=True) - stone.under_mm(radius), radius


def _highest(stone: Profile, hole: Hole, limit: float) -> float:
    slope = math.tan(math.radians(stone.pavilion_angle_deg))
    heights = [height for height, _ in _heights(stone, hole, limit)]
    for bur in hole.burs:
        radius = bur.steepest_mm(slope)
        if radius is not None and hole.inner_mm < radius < min(limit, bur.mouth_mm):
            heights.append(hole.floor_mm(radius, outward=True) - stone.under_mm(radius))
    return max(heights)


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
