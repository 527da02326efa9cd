"""A seat in curved metal: a ring shank or a dome, its surface falling away beside the stone.

The hole's axis goes down; depths count from the metal's surface on that axis. A ring's surface
falls away across it and runs straight along it, a dome's falls away all round. With the table level
with the crest the wall above the girdle is lowest where the surface has fallen furthest.

| function | gives |
|---|---|
| `drop_mm` | how far the surface has fallen at a radius and an angle round the hole |
| `tilt_deg` | how far a hole off the crest, drilled upright, leans from the surface |
| `between_seats_mm` | the metal left between two seats round a ring, at a depth |

Angles count round the hole from the ring's own direction: 0 is along it, 90 across.
"""

import math

from platebook.trade.records import Curve
from platebook.values import Value

STEP_DEG = 15


class Drop(Value):
    """How far the surface has fallen at one angle round the rim; off the crest it may rise."""

    at_deg: int
    mm: float


def drop_mm(curve: Curve, radius_mm: float, angle_deg: float) -> float:
    """How far the surface lies below its height on the hole's axis, at a radius and an angle.

    On the crest of a ring it is R - √(R² - r² sin²φ), at most about r²/2R; off it one side rises
    and is negative. Raises ValueError where the curve does not reach so far.
    """
    angle = math.radians(angle_deg)
    across = radius_mm * math.sin(angle) + curve.off_crest_mm
    along = radius_mm * math.cos(angle) if curve.kind == "dome" else 0.0
    square = curve.radius_mm**2
    left = square - across**2 - along**2
    if left < 0:
        raise ValueError(f"a {curve.kind} of radius {curve.radius_mm:g} mm ends before that")
    return math.sqrt(square - curve.off_crest_mm**2) - math.sqrt(left)


def drops(curve: Curve, radius_mm: float) -> tuple[Drop, ...]:
    """The fall of the surface round the rim, in steps of 15° all the way round."""
    return tuple(
        Drop(at_deg=angle, mm=drop_mm(curve, radius_mm, angle)) for angle in range(0, 360, STEP_DEG)
    )


def tilt_deg(curve: Curve) -> float:
    """How far the hole leans from the surface it enters: asin(e/R)."""
    return math.degrees(math.asin(curve.off_crest_mm / curve.radius_mm))


def one_side_high_mm(curve: Curve, radius_mm: float) -> float:
    """How much higher the metal stands on one side of the rim than on the other; 0 on the crest."""
    return drop_mm(curve, radius_mm, 90) - drop_mm(curve, radius_mm, -90)


def between_seats_mm(
    pitch_mm: float, seat_mm: float, depth_mm: float = 0.0, radius_mm: float | None = None
) -> float:
    """The metal between two seats whose centres are `pitch_mm` apart at the surface, at a depth.

    Round a ring holes converge: P·(R - z)/R - S. With no radius the metal is flat, or the seats
    follow each other along the ring: P - S. Negative: one seat cuts into the other.
    """
    if radius_mm is None:
        return pitch_mm - seat_mm
    return pitch_mm * (radius_mm - depth_mm) / radius_mm - seat_mm


def back_mm(curve: Curve, thickness_mm: float, radius_mm: float, angle_deg: float) -> float:
    """Depth of the metal's back at a radius and an angle: its inner surface has the same centre.

    Raises ValueError where the inner surface does not reach so far.
    """
    inner = curve.radius_mm - thickness_mm
    angle = math.radians(angle_deg)
    across = radius_mm * math.sin(angle) + curve.off_crest_mm
    along = radius_mm * math.cos(angle) if curve.kind == "dome" else 0.0
    left = inner**2 - across**2 - along**2
    if inner <= 0 or left < 0:
        raise ValueError(f"a {curve.kind} of inner radius {inner:g} mm ends before that")
    return math.sqrt(curve.radius_mm**2 - curve.off_crest_mm**2) - math.sqrt(left)
