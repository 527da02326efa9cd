"""Tools in section as the scenes show them, each with its tip at a point, in millimetres.

A bur has the shape that its `trade.geometry.burs` profile cuts; shanks are drawn short.
"""

from platebook.reports.drawings.cells import Point
from platebook.reports.drawings.scenes.scene import Area, Line, arc, turned
from platebook.trade.geometry.burs import ConeBur, RoundBur

SHANK_MM = 0.55
"""Half of a shank's width as drawn: burs of this size sit on 2.35 mm shanks, necks are thinner."""

NECK_MM = 0.22


def ball_bur(bur: RoundBur, top_mm: float) -> Area:
    """A ball bur where it stands, its neck reaching up to a height above the sheet."""
    centre = (0.0, bur.belt_mm)
    right = arc(centre, bur.radius_mm, 8, 180)
    neck = ((NECK_MM, -top_mm),)
    points = (*neck, *right)
    return Area("tool", (*points, *((-x, y) for x, y in reversed(points))))


def seat_bur(bur: ConeBur, top_mm: float) -> Area:
    """A setting bur where it stands: cone, straight wall above its widest part, neck."""
    shoulder = bur.belt_mm - 0.35 * bur.radius_mm
    points = (
        (NECK_MM, -top_mm),
        (NECK_MM, shoulder - 0.2),
        (bur.radius_mm * 0.9, shoulder),
        (bur.radius_mm, bur.belt_mm),
        (0.0, bur.tip_mm),
    )
    return Area("tool", (*points, *((-x, y) for x, y in reversed(points[:-1]))))


def twist_drill(diameter_mm: float, tip_mm: float, top_mm: float) -> tuple[Area | Line, ...]:
    """A twist drill with its point at a depth and the lines of its flutes."""
    half = diameter_mm / 2
    lip = tip_mm - 0.6 * half
    points = ((half, -top_mm), (half, lip), (0.0, tip_mm), (-half, lip), (-half, -top_mm))
    count = max(int((lip + top_mm) / diameter_mm), 1)
    flutes = (
        Line("tool", ((-half, lip - n * diameter_mm), (half, lip - (n + 0.7) * diameter_mm)))
        for n in range(count)
    )
    return Area("tool", points), *flutes


def rod(tip: Point, long_mm: float, half_mm: float, degrees: float = 0.0) -> Area:
    """A flat rod standing on a point, leaning by so many degrees with the clock."""
    x, y = tip
    upright = (
        (x - half_mm, y),
        (x + half_mm, y),
        (x + half_mm, y - long_mm),
        (x - half_mm, y - long_mm),
    )
    return Area("tool", turned(upright, degrees, tip))


def point(tip: Point, long_mm: float, half_mm: float, degrees: float = 0.0) -> Area:
    """A rod with a sharp point."""
    x, y = tip
    taper = 1.8 * half_mm
    upright = (
        tip,
        (x + half_mm, y - taper),
        (x + half_mm, y - long_mm),
        (x - half_mm, y - long_mm),
        (x - half_mm, y - taper),
    )
    return Area("tool", turned(upright, degrees, tip))


def smooth_tip(tip: Point, long_mm: float, half_mm: float, degrees: float = 0.0) -> Area:
    """A rod with a round end, as a burnisher has."""
    x, y = tip
    end = arc((x, y - half_mm), half_mm, 90, 270)
    upright = (*end, (x - half_mm, y - long_mm), (x + half_mm, y - long_mm))
    return Area("tool", turned(upright, degrees, tip))
