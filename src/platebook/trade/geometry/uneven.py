"""A girdle that is not round: the smallest round hole it enters, and where the gap will be.

An outline is a radius at every angle about some centre. The smallest hole it enters is the smallest
circle round it, whose centre may lie anywhere; the gap at an angle is what that circle leaves
outside the girdle. Turning in a gauge with two flat jaws shows the least and the most width, which
is not the hole: a girdle with three lobes is as wide in every direction and needs a wider hole.

| function | gives |
|---|---|
| `outline` | a girdle from a mean radius and its waves |
| `smallest_hole` | the smallest hole it enters, with its centre |
| `widths_mm` | the least and the most width between two flat jaws |
| `gap_round` | the gap to that hole round the girdle, the largest and where |
| `measured_outline` | a girdle that has been measured: by turning, and in gauged holes |
"""

import math
from collections.abc import Callable, Iterable, Sequence

from platebook.values import Value

POINTS = 720
NEAR = 1e-12
STEPS = 40
CLOSE_MM = 1e-7

Point = tuple[float, float]


class Wave(Value):
    """One wave round the girdle: `lobes` of them, `high_mm` over the mean radius, turned."""

    lobes: int
    high_mm: float
    turned_rad: float = 0.0


class Hole(Value):
    """The smallest round hole: its diameter and where its centre lies."""

    diameter_mm: float
    centre: Point


class Gap(Value):
    """The room round a girdle in a round hole: the largest, and at which angle."""

    largest_mm: float
    at_deg: float
    held: float


Outline = tuple[Point, ...]


def outline(mean_radius_mm: float, waves: Iterable[Wave] = (), *, points: int = POINTS) -> Outline:
    """The girdle r(θ) = mean + Σ high · cos(lobes · θ + turned), as points round it."""
    waves = tuple(waves)

    def radius(angle: float) -> float:
        bumps = [wave.high_mm * math.cos(wave.lobes * angle + wave.turned_rad) for wave in waves]
        return mean_radius_mm + sum(bumps)

    return of_radii(radius, points=points)


def of_radii(radius: Callable[[float], float], *, points: int = POINTS) -> Outline:
    """The girdle of a radius at every angle, in radians."""
    angles = [2 * math.pi * place / points for place in range(points)]
    return tuple((radius(a) * math.cos(a), radius(a) * math.sin(a)) for a in angles)


def smallest_hole(girdle: Sequence[Point]) -> Hole:
    """The smallest circle round all points of a girdle.

    By taking in one point after the other: one outside the circle so far lies on the next one
    (E. Welzl, Smallest enclosing disks, 1991). The points are taken in strides, so that few of them
    ever lie outside. With no point a hole of no size.
    """
    stride = max(len(girdle) // 7, 1)
    taken = [girdle[k] for first in range(stride) for k in range(first, len(girdle), stride)]
    circle: tuple[float, float, float] = (0.0, 0.0, -1.0)
    for i, p in enumerate(taken):
        if _outside(p, circle):
            circle = (*p, 0.0)
            for j, q in enumerate(taken[:i]):
                if _outside(q, circle):
                    circle = _on_two(p, q)
                    for r in taken[:j]:
                        if _outside(r, circle):
                            circle = _on_three(p, q, r)
    x, y, radius = circle
    return Hole(2 * max(radius, 0.0), (x, y))


def _outside(point: Point, circle: tuple[float, float, float]) -> bool:
    x, y, radius = circle
    return math.hypot(point[0] - x, point[1] - y) > radius + NEAR


def _on_two(p: Point, q: Point) -> tuple[float, float, float]:
    return (p[0] + q[0]) / 2, (p[1] + q[1]) / 2, math.dist(p, q) / 2


def _on_three(p: Point, q: Point, r: Point) -> tuple[float, float, float]:
    """The circle through three points; through the two farthest apart where they are in line."""
    ax, ay, bx, by = q[0] - p[0], q[1] - p[1], r[0] - p[0], r[1] - p[1]
    turn = 2 * (ax * by - ay * bx)
    if abs(turn) < NEAR:
        return max((_on_two(*two) for two in ((p, q), (p, r), (q, r))), key=lambda c: c[2])
    a, b = ax**2 + ay**2, bx**2 + by**2
    x, y = (by * a - ay * b) / turn, (ax * b - bx * a) / turn
    return p[0] + x, p[1] + y, math.hypot(x, y)


def widths_mm(girdle: Sequence[Point], *, steps: int = 360) -> tuple[float, float]:
    """The least and the most width between two flat jaws, turning the girdle half round."""
    found = []
    for step in range(steps):
        angle = math.pi * step / steps
        c, s = math.cos(angle), math.sin(angle)
        along = [x * c + y * s for x, y in girdle]
        found.append(max(along) - min(along))
    return min(found), max(found)


def gap_round(girdle: Sequence[Point], hole: Hole, held_mm: float) -> Gap:
    """The gap between girdle and hole, as seen from the hole's centre.

    `held` is the share of the hole's rim at which the gap is at most `held_mm`: where the burnished
    rim still reaches the stone.
    """
    x, y = hole.centre
    seen = [(px - x, py - y) for px, py in girdle]
    gaps = [(hole.diameter_mm / 2 - math.hypot(*p), math.atan2(p[1], p[0])) for p in seen]
    largest, angle = max(gaps)
    held = 0.0
    for place, (gap, at) in enumerate(gaps):
        turn = (gaps[(place + 1) % len(gaps)][1] - at + math.pi) % (2 * math.pi) - math.pi
        held += abs(turn) if gap <= held_mm + NEAR else 0.0
    return Gap(max(largest, 0.0), math.degrees(angle) % 360, min(held / (2 * math.pi), 1.0))


def measured_outline(least_mm: float, most_mm: float, hole_mm: float | None = None) -> Outline:
    """A girdle with these widths by turning, that just enters this hole.

    What the widths show is taken as an oval; what the hole asks beyond the most width is taken as
    three lobes, laid so that they ask most of it. A hole at or under the most width adds nothing.
    """
    oval = Wave(2, (most_mm - least_mm) / 4)
    mean = (most_mm + least_mm) / 4
    if hole_mm is None or hole_mm <= most_mm:
        return outline(mean, (oval,))

    def beyond(high_mm: float) -> float:
        girdle = outline(mean, (oval, Wave(3, high_mm)), points=POINTS // 4)
        return smallest_hole(girdle).diameter_mm - hole_mm

    # Nearly a straight line in the lobes' height: false position needs a few steps only. An end
    # that stands still twice counts half, or it would stand still for ever.
    low, high = 0.0, hole_mm - mean
    short, over, side = beyond(low), beyond(high), 0
    for _ in range(STEPS):
        middle = low if over == short else low - short * (high - low) / (over - short)
        asks = beyond(middle)
        if abs(asks) < CLOSE_MM:
            return outline(mean, (oval, Wave(3, middle)))
        if asks < 0:
            low, short, over, side = middle, asks, over / (2 if side < 0 else 1), -1
        else:
            high, over, short, side = middle, asks, short / (2 if side > 0 else 1), 1
    return outline(mean, (oval, Wave(3, low)))
