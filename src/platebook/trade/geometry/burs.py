"""The hole that one bur leaves in flat sheet.

A bur stands with its widest part at `belt_mm` below the surface (negative: not yet sunk to its full
width). Depths count downwards from the surface, radii from the axis, in millimetres. A setting or
hart bur leaves a wall and a cone, a ball or flame bur an arc. Every floor is concave in the radius,
so what lies on it touches at an edge: the seat's geometry needs no search.
"""

import math

from platebook.trade.rules import RuleBook
from platebook.values import Value

ROUNDING = 1e-9


class ConeBur(Value):
    """A bur with a conical floor at depth; `angle_deg` is the included angle of that cone."""

    radius_mm: float
    belt_mm: float
    angle_deg: float

    @property
    def slope(self) -> float:
        """How fast the floor deepens towards the axis."""
        return 1 / math.tan(math.radians(self.angle_deg / 2))

    @property
    def tip_mm(self) -> float:
        """Depth of the tip."""
        return self.belt_mm + self.radius_mm * self.slope

    @property
    def mouth_mm(self) -> float:
        """Radius of the hole at the surface; 0 where the tip does not reach it."""
        return min(self.radius_mm, max(self.radius_at_mm(0.0), 0.0))

    def floor_mm(self, radius_mm: float) -> float:
        """Depth of the floor at a radius inside the bur."""
        return self.belt_mm + (self.radius_mm - radius_mm) * self.slope

    def radius_at_mm(self, depth_mm: float) -> float:
        """Radius at which the floor has a depth; negative below the tip."""
        return self.radius_mm - (depth_mm - self.belt_mm) / self.slope

    def steepest_mm(self, slope: float) -> float | None:  # noqa: ARG002 - the round bur's needs it
        """A cone has one slope: no radius is special."""
        return None


class RoundBur(Value):
    """A ball or flame bur at depth; `reach_mm` is from its widest part to its tip.

    The profile is the circular arc that stands upright at the widest part; a ball's reach is its
    radius.
    """

    radius_mm: float
    belt_mm: float
    reach_mm: float

    @property
    def arc_mm(self) -> float:
        """Radius of the arc."""
        return (self.radius_mm**2 + self.reach_mm**2) / (2 * self.radius_mm)

    @property
    def centre_mm(self) -> float:
        """Radius at which the arc's centre lies, beyond the axis (0 or negative)."""
        return self.radius_mm - self.arc_mm

    @property
    def tip_mm(self) -> float:
        """Depth of the tip."""
        return self.belt_mm + self.reach_mm

    @property
    def mouth_mm(self) -> float:
        """Radius of the hole at the surface; 0 where the tip does not reach it."""
        if self.belt_mm >= 0:
            return self.radius_mm
        return max(self.radius_at_mm(0.0), 0.0)

    def floor_mm(self, radius_mm: float) -> float:
        """Depth of the floor at a radius inside the bur."""
        arc = self.arc_mm
        across = radius_mm - (self.radius_mm - arc)
        return self.belt_mm + math.sqrt(max(arc**2 - across**2, 0.0))

    def radius_at_mm(self, depth_mm: float) -> float:
        """Radius at which the floor has a depth (the belt or below); negative below the tip."""
        arc = self.arc_mm
        down = min(max(depth_mm - self.belt_mm, 0.0), arc)
        return self.radius_mm - arc + math.sqrt(arc**2 - down**2)

    def steepest_mm(self, slope: float) -> float | None:
        """Radius at which the floor deepens at this slope towards the axis, inside the bur."""
        radius = self.centre_mm + self.arc_mm * math.sin(math.atan(slope))
        return radius if 0 < radius < self.radius_mm else None


Bur = ConeBur | RoundBur

CONES = ("setting", "hart")


