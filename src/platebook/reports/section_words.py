"""What is written beside a section: each dimension in words, and what is out of order."""

from platebook.reports.figures import millimetres
from platebook.trade.section import Dimension, Section, State

LEVEL_MM = 0.005
STATE_AT: dict[State, str] = {
    "too thin": "ledge",
    "too tight": "seat",
    "proud": "table height",
    "sunk": "table height",
    "point out": "culet clearance",
    "falls through": "stone",
}
"""The dimension at which each state is seen."""

NAMES = {"ledge": "under girdle"}


def label(dimension: Dimension) -> str:
    """A dimension as it is said: `sheet 0.812`, `table 0.10 above`, `point 0.39 out`."""
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


def alarm(dimension: Dimension, states: tuple[State, ...]) -> str:
    """What is out of order at this dimension, in capitals; empty where it is as it should be."""
    return ", ".join(state.upper() for state in states if STATE_AT[state] == dimension.name)


def verdict(section: Section) -> str:
    """All that is out of order in one line, worst first."""
    if not section.states:
        return "Nothing out of order."
    return f"Mind: {', '.join(section.states).upper()}."
