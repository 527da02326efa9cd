"""The seat and stone cut through the middle, as polygons and dimension lines for a picture.

Plain values in millimetres: x from the axis, y downwards from the sheet's surface. Whoever draws
them chooses scale, colour and line.
"""

import math
from typing import Literal

from platebook.trade.geometry.burs import bur_at
from platebook.trade.geometry.curved import back_mm, drop_mm
from platebook.trade.geometry.resting import Hole, Rest, rest
from platebook.trade.records import Curve
from platebook.trade.rules import RuleBook
from platebook.trade.setup_sheet import SetUpSheet
from platebook.trade.stones import Profile
from platebook.values import Value

ARC_STEPS = 24
SHEET_BEYOND = 0.35

Point = tuple[float, float]
State = Literal["too thin", "too tight", "proud", "sunk", "point out", "falls through"]
Across = Literal["along", "across"]
Line = Literal[
    "stone", "seat", "sheet", "seat depth", "table height", "ledge", "culet clearance", "wall"
]


class Surface(Value):
    """The metal's two surfaces as they are cut, flat or curved; x counts to the right.

    `curve` is None for flat metal and for a cut along a ring.
    """

    thickness_mm: float
    curve: Curve | None = None

    def top_mm(self, x: float) -> float:
        """Depth of the outer surface."""
        return 0.0 if self.curve is None else drop_mm(self.curve, x, 90)

    def back_mm(self, x: float) -> float:
        """Depth of the inner surface; where it ends, the thickness below the outer one."""
        if self.curve is None:
            return self.thickness_mm
        try:
            return back_mm(self.curve, self.thickness_mm, x, 90)
        except ValueError:
            return self.top_mm(x) + self.thickness_mm


class Shape(Value):
    """A closed polygon: the sheet on one side of the hole, or the stone."""

    name: Literal["sheet left", "sheet right", "stone"]
    points: tuple[Point, ...]


class Dimension(Value):
    """A dimension line from one point to another, and the size it stands for."""

    name: Line
    start: Point
    end: Point
    mm: float


class Section(Value):
    """What to draw, what is out of order (`states`, worst first), and a line that says the same."""

    shapes: tuple[Shape, ...]
    dimensions: tuple[Dimension, ...]
    states: tuple[State, ...]
    line: str


def hole_of(sizes: SetUpSheet, book: RuleBook | None = None) -> Hole:
    """The hole that the set-up sheet asks for, the seat as wide as this hand is expected to cut.

    The opening bur is sunk to its full width, the seat bur until the table lies level; where no
    depth does that, to where the girdle's edge should lie.
    """
    return Hole(
        thickness_mm=sizes.sheet.thickness_mm,
        pilot_mm=sizes.pilot_drill.choose_mm,
        seat=bur_at(
            sizes.seat_bur.shape or "setting",
            sizes.seat_bur.choose_mm + sizes.hand.overcut_mm,
            sizes.seat.depth_mm if sizes.seat.bur_sunk_mm is None else sizes.seat.bur_sunk_mm,
            angle_deg=sizes.seat_bur.angle_deg,
            book=book,
        ),
        others=(
            bur_at(sizes.opening_bur.shape or "ball", sizes.opening_bur.choose_mm, 0.0, book=book),
        ),
    )


def section_of(
    sizes: SetUpSheet, book: RuleBook | None = None, *, cut: Across = "across"
) -> Section:
    """The section that a set-up sheet promises; in a ring along it or across it."""
    return section(sizes.stone, hole_of(sizes, book), book, curve=curve_cut(sizes, cut))


def curve_cut(sizes: SetUpSheet, cut: Across) -> Curve | None:
    """The curve that shows in a cut: a ring's shows across it only, a dome's in both."""
    answer = sizes.curve
    if answer is None or (answer.kind == "ring" and cut == "along"):
        return None
    off_crest = 0.0 if cut == "along" else answer.off_crest_mm
    return Curve(kind=answer.kind, radius_mm=answer.radius_mm, off_crest_mm=off_crest)


def section(
    stone: Profile, hole: Hole, book: RuleBook | None = None, *, curve: Curve | None = None
) -> Section:
    """The section of a stone in a hole; one that falls through is drawn with its table level.

    With a `curve` the metal is cut across it, and the wall left above the girdle is a dimension.
    """
    book = book or RuleBook()
    surface = Surface(hole.thickness_mm, curve)
    at_rest = rest(stone, hole)
    height = at_rest.table_height_mm if at_rest is not None else 0.0
    half = max(stone.diameter_mm / 2, hole.mouth_mm) + SHEET_BEYOND * stone.diameter_mm
    if curve is not None:
        half = min(half, 0.98 * (curve.radius_mm - curve.off_crest_mm))
    right = _metal(hole, half, surface, 1)
    left = tuple((-x, y) for x, y in _metal(hole, half, surface, -1))
    shapes = (
        Shape(name="sheet left", points=left),
        Shape(name="sheet right", points=right),
        Shape(name="stone", points=_stone(stone, height)),
    )
    states = _states(stone, hole.thickness_mm, at_rest, book)
    dimensions = _dimensions(stone, hole, height, half)
    if curve is not None:
        dimensions = (*dimensions, _wall(stone, surface, height))
    return Section(
        shapes=shapes,
        dimensions=dimensions,
        states=states,
        line=_line(stone, hole, at_rest) + _wall_line(dimensions),
    )


def _wall(stone: Profile, surface: Surface, height: float) -> Dimension:
    """The metal left above the girdle, at the side where the surface has fallen furthest."""
    x, girdle = stone.diameter_mm / 2, stone.crown_mm - height
    start, end = (x, surface.top_mm(x)), (x, girdle)
    mm = round(end[1] - start[1], 4)
    return Dimension(name="wall", start=start, end=end, mm=mm)


