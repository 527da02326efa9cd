"""The set-up that all scenes are drawn from: one stone, its sheet, and the seat sized for them.

Sizes come from the program's own sizing, so a drawing shows what the set-up sheet would ask for. A
seat that is cut wrong is the same seat with the bur at another depth or width.
"""

import functools
import math

from platebook.reports.drawings.cells import Point
from platebook.reports.drawings.scenes.scene import Area, Line
from platebook.trade.geometry.burs import bur_at
from platebook.trade.geometry.resting import Hole, needed_belt_mm
from platebook.trade.geometry.section import hole_of, section
from platebook.trade.records import Sheet, Stone
from platebook.trade.setup_sheet import SeatMethod, SetUpSheet
from platebook.trade.sizing import size
from platebook.trade.stones import Profile
from platebook.values import replace

STONE_MM = 3.0
SHEET_MM = 2.0
REACH = 0.4
"""How far up a closed rim lies on the crown, as a share of the metal over the girdle (memory)."""

HALVINGS = 50


@functools.cache
def sizes(method: SeatMethod = "drop in") -> SetUpSheet:
    """The set-up sheet of the typical stone."""
    return size(Stone(diameter_mm=STONE_MM), Sheet(sheet_mm=SHEET_MM), method=method)


def stone() -> Profile:
    """The typical stone's profile."""
    return sizes().stone


def seat(
    method: SeatMethod = "drop in", *, below_mm: float = 0.0, free_mm: float | None = None
) -> Hole:
    """The seat as sized; or so much wider than the stone, or cut until its table lies lower.

    A seat narrower than its opening is opened less, as nobody could have cut it otherwise.
    """
    hole = hole_of(sizes(method))
    if free_mm is not None:
        radius = (STONE_MM + free_mm) / 2
        opening = bur_at("ball", 2 * radius - 0.2, 0.0)
        bur = replace(hole.seat, radius_mm=radius)
        hole = replace(hole, seat=bur, others=(opening,))
    belt = needed_belt_mm(stone(), hole, below_mm=below_mm)
    return hole if belt is None else hole.with_seat_at(belt)


def metal(hole: Hole) -> tuple[Area, ...]:
    """The sheet in section on both sides of a hole."""
    shapes = section(stone(), hole).shapes
    return tuple(Area("metal", s.points) for s in shapes if s.name != "stone")


def stone_at(height_mm: float = 0.0) -> tuple[Point, ...]:
    """The stone in section with its table this far above the sheet, upright on the axis."""
    return tuple((x, y - height_mm) for x, y in _stone_level())


@functools.cache
def _stone_level() -> tuple[Point, ...]:
    drawn = section(stone(), seat())
    points = next(s.points for s in drawn.shapes if s.name == "stone")
    top = min(y for _, y in points)
    return tuple((x, y - top) for x, y in points)


def facets(points: tuple[Point, ...]) -> Line:
    """The line of the girdle across a stone in section."""
    first, last = min(points), max(points)
    return Line("stone", (first, last), dotted=True)


def burnished(hole: Hole, height_mm: float = 0.0) -> tuple[Area, ...]:
    """The sheet with its rim pushed over the girdle of a stone whose table lies at this height.

    The rim reaches `REACH` of the way up the crown; the metal that lies there was pushed from a
    slope beside the hole, of the same area in the section.
    """
    left, right = metal(hole)
    lip = rim(hole, height_mm)
    mouth = hole.mouth_mm
    return tuple(
        Area("metal", _with_lip(side.points, lip, mouth, sign))
        for side, sign in ((left, -1), (right, 1))
    )


def rim(hole: Hole, height_mm: float = 0.0) -> tuple[Point, ...]:
    """The rim on the right: outer edge of the slope, tip on the crown, girdle, wall."""
    cut, mouth = stone(), hole.mouth_mm
    radius, girdle = cut.diameter_mm / 2, cut.crown_mm - height_mm
    along = (radius - cut.table_mm / 2) / cut.crown_mm
    tip = (radius - along * REACH * girdle, girdle * (1 - REACH))
    low, high = 0.0, STONE_MM
    for _ in range(HALVINGS):
        slope = (low + high) / 2
        at_wall = tip[1] * slope / (mouth + slope - tip[0])
        pushed_over = _area(((mouth, at_wall), tip, (radius, girdle), (mouth, girdle)))
        if slope * at_wall / 2 < pushed_over:
            low = slope
        else:
            high = slope
    return (mouth + high, 0.0), tip, (radius, girdle), (mouth, girdle)


def _area(points: tuple[Point, ...]) -> float:
    pairs = zip(points, (*points[1:], points[0]), strict=True)
    return abs(math.fsum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs)) / 2


def _with_lip(
    points: tuple[Point, ...], lip: tuple[Point, ...], mouth: float, sign: int
) -> tuple[Point, ...]:
    corner = (sign * mouth, 0.0)
    place = next(n for n, p in enumerate(points) if math.dist(p, corner) < 1e-9)
    return (*points[:place], *((sign * x, y) for x, y in lip), *points[place + 1 :])
