"""Which kinds of measuring tool reach a seat's diameter, and which a stone's."""

import pytest

from platebook.trade.drawer import MeasuringKind, Tool
from platebook.trade.measuring_kinds import (
    REACH,
    measuring_kinds,
    refuse_inside,
    takes_insides,
    takes_outsides,
    unfit_inside,
)


def _tool(kind: MeasuringKind | None) -> Tool:
    return Tool(kind="measuring", name="mine", measuring_kind=kind)


def test_every_kind_says_what_it_reaches() -> None:
    """And gives a reason where it does not reach inside."""
    assert tuple(REACH) == measuring_kinds()
    assert all(reach.inside or reach.why for reach in REACH.values())


@pytest.mark.parametrize("kind", ["micrometer", "depth gauge", "dial gauge", "rule"])
def test_a_kind_that_does_not_reach_inside_says_why(kind: MeasuringKind) -> None:
    """By what it touches (geometry)."""
    fault = unfit_inside(_tool(kind))
    assert fault is not None
    assert fault.field == "seat_measured_with"
    assert f"a {kind} does not fit inside (" in fault.expected
    assert not takes_insides(_tool(kind))


@pytest.mark.parametrize("kind", ["bore gauge", "pins", "microscope", "caliper", None])
def test_other_kinds_reach_inside(kind: MeasuringKind | None) -> None:
    """Of an unknown kind nothing is held against a reading."""
    assert unfit_inside(_tool(kind)) is None
    assert takes_insides(_tool(kind))


def test_a_caliper_reaches_inside_from_3_mm() -> None:
    """Below, its flat jaws bridge the curve (geometry); no other kind is refused."""
    assert refuse_inside(2.0, _tool("caliper")) is not None
    assert refuse_inside(3.0, _tool("caliper")) is None
    assert refuse_inside(2.0, _tool("bore gauge")) is None


def test_a_stone_is_taken_by_what_closes_on_it() -> None:
    """Not by what goes into holes, and not by a tool that cuts."""
    found = [kind for kind in measuring_kinds() if takes_outsides(_tool(kind))]
    assert found == ["caliper", "micrometer", "dial gauge", "microscope"]
    assert not takes_outsides(Tool(kind="bur", size_mm=1.9))
