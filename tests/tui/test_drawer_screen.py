"""Drawer: what is asked of the session, then what is seen."""

from tests.tui import bench
from tests.tui.driving import on, press, running
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture
from textual.widgets import Input

from platebook.services.drawer.drawer import DrawerRow
from platebook.services.session import Refused
from platebook.tui.drawer_screen import DrawerScreen
from platebook.tui.parts.text import MARK
from platebook.tui.parts.widgets import PickList
from platebook.values import replace


async def test_a_tool_is_put_in_as_it_is_typed() -> None:
    """The key a asks, Enter puts it in, and the line is away again."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "t", "a", *"pin 1.95", "enter")
        assert session.calls[-1] == "put in pin 1.95"
        assert "pin 1.95 lies in the drawer." in picture(pilot.app)
        assert not pilot.app.screen.query_one("#tool", Input).has_class("asked")


async def test_a_tool_that_cannot_be_is_told_and_can_be_mended() -> None:
    """The refusal stands on the screen, and what was typed stays."""
    session = SessionOfAnEvening(fault=Refused("size: read 'wide', expected a length"))
    session.fails_next = "put_in"
    async with running(session) as pilot:
        await press(pilot, "t", "a", *"bur wide", "enter")
        assert "size: read 'wide'" in picture(pilot.app)
        assert pilot.app.screen.query_one("#tool", Input).value == "bur wide"


async def test_a_tool_is_changed_and_taken_out() -> None:
    """Enter offers it as typed; d takes it out and says what brings it back."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "t", "down", "enter")
        assert pilot.app.screen.query_one("#tool", Input).value == "bur 1.9 hart"
        await press(pilot, "backspace", "enter")
        assert session.calls[-1] == "change t2 to bur 1.9 har"
        await press(pilot, "d")
        assert "t2 is taken out; undo puts it back." in picture(pilot.app)
        await press(pilot, "enter", "escape")
        assert on(pilot, DrawerScreen)
        assert not pilot.app.screen.query_one("#tool", Input).has_class("asked")


async def test_an_empty_drawer_says_how_to_fill_it() -> None:
    """Nothing is marked, so nothing can be changed or taken out."""
    session = SessionOfAnEvening(tools=())
    async with running(session) as pilot:
        await press(pilot, "t")
        assert "The drawer is empty" in picture(pilot.app)
        await press(pilot, "enter", "d")
        assert on(pilot, DrawerScreen)
        assert not pilot.app.screen.query_one("#tool", Input).has_class("asked")
    assert [c for c in session.calls if c.startswith(("put in", "change"))] == []


USES = ("drill", "seats cut", "January 2026", "twist drill")


async def test_what_measures_is_checked_by_a_line() -> None:
    """The key m asks for a known size and readings of it, wherever the mark is."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "t", "m", *"1.00 1.01", "enter")
        assert session.calls[-1] == "check t3 by 1.00 1.01"
        assert "It reads 0.010 mm more." in picture(pilot.app)
    async with running(SessionOfAnEvening(tools=bench.DRAWER[:1])) as pilot:
        await press(pilot, "t", "m")
        assert "Only what measures is checked" in picture(pilot.app)


async def test_the_headline_is_what_wants_a_check() -> None:
    """Else what lies in the drawer, and that nothing of it measures."""
    drill, _, caliper = bench.DRAWER
    for tools, said in (
        ((drill, replace(caliper, sure=False)), "Not checked yet: caliper."),
        ((drill, caliper), "All that measures is checked."),
        ((drill,), "1 tool: 1 twist drill."),
    ):
        async with running(SessionOfAnEvening(tools=tools)) as pilot:
            await press(pilot, "t")
            assert picture(pilot.app).splitlines()[1].strip("▌ ") == said


async def test_each_tool_has_a_line() -> None:
    """Kind, size and name on the left, its use on the right; the first is marked."""
    async with running(SessionOfAnEvening(), size=(80, 14)) as pilot:
        await press(pilot, "t")
        lines = [" ".join(line.split()) for line in picture(pilot.app).splitlines()]
        assert [line for line in lines if " ".join(line.split()[-2:]) in USES] == [
            f"{MARK} twist drill 0.65 0.65 mm twist drill",
            "bur 1.90 1.9 mm hart bur 44 seats cut",
            "measuring caliper checked 3 January 2026",
        ]


async def test_an_empty_line_puts_nothing_in() -> None:
    """Enter on it, or on blanks, puts the line away; how to type one is said while it is asked."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        for blanks in ((), ("space", "space")):
            await press(pilot, "t", "a")
            assert "Kind and size, then Enter, such as: bur 1.9 hart" in picture(pilot.app)
            await press(pilot, *blanks, "enter")
            assert not pilot.app.screen.query_one("#tool", Input).has_class("asked")
    assert [c for c in session.calls if c.startswith("put in")] == []


async def test_the_line_begins_empty_after_a_tool_was_offered_for_change() -> None:
    """What is put in then is a new tool, and the one marked stays as it is."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "t", "enter", "escape", "a")
        assert pilot.app.screen.query_one("#tool", Input).value == ""
        await press(pilot, *"pin 2", "enter")
    assert session.calls[-1] == "put in pin 2"


async def test_the_last_change_is_taken_back() -> None:
    """The key u does it, and what was taken back is said."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "t", "d", "u")
        assert on(pilot, DrawerScreen)
        assert "Taken back: " in picture(pilot.app)


async def test_the_mark_goes_to_what_came_in() -> None:
    """Wherever the order puts it; without anything new the mark stays on its tool."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "t", "down")
        screen = pilot.app.screen
        assert isinstance(screen, DrawerScreen)
        new = DrawerRow("new", "twist drill", "0.5 mm twist drill", "0.50", "", "twist drill 0.5")
        screen.show_tools(DrawerScreen.Loaded((new, *screen.rows)))
        assert screen.query_one(PickList).marked == 0
        screen.action_move(2)
        screen.show_tools(DrawerScreen.Loaded(screen.rows[1:]))
        assert screen.rows[screen.query_one(PickList).marked].kind == "bur"


async def test_a_wide_window_shows_what_the_tool_marked_is_for_and_its_checks() -> None:
    """Sizes and the last with it for what cuts; for what measures a line a check."""
    async with running(SessionOfAnEvening(), size=(120, 40)) as pilot:
        await press(pilot, "t", "down")
        seen = picture(pilot.app)
        assert "Sizes take it as the seat bur at" in seen
        assert "2025-12-26  2.0 mm in brass  × tilted," in seen
        await press(pilot, "down")
        seen = picture(pilot.app)
        assert "• 2026-01-03    2 mm  +0.010 mm, 5 readings" in seen
        assert "2025-05-04  1.5 mm  as it is, 1 reading" in seen


async def test_the_tool_marked_stands_under_the_list_where_that_leaves_room() -> None:
    """Eight lines and more; a longer list keeps them."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "t", "down")
        assert "Sizes take it as the seat bur at" in picture(pilot.app)
    async with running(SessionOfAnEvening(), size=(80, 14)) as pilot:
        await press(pilot, "t", "down")
        assert "Sizes take it" not in picture(pilot.app)
