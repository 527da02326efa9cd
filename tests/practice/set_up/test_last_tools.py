"""Tools that were never added to a drawer but evidently are there."""

from tests.builders import an_attempt

from platebook.practice.set_up.last_tools import LAST, last_tools
from platebook.trade.records import Tool

NO_TOOLS = {"pilot_mm": None, "opening_bur_mm": None, "seat_bur_mm": None}


def test_each_tool_of_the_last_settings_is_there_once() -> None:
    """A bur without a shape counts as what it is used for; a part tells of nobody's tools."""
    tools = {"pilot_mm": 0.8, "opening_bur_mm": 2.3, "seat_bur_mm": 2.4}
    shapes = {"opening_bur_shape": None, "seat_bur_shape": None}
    whole = an_attempt(**(tools | shapes))
    part = an_attempt(kind="part", part="burnishing", **(NO_TOOLS | {"seat_bur_mm": 1.1}))
    assert last_tools([whole, whole, part]) == (
        Tool(kind="twist drill", size_mm=0.8),
        Tool(kind="bur", shape="ball", size_mm=2.3),
        Tool(kind="bur", shape="setting", size_mm=2.4),
    )


def test_what_was_not_used_for_long_may_be_gone() -> None:
    """Only the last settings count; nothing was used before the first."""
    old = an_attempt(**(NO_TOOLS | {"seat_bur_mm": 1.1}))
    later = [an_attempt(**NO_TOOLS)] * LAST
    assert last_tools([old, *later[1:]]) != ()
    assert last_tools([old, *later]) == ()
    assert last_tools([]) == ()
