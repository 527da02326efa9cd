"""The first start, and who is at the bench: what the session is asked, then what is seen."""

from pathlib import Path

from tests.tui import bench
from tests.tui.driving import on, press, running, until
from tests.tui.evening_app import SessionOnDisk
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture

from platebook.tui.now.screen import NowScreen
from platebook.tui.people_screens import FirstRunScreen, SettersScreen


async def test_the_first_start_asks_name_seats_course_and_tools() -> None:
    """Each question has something that stands; the answers go to the service."""
    session = SessionOfAnEvening(new=True, setter="")
    async with running(session) as pilot:
        assert on(pilot, FirstRunScreen)
        await press(pilot, *"Edda", "enter", "2", "enter", "2", "enter", "4", "enter")
        assert on(pilot, NowScreen)
    ((name, seats, course, tools),) = session.begun
    assert (name, seats, course) == ("Edda", "own", "large-to-small")
    assert list(tools) == list(bench.SOME_TOOLS[:3])


async def test_the_first_start_can_be_skipped() -> None:
    """Esc takes what stands and goes to Now."""
    session = SessionOfAnEvening(new=True, setter="")
    async with running(session) as pilot:
        await press(pilot, "escape")
        assert on(pilot, NowScreen)
    ((name, seats, course, _),) = session.begun
    assert (name, seats, course) == ("", None, "small-to-large")


async def test_who_prepares_seats_is_said_where_people_are_chosen() -> None:
    """The key s turns it over, says so, and Now is worked out anew when that is left."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "b", "s")
        assert "nobody prepares seats" in picture(pilot.app)
        looked = session.calls.count("now")
        await press(pilot, "escape")
        assert session.calls.count("now") == looked + 1


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


async def test_an_unfinished_attempt_waits_for_who_began_it(tmp_path: Path) -> None:
    """Somebody else sits down at once, and is told; its owner finds it there again."""
    session = SessionOnDisk(tmp_path)
    async with running(session) as pilot:
        await press(pilot, "enter", "3", "escape", "escape", "b")
        assert on(pilot, SettersScreen)
        await press(pilot, "down", "enter")
        kept = "The attempt of Ottoline Marsh is kept: it waits until they sit down again."
        await until(pilot, lambda: kept in " ".join(picture(pilot.app).split()))
        assert "left unfinished" not in picture(pilot.app)
        await press(pilot, "b", "up", "enter")
        await until(pilot, lambda: "An attempt was left unfinished" in picture(pilot.app))
        await press(pilot, "enter")
        assert "enters tilted" in picture(pilot.app)
