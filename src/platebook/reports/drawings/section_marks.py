"""What is said of a section and magnified beside it: dimensions in words, and small gaps."""

from collections.abc import Iterable

from platebook.reports.drawings.cells import Point
from platebook.reports.text.figures import hundredths, millimetres
from platebook.trade.geometry.section import Dimension, Section, State
from platebook.trade.rules import RuleBook
from platebook.values import Value

LEVEL_MM = 0.005
AS_SOLD = ("sheet", "stone")
"""What is told with all the decimals it has; the rest to a hundredth."""
STATE_AT: dict[State, str] = {
    "too thin": "ledge",
    "too tight": "seat",
    "proud": "table height",
    "sunk": "table height",
    "point out": "culet clearance",
    "falls through": "stone",
}
"""The dimension at which each state is seen."""

POINT_OUT = "The point stands out at the back."
"""No fault by itself: many grades leave the back open, and in customary sheet it always stands out.
It is said plainly, with how far at its dimension; the other states are in capitals."""

NAMES = {"ledge": "under girdle"}


def label(dimension: Dimension) -> str:
    """A dimension as it is said: `sheet 0.812`, `table 0.10 above`, `point 0.39 out`."""
    size = hundredths(abs(dimension.mm))
    if dimension.name in AS_SOLD:
        size = millimetres(abs(dimension.mm))
    if dimension.name == "table height":
        if abs(dimension.mm) < LEVEL_MM:
            return "table level"
        return f"table {size} {'above' if dimension.mm > 0 else 'below'}"
    if dimension.name == "culet clearance":
        return f"point {size} {'inside' if dimension.mm >= 0 else 'out'}"
    if dimension.name == "ledge" and dimension.mm < 0:
        return f"girdle out by {size}"
    if dimension.name == "seat depth" and dimension.mm < 0:
        return f"girdle {size} above"
    return f"{NAMES.get(dimension.name, dimension.name)} {size}"


def middle(dimension: Dimension) -> float:
    """The height at the middle of a dimension's line."""
    return (dimension.start[1] + dimension.end[1]) / 2


def alarm(dimension: Dimension, states: tuple[State, ...]) -> str:
    """What is out of order at this dimension, in capitals; empty where it is as it should be."""
    return ", ".join(s.upper() for s in faults_of(states) if STATE_AT[s] == dimension.name)


def faults_of(states: Iterable[State]) -> list[State]:
    """The states that no grade wants: all but a point that stands out."""
    return [state for state in states if state != "point out"]


def verdict(section: Section) -> str:
    """All that is out of order in one line, worst first; a point with little room is told too."""
    if not section.states:
        room = next((d.mm for d in section.dimensions if d.name == "culet clearance"), None)
        if room is not None and room < RuleBook().rule("culet margin").plus_mm:
            return "Point near the back."
        return "Nothing out of order."
    faults = faults_of(section.states)
    mind = [f"Mind: {', '.join(faults).upper()}."] if faults else []
    return " ".join([*mind, POINT_OUT] if "point out" in section.states else mind)


SMALL_MM = 0.1
NOTHING_MM = 0.0005


class Gap(Value):
    """A small distance between two points of the section, and what it is called."""

    words: str
    start: Point
    end: Point
    mm: float

    @property
    def sentence(self) -> str:
        """What it is where it is drawn magnified, with its size."""
        return f"magnified: {abs(self.mm):.3f} mm {self.words}"


def gaps_of(section: Section) -> tuple[Gap, ...]:
    """The gaps under 0.1 mm: beside the girdle, at the table, under the girdle and the point."""
    named = {d.name: d for d in section.dimensions}
    stone, seat, table = named["stone"], named["seat"], named["table height"]
    ledge, point = named["ledge"], named["culet clearance"]
    beside = (seat.mm - stone.mm) / 2
    corner = _table_corner(section)
    level = stone.end[1]
    gaps = (
        Gap(
            f"beside the girdle, {'free' if beside > 0 else 'tight'}",
            (stone.end[0], level),
            (seat.end[0], level),
            beside,
        ),
        Gap(f"table {'proud' if table.mm > 0 else 'sunk'}", corner, (corner[0], 0.0), table.mm),
        Gap(
            f"girdle {'above' if ledge.mm > 0 else 'below'} the back",
            ledge.start,
            ledge.end,
            ledge.mm,
        ),
        Gap(f"point {'inside' if point.mm > 0 else 'out'}", point.start, point.end, point.mm),
    )
    return tuple(gap for gap in gaps if NOTHING_MM < round(abs(gap.mm), 6) < SMALL_MM)


def _table_corner(section: Section) -> Point:
    stone = next(shape for shape in section.shapes if shape.name == "stone")
    return stone.points[0]
