"""A scene: what a drawing of one word shows, in millimetres, before anybody chose cells or paper.

x counts to the right and y downwards. In section the origin is where the hole's axis meets the
sheet's surface; seen from above it is the middle of the stone. Areas and lines are drawn in their
order, an area over all that came before it.
"""

import math
from collections.abc import Iterable
from typing import Literal

from platebook.reports.drawings.cells import Point, Window
from platebook.values import Value

Role = Literal["metal", "stone", "tool", "fault"]
"""What a part of a drawing is; `fault` is what to look at, in a step what moves where."""

ROUND = 48
HEAD = 0.22
HEAD_DEG = 32


class Area(Value):
    """A closed shape that hides what lies behind it; `filled` ones are drawn solid."""

    role: Role
    points: tuple[Point, ...]
    filled: bool = False


class Line(Value):
    """An open stroke from point to point; `dotted` where it is a level and no edge."""

    role: Role
    points: tuple[Point, ...]
    dotted: bool = False


Parts = tuple[Area | Line, ...]
"""What a scene is drawn of, from the back to the front."""


class Measured(Value):
    """The distance that a scene is about: its ends as drawn, and how far they really are apart."""

    start: Point
    end: Point
    mm: float

    @property
    def drawn_mm(self) -> float:
        """How far the ends are apart in the drawing."""
        return math.dist(self.start, self.end)


class Scene(Value):
    """What is drawn, the window it is seen through, and what it says in words.

    `times` is how many times too large the fault is drawn, 1 where all of it is to scale.
    """

    words: str
    window: Window
    parts: Parts
    times: int = 1
    measured: Measured | None = None

    @property
    def caption(self) -> str:
        """The words, with how much the fault is drawn too large."""
        return f"{self.words}; drawn ×{self.times}" if self.times > 1 else self.words


def circle(role: Role, centre: Point, radius: float) -> Area:
    """A circle seen from above."""
    return Area(role, arc(centre, radius, 0, 360)[:-1])


def arc(centre: Point, radius: float, start_deg: float, end_deg: float) -> tuple[Point, ...]:
    """Points along a circle; 0° is 12 o'clock, and angles go with the clock."""
    steps = max(round(ROUND * abs(end_deg - start_deg) / 360), 2)
    angles = (math.radians(start_deg + (end_deg - start_deg) * k / steps) for k in range(steps + 1))
    return tuple(
        (centre[0] + radius * math.sin(a), centre[1] - radius * math.cos(a)) for a in angles
    )


def box(role: Role, left: float, top: float, right: float, bottom: float) -> Area:
    """A rectangle that stands upright."""
    return Area(role, ((left, top), (right, top), (right, bottom), (left, bottom)))


def arrow(start: Point, end: Point, *, both: bool = False) -> tuple[Line, ...]:
    """An arrow that says where something moves; `both` ways where it goes back and forth."""
    ends = ((start, end), (end, start)) if both else ((start, end),)
    heads = (_head(*pair) for pair in ends)
    return (Line("fault", (start, end)), *heads)


def _head(start: Point, end: Point) -> Line:
    back = math.atan2(start[1] - end[1], start[0] - end[0])
    sides = (back + math.radians(turn) for turn in (HEAD_DEG, -HEAD_DEG))
    left, right = ((end[0] + HEAD * math.cos(a), end[1] + HEAD * math.sin(a)) for a in sides)
    return Line("fault", (left, end, right))


def moved(points: Iterable[Point], across: float, down: float) -> tuple[Point, ...]:
    """The same shape in another place."""
    return tuple((x + across, y + down) for x, y in points)


def turned(points: Iterable[Point], degrees: float, about: Point) -> tuple[Point, ...]:
    """The same shape turned with the clock about a point."""
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    around = ((x - about[0], y - about[1]) for x, y in points)
    return tuple((about[0] + x * cos - y * sin, about[1] + x * sin + y * cos) for x, y in around)
