"""The first start: a name, a course and a few tools, or at once."""

from tests.tui import bench
from tests.tui.driving import on, press, running
from tests.tui.fakes import SessionOfAnEvening

from platebook.tui.now.screen import NowScreen
from platebook.tui.people_screens import FirstRunScreen


async def test_the_first_start_asks_name_course_and_tools() -> None:
    """Each question has something that stands; the answers go to the service."""
    session = SessionOfAnEvening(new=True, setter="")
    async with running(session) as pilot:
        assert on(pilot, FirstRunScreen)
        await press(pilot, *"Edda", "enter", "2", "enter", "4", "enter")
        assert on(pilot, NowScreen)
    ((name, course, tools),) = session.begun
    assert (name, course) == ("Edda", "large-to-small")
    assert list(tools) == list(bench.SOME_TOOLS[:3])


async def test_the_first_start_can_be_skipped() -> None:
    """Esc takes what stands and goes to Now."""
    session = SessionOfAnEvening(new=True, setter="")
    async with running(session) as pilot:
        await press(pilot, "escape")
        assert on(pilot, NowScreen)
    ((name, course, _),) = session.begun
    assert (name, course) == ("", "small-to-large")
