"""Course, Drawer and who is at the bench: what is asked of the session, then what is seen."""

from tests.tui.driving import on, press, running, until
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture
from textual.widgets import Input

from platebook.services.session import Refused
from platebook.tui.drawer_screen import DrawerScreen
from platebook.tui.grades.course_screen import CourseScreen
from platebook.tui.now.screen import NowScreen


async def test_the_course_opens_at_the_grade_worked_at() -> None:
    """Its details stand beside it; down goes on through the exercises."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "c")
        assert on(pilot, CourseScreen)
        assert "9 of 17 good so far." in picture(pilot.app)
        await press(pilot, "down", "down", "down", "down", "down")
        assert "In rows of 5; 4 good ones pass." in " ".join(picture(pilot.app).split())


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


async def test_someone_else_sits_down() -> None:
    """The title names them, and the screen asks for what is theirs."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "b", "down", "enter")
        await until(pilot, lambda: "Bram Osk" in picture(pilot.app).splitlines()[0])
        assert on(pilot, NowScreen)


async def test_a_person_is_added_where_people_are_chosen() -> None:
    """The key a asks for a name, and they sit down; Esc leaves it as it is."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "b", "escape")
        assert session.setter == "Ottoline Marsh"
        await press(pilot, "b", "a", *"Wren", "enter")
        await until(pilot, lambda: session.setter == "Wren")


async def test_an_unfinished_attempt_keeps_its_setter_at_the_bench() -> None:
    """It is finished or dropped first."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "enter", "3", "escape", "escape", "b")
        assert on(pilot, NowScreen)
        assert "An attempt was left unfinished" in picture(pilot.app)
