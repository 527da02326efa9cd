"""What the class shares: shown with whom it holds for, and left at any time."""

from tests.tui.driving import on, press, running, until
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture

from platebook.tui.classroom.screen import ClassScreen
from platebook.tui.classroom.shared_screen import SharedScreen


async def test_what_all_share_is_told_with_whom_it_holds_for() -> None:
    """Then what is one setter's own; Esc goes back to the class."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "k", "a")
        assert on(pilot, SharedScreen)
        seen = " ".join(picture(pilot.app).split())
        assert "2 setters, 75 attempts judged, 24 failed." in seen
        assert "well supported: 54 more in 100 (may be 27 to 75)" in seen
        assert "2 of 2 setters point the same way." in seen
        assert "Bram Osk Marred metal went with no lubricant" in seen
        await press(pilot, "escape")
        assert on(pilot, ClassScreen)


async def test_escape_stops_what_all_share_and_goes_back() -> None:
    """Nothing of it comes in later."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "k")
        session.long = True
        await pilot.press("a")
        await until(pilot, lambda: "7 of 30" in picture(pilot.app))
        await pilot.press("escape")
        await until(pilot, lambda: "stopped" in session.calls and on(pilot, ClassScreen))


async def test_all_attempts_are_asked_by_the_key_of_the_findings_screen() -> None:
    """`a` asks of everything and says so, and once more of the latest again."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "k", "a")
        await press(pilot, "a")
        assert "All attempts. 2 setters" in " ".join(picture(pilot.app).split())
        await press(pilot, "a")
        assert "All attempts." not in picture(pilot.app)
    asked = [call for call in session.calls if call.startswith("class findings")]
    assert asked == ["class findings", "class findings all", "class findings"]