def _wall_line(dimensions: tuple[Dimension, ...]) -> str:
    walls = [d.mm for d in dimensions if d.name == "wall"]
    return f" Wall above the girdle at the sides {walls[0]:.2f}." if walls else ""


def _stone(stone: Profile, height: float) -> tuple[Point, ...]:
    right = [
        (stone.table_mm / 2, -height),
        (stone.diameter_mm / 2, stone.crown_mm - height),
        (stone.diameter_mm / 2, stone.carried_mm - height),
    ]
    culet = (0.0, stone.depth_mm - height)
    return (*right, culet, *((-x, y) for x, y in reversed(right)))


def _metal(hole: Hole, half: float, surface: Surface, side: int) -> tuple[Point, ...]:
    """The metal on one side of the hole as if it lay on the right; `side` is 1 right, -1 left."""
    floor = [(hole.mouth_mm, 0.0)]
    edges = [r for r in hole.edges_mm() if r <= hole.mouth_mm]
    for outside, inside in zip(edges[::-1], edges[-2::-1], strict=False):
        floor.append((outside, hole.floor_mm(outside, outward=False)))
        if _bends(hole, outside, inside):
            steps = (outside + (inside - outside) * k / ARC_STEPS for k in range(1, ARC_STEPS))
            floor += [(r, hole.floor_mm(r, outward=True)) for r in steps]
        floor.append((inside, hole.floor_mm(inside, outward=True)))
    inner, mouth = hole.inner_mm, hole.mouth_mm

    def top(x: float) -> float:
        return surface.top_mm(side * x)

    def back(x: float) -> float:
        return surface.back_mm(side * x)

    within = ((x, min(max(y, top(x)), back(x))) for x, y in floor)
    outline = [
        *((x, top(x)) for x in _steps(half, mouth, surface)),
        *within,
        *((x, back(x)) for x in _steps(inner, half, surface)),
    ]
    return tuple(p for p, before in zip(outline, [None, *outline], strict=False) if p != before)


def _steps(start: float, end: float, surface: Surface) -> list[float]:
    """From one place to another; in flat metal nothing lies between."""
    count = ARC_STEPS if surface.curve is not None else 1
    return [start + (end - start) * k / count for k in range(count + 1)]


def _bends(hole: Hole, outside: float, inside: float) -> bool:
    ends = hole.floor_mm(outside, outward=False) + hole.floor_mm(inside, outward=True)
    middle = hole.floor_mm((outside + inside) / 2, outward=True)
    return not math.isclose(middle, ends / 2, abs_tol=1e-9)


def _dimensions(stone: Profile, hole: Hole, height: float, half: float) -> tuple[Dimension, ...]:
    radius, mouth, back = stone.diameter_mm / 2, hole.mouth_mm, hole.thickness_mm
    edge, culet = stone.carried_mm - height, stone.depth_mm - height
    lines: list[tuple[Line, Point, Point, float]] = [
        ("stone", (-radius, edge), (radius, edge), stone.diameter_mm),
        ("seat", (-mouth, 0.0), (mouth, 0.0), 2 * mouth),
        ("sheet", (half, 0.0), (half, back), back),
        ("seat depth", (radius, 0.0), (radius, edge), edge),
        ("table height", (0.0, -height), (0.0, 0.0), height),
        ("ledge", (radius, edge), (radius, back), back - edge),
        ("culet clearance", (0.0, culet), (0.0, back), back - culet),
    ]
    return tuple(Dimension(name, start, end, round(mm, 4)) for name, start, end, mm in lines)


def _states(
    stone: Profile, thickness: float, at_rest: Rest | None, book: RuleBook
) -> tuple[State, ...]:
    if at_rest is None:
        thin: tuple[State, ...] = ("too thin",) if thickness <= stone.carried_mm else ()
        return (*thin, "falls through")
    tightest = min(book.rule("seat window", m).low_mm for m in ("snap in", "push in"))
    proud = book.rule("table proud").size_mm(stone.diameter_mm)
    deep = book.rule("table depth").size_mm(stone.diameter_mm)
    checks: tuple[tuple[State, bool], ...] = (
        ("too thin", round(at_rest.ledge_mm, 6) < book.rule("ledge").plus_mm),
        ("too tight", round(2 * at_rest.side_gap_mm, 6) < tightest),
        ("proud", round(at_rest.table_height_mm, 6) > proud),
        ("sunk", round(-at_rest.table_height_mm, 6) > deep),
        ("point out", round(at_rest.culet_clearance_mm, 6) < 0),
    )
    return tuple(state for state, holds in checks if holds)


def _line(stone: Profile, hole: Hole, at_rest: Rest | None) -> str:
    seat = f"{stone.diameter_mm:.2f} mm stone in a {2 * hole.mouth_mm:.2f} mm seat"
    if at_rest is None:
        return f"{seat}: it falls through."
    side = "free" if at_rest.side_gap_mm >= 0 else "tight"
    gap = f"{abs(2 * at_rest.side_gap_mm):.2f} {side}"
    if math.isclose(at_rest.table_height_mm, 0, abs_tol=0.005):
        table = "table level"
    else:
        where = "above" if at_rest.table_height_mm > 0 else "below"
        table = f"table {abs(at_rest.table_height_mm):.2f} {where}"
    out = "inside" if at_rest.culet_clearance_mm >= 0 else "out"
    point = f"point {abs(at_rest.culet_clearance_mm):.2f} {out}"
    return f"{seat}: {gap}, {table}, {at_rest.ledge_mm:.2f} under the girdle, {point}."
