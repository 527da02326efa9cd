"""The seat and stone cut through the middle, as polygons and dimension lines for a picture.

Plain values in millimetres: x from the axis, y downwards from the sheet's surface. Whoever draws
them chooses scale, colour and line.
"""

import math
from typing import Literal

from platebook.trade.geometry.burs import bur_at
from platebook.trade.geometry.resting import Hole, Rest, rest
from platebook.trade.records import Value
from platebook.trade.rules import RuleBook
from platebook.trade.setup_sheet import SetUpSheet
from platebook.trade.stones import Profile

ARC_STEPS = 24
SHEET_BEYOND = 0.35

Point = tuple[float, float]
State = Literal["too thin", "too tight", "proud", "sunk", "point out", "falls through"]


class Shape(Value):
    """A closed polygon: the sheet on one side of the hole, or the stone."""

    name: Literal["sheet left", "sheet right", "stone"]
    points: tuple[Point, ...]


class Dimension(Value):
    """A dimension line from one point to another, and the size it stands for."""

    name: Literal[
        "stone", "seat", "sheet", "seat depth", "table height", "ledge", "culet clearance"
    ]
    start: Point
    end: Point
    mm: float


class Section(Value):
    """What to draw, what is out of order (`states`, worst first), and a line that says the same."""

    shapes: tuple[Shape, ...]
    dimensions: tuple[Dimension, ...]
    states: tuple[State, ...]
    line: str


def stone_of(sizes: SetUpSheet) -> Profile:
    """The stone's profile as the set-up sheet has it."""
    fields = sizes.stone.model_dump(include=set(Profile.model_fields))
    return Profile.model_validate(fields)


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


def section_of(sizes: SetUpSheet, book: RuleBook | None = None) -> Section:
    """The section that a set-up sheet promises."""
    return section(stone_of(sizes), hole_of(sizes, book), book)


def section(stone: Profile, hole: Hole, book: RuleBook | None = None) -> Section:
    """The section of a stone in a hole; one that falls through is drawn with its table level."""
    book = book or RuleBook()
    at_rest = rest(stone, hole)
    height = at_rest.table_height_mm if at_rest is not None else 0.0
    half = max(stone.diameter_mm / 2, hole.mouth_mm) + SHEET_BEYOND * stone.diameter_mm
    right = _metal(hole, half)
    left = tuple((-x, y) for x, y in right)
    shapes = (
        Shape(name="sheet left", points=left),
        Shape(name="sheet right", points=right),
        Shape(name="stone", points=_stone(stone, height)),
    )
    states = _states(stone, hole.thickness_mm, at_rest, book)
    dimensions = _dimensions(stone, hole, height, half)
    return Section(
        shapes=shapes,
        dimensions=dimensions,
        states=states,
        line=_line(stone, hole, at_rest),
    )


def _stone(stone: Profile, height: float) -> tuple[Point, ...]:
    right = [
        (stone.table_mm / 2, -height),
        (stone.diameter_mm / 2, stone.crown_mm - height),
        (stone.diameter_mm / 2, stone.carried_mm - height),
    ]
    culet = (0.0, stone.depth_mm - height)
    return (*right, culet, *((-x, y) for x, y in reversed(right)))


def _metal(hole: Hole, half: float) -> tuple[Point, ...]:
    floor = [(hole.mouth_mm, 0.0)]
    edges = [r for r in hole.edges_mm() if r <= hole.mouth_mm]
    for outside, inside in zip(edges[::-1], edges[-2::-1], strict=False):
        floor.append((outside, hole.floor_mm(outside, outward=False)))
        if _bends(hole, outside, inside):
            steps = (outside + (inside - outside) * k / ARC_STEPS for k in range(1, ARC_STEPS))
            floor += [(r, hole.floor_mm(r, outward=True)) for r in steps]
        floor.append((inside, hole.floor_mm(inside, outward=True)))
    back = hole.thickness_mm
    within = ((x, min(y, back)) for x, y in floor)
    outline = [(half, 0.0), *within, (hole.inner_mm, back), (half, back)]
    return tuple(p for p, before in zip(outline, [None, *outline], strict=False) if p != before)


def _bends(hole: Hole, outside: float, inside: float) -> bool:
    ends = hole.floor_mm(outside, outward=False) + hole.floor_mm(inside, outward=True)
    middle = hole.floor_mm((outside + inside) / 2, outward=True)
    return not math.isclose(middle, ends / 2, abs_tol=1e-9)


def _dimensions(stone: Profile, hole: Hole, height: float, half: float) -> tuple[Dimension, ...]:
    radius, mouth, back = stone.diameter_mm / 2, hole.mouth_mm, hole.thickness_mm
    edge, culet = stone.carried_mm - height, stone.depth_mm - height
    lines: list[tuple[str, Point, Point, float]] = [
        ("stone", (-radius, edge), (radius, edge), stone.diameter_mm),
        ("seat", (-mouth, 0.0), (mouth, 0.0), 2 * mouth),
        ("sheet", (half, 0.0), (half, back), back),
        ("seat depth", (radius, 0.0), (radius, edge), edge),
        ("table height", (0.0, -height), (0.0, 0.0), height),
        ("ledge", (radius, edge), (radius, back), back - edge),
        ("culet clearance", (0.0, culet), (0.0, back), back - culet),
    ]
    return tuple(
        Dimension.model_validate({"name": n, "start": a, "end": b, "mm": round(mm, 4)})
        for n, a, b, mm in lines
    )


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
