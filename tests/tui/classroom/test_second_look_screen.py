"""A second look in the app: one or two keys a position, the first verdict told afterwards."""

from tests.tui.driving import on, press, running, until
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture

from platebook.tui.now.screen import NowScreen


async def test_positions_are_judged_again_and_the_first_verdict_told_then() -> None:
    """A digit and how bad; the next position stands there, and Esc goes back to Now."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "j")
        assert "The first time" not in picture(pilot.app)
        await press(pilot, "2", "9", "2")
        await until(pilot, lambda: "Now: high. The first time: good." in picture(pilot.app))
        await press(pilot, "0")
        await until(pilot, lambda: "come back the day after" in picture(pilot.app))
        await press(pilot, "escape")
        assert on(pilot, NowScreen)
    assert session.looked == [("g1", "high", "2"), ("g2", "good", "")]


async def test_what_was_done_elsewhere_is_not_taken_back_here() -> None:
    """U is offered once something was judged again, and takes back as many as were."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "j")
        assert "u undo" not in picture(pilot.app)
        await press(pilot, "u")
        assert "Nothing was judged again here yet." in picture(pilot.app)
        assert "undo" not in session.calls
        await press(pilot, "0")
        await until(pilot, lambda: "u undo" in picture(pilot.app))
        await press(pilot, "u", "u")
        await until(pilot, lambda: "u undo" not in picture(pilot.app))
    assert session.calls.count("undo") == 1


async def test_a_digit_is_taken_back_before_it_is_weighed() -> None:
    """By Esc or by going to another row."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "j", "2", "escape", "4", "down", "0")
        await until(pilot, lambda: bool(session.looked))
    assert session.looked == [("g2", "good", "")]