def floor_deg(shape: str, angle_deg: float | None, book: RuleBook | None = None) -> float:
    """How steep a floor a setting or hart bur cuts, in degrees from the plane of the sheet.

    A setting bur is named by the included angle of its tip: the floor is what half of it leaves to
    90. A hart bur is named by the angle of its edge, between its upper and lower face, which lie
    alike: the floor is half of it. One that was not measured has its rule's (memory).
    """
    rule = (book or RuleBook()).rule(f"angle {shape}")
    named = angle_deg if angle_deg is not None else rule.degrees
    assert named is not None
    return named / 2 if shape == "hart" else 90 - named / 2


def angle_of_floor(shape: str, slope_deg: float) -> float:
    """The angle that a setting or hart bur is named by, from the slope of the floor it cuts."""
    return 2 * slope_deg if shape == "hart" else 180 - 2 * slope_deg


def bur_at(
    shape: str,
    diameter_mm: float,
    belt_mm: float,
    *,
    angle_deg: float | None = None,
    book: RuleBook | None = None,
) -> Bur:
    """A bur of a shape and diameter, sunk until its widest part lies at `belt_mm`.

    `angle_deg` is the angle that such burs are named by: of a setting bur its tip's, of a hart bur
    its edge's. One that was not measured is the rules' (memory), as is the reach of a flame. Raises
    ValueError for another shape.
    """
    book = book or RuleBook()
    if shape in CONES:
        floor = floor_deg(shape, angle_deg, book)
        return ConeBur(diameter_mm / 2, belt_mm, 180 - 2 * floor)
    if shape == "ball":
        return RoundBur(diameter_mm / 2, belt_mm, diameter_mm / 2)
    if shape == "flame":
        return RoundBur(diameter_mm / 2, belt_mm, book.rule("flame reach").size_mm(diameter_mm))
    raise ValueError(f"no bur shape {shape!r}: setting, hart, ball or flame")


def crossings_mm(bur: Bur, other: Bur) -> tuple[float, ...]:
    """Radii at which two burs' floors meet, inside both; meeting at a rim is no crossing."""
    if isinstance(bur, ConeBur) and isinstance(other, ConeBur):
        radii = _lines(bur, other)
    elif isinstance(bur, ConeBur):
        assert isinstance(other, RoundBur)
        radii = _line_and_arc(bur, other)
    elif isinstance(other, ConeBur):
        radii = _line_and_arc(other, bur)
    else:
        radii = _arcs(bur, other)
    within = min(bur.radius_mm, other.radius_mm) * (1 - ROUNDING)
    near = 1e-6 * within
    return tuple(
        r for r in radii if 0 <= r <= within and abs(bur.floor_mm(r) - other.floor_mm(r)) < near
    )


def _lines(bur: ConeBur, other: ConeBur) -> tuple[float, ...]:
    if bur.slope == other.slope:
        return ()
    return ((bur.tip_mm - other.tip_mm) / (bur.slope - other.slope),)


def _line_and_arc(line: ConeBur, arc: RoundBur) -> tuple[float, ...]:
    down = line.tip_mm - arc.belt_mm
    square = 1 + line.slope**2
    half = arc.centre_mm + line.slope * down
    rest = half**2 - square * (arc.centre_mm**2 + down**2 - arc.arc_mm**2)
    if rest < 0:
        return ()
    return tuple((half + sign * math.sqrt(rest)) / square for sign in (-1, 1))


def _arcs(bur: RoundBur, other: RoundBur) -> tuple[float, ...]:
    across, down = other.centre_mm - bur.centre_mm, other.belt_mm - bur.belt_mm
    apart = math.hypot(across, down)
    if apart == 0 or not abs(bur.arc_mm - other.arc_mm) <= apart <= bur.arc_mm + other.arc_mm:
        return ()
    along = (apart**2 + bur.arc_mm**2 - other.arc_mm**2) / (2 * apart)
    off = math.sqrt(max(bur.arc_mm**2 - along**2, 0.0))
    return tuple(bur.centre_mm + (along * across + sign * off * down) / apart for sign in (-1, 1))
