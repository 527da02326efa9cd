"""Kinds of measuring tool, and which sizes they can take at all: outsides, insides of a seat."""

from dataclasses import dataclass
from typing import get_args

from platebook.trade.drawer import MeasuringKind, Tool
from platebook.trade.faults import Fault
from platebook.trade.measuring import refuse_caliper_inside
from platebook.trade.rules import RuleBook

INSIDES = "a bore gauge, pins, a drill shank or the stone itself"


@dataclass(frozen=True, slots=True)
class Reach:
    """What a kind of tool can take: a stone's diameter, a seat's; `why` says why not a seat's."""

    outside: bool
    inside: bool
    why: str = ""


REACH: dict[MeasuringKind, Reach] = {
    "caliper": Reach(outside=True, inside=True),
    "micrometer": Reach(outside=True, inside=False, why="its anvils close on outsides"),
    "bore gauge": Reach(outside=False, inside=True),
    "pins": Reach(outside=False, inside=True),
    "depth gauge": Reach(outside=False, inside=False, why="it reads depths, not widths"),
    "dial gauge": Reach(outside=True, inside=False, why="its plunger follows outsides and heights"),
    "microscope": Reach(outside=True, inside=True),
    "rule": Reach(outside=False, inside=False, why="its marks are too coarse for a seat"),
}
"""By what each touches (geometry). A caliper reaches inside from a size on, which is a rule."""


def measuring_kinds() -> tuple[MeasuringKind, ...]:
    """All kinds, in the order they are listed."""
    return get_args(MeasuringKind)


def takes_outsides(tool: Tool) -> bool:
    """Whether a stone's diameter may have been taken with this; a tool of no known kind may do."""
    if tool.kind != "measuring":
        return False
    return tool.measuring_kind is None or REACH[tool.measuring_kind].outside


def takes_insides(tool: Tool) -> bool:
    """Whether a seat's diameter may have been taken with this; a tool of no known kind may do."""
    if tool.kind != "measuring":
        return False
    return tool.measuring_kind is None or REACH[tool.measuring_kind].inside


def unfit_inside(tool: Tool) -> Fault | None:
    """The reason why this kind of tool takes no seat's diameter at all; None where it may."""
    if tool.measuring_kind is None or REACH[tool.measuring_kind].inside:
        return None
    expected = f"{INSIDES}: a {tool.measuring_kind} does not fit inside ({_why(tool)})"
    return Fault("seat_measured_with", tool.name, expected)


def refuse_inside(seat_mm: float, tool: Tool, book: RuleBook | None = None) -> Fault | None:
    """The reason not to believe a seat of this size by this tool; None where it may be so.

    Only a caliper is refused: its reading of a small hole looks sound and is not.
    """
    if tool.measuring_kind != "caliper":
        return None
    return refuse_caliper_inside(seat_mm, book)


def _why(tool: Tool) -> str:
    return REACH[tool.measuring_kind].why if tool.measuring_kind else ""
