"""A class made in the app: typed, pasted, from a file; who may be two people is asked."""

from pathlib import Path

from tests.services.bench import ADA, BRAM, new_session
from tests.tui.driving import on, press, running, settled
from tests.tui.pictures import picture
from textual import events

from platebook.services.classes.enrolment import list_classes
from platebook.services.people.setters import add_setter, list_setters
from platebook.services.people.teachers import begin_teaching
from platebook.services.session import Session
from platebook.tui.bench_session import BenchSession
from platebook.tui.classroom.new_class_screen import NewClassScreen
from platebook.tui.classroom.screen import ClassScreen


def a_teacher(folder: Path) -> tuple[Session, BenchSession]:
    """Isolde's logbook with Ada in it, and her window on it."""
    session = begin_teaching(new_session(folder), name="Isolde Crane")
    add_setter(session, ADA)
    return session, BenchSession(lambda: session)


async def test_a_class_is_made_from_names_with_commas(tmp_path: Path) -> None:
    """The class is in view then, and what was done is said."""
    session, bench = a_teacher(tmp_path)
    async with running(bench) as pilot:
        await press(pilot, "m", *"Thursday", "enter", *"2026-01-08", "enter", "enter")
        await press(pilot, *f"{ADA}, {BRAM}", "enter")
        assert on(pilot, ClassScreen)
        shown = picture(pilot.app)
        assert "Thursday: from 8 January 2026; 2 people, 1 of them new." in shown
    (listed,) = list_classes(session)
    assert (listed.term.name, listed.members) == ("Thursday", 2)


async def test_names_pasted_over_several_lines_are_the_list(tmp_path: Path) -> None:
    """Whichever line is being typed; a name one letter off is asked about."""
    session, bench = a_teacher(tmp_path)
    async with running(bench) as pilot:
        await press(pilot, "m", *"Thursday")
        pilot.app.screen.post_message(events.Paste("Ada Quil\nBram Osk\nCleo Vane\n"))
        await settled(pilot)
        assert "3 names: Ada Quil, Bram Osk, Cleo Vane" in picture(pilot.app)
        await press(pilot, "enter", "enter", "enter", "enter")
        assert on(pilot, NewClassScreen)
        shown = picture(pilot.app)
        assert "Ada Quil: who is this? (1 to ask)" in shown
        assert "1 Ada Quill (0 attempts)" in shown
        assert "0 somebody new" in shown
        await press(pilot, "1")
        assert on(pilot, ClassScreen)
    assert {p.setter.name for p in list_setters(session)} == {ADA, BRAM, "Cleo Vane"}
    assert {p.classes for p in list_setters(session)} == {("Thursday",)}


async def test_what_cannot_be_is_said_and_nothing_is_made(tmp_path: Path) -> None:
    """A day that is none, a class without a name, a file that is not there; Esc leaves."""
    session, bench = a_teacher(tmp_path)
    async with running(bench) as pilot:
        await press(pilot, "m", *"Thursday", "enter", *"soon", "enter", "enter", "enter")
        assert "first day: read 'soon'" in picture(pilot.app)
        await press(pilot, *"list.csv", "enter")
        assert "No such file" in picture(pilot.app)
        await press(pilot, "escape")
        assert on(pilot, ClassScreen)
    assert list_classes(session) == ()
