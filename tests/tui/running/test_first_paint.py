"""The first sight of Now: the same words as last time, and none where anything has changed."""

import json
import os
from datetime import date
from pathlib import Path

import pytest
from tests.tui import bench
from tests.tui.driving import on, press, settled, until
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture
from textual.content import Content

from platebook.logbook.file.place import first_sight_file
from platebook.tui.app import LEAVES_THEN, BenchApp
from platebook.tui.log.screen import LogScreen
from platebook.tui.now.screen import OPENING, NowScreen
from platebook.tui.now.words import EITHER
from platebook.tui.parts.widgets import KeyLine, TitleLine, Words
from platebook.tui.running.first_paint import FirstSight, Sight

WORDS = Content.assemble(("seat bur", "bold $accent"), " [/x] 1.9 \N{RIGHT-TO-LEFT MARK}")
SIGHT = Sight("Ottoline Marsh", invented=True, parts={"exercise": WORDS})


class Evening:
    """A logbook's file and a day that can change."""

    def __init__(self, folder: Path) -> None:
        self.logbook = folder / "logbook.sqlite"
        self.logbook.write_bytes(b"as it was")
        self.day = date(2026, 3, 4)
        self.sight = FirstSight(self.logbook, lambda: self.day)

    def keep(self) -> None:
        """Keep a sight of the logbook as it is."""
        self.sight.keep(SIGHT, self.sight.mark())


@pytest.fixture
def evening(tmp_path: Path) -> Evening:
    """An evening whose Now was looked at."""
    made = Evening(tmp_path)
    made.keep()
    return made


def test_words_come_back_with_their_styles(evening: Evening) -> None:
    """Letters, styles, who and whether they are invented."""
    last = evening.sight.last()
    assert last is not None
    assert (last.who, last.invented) == ("Ottoline Marsh", True)
    exercise = last.parts["exercise"]
    assert (exercise.plain, exercise.spans) == (WORDS.plain, WORDS.spans)


def _written_to(evening: Evening) -> None:
    evening.logbook.write_bytes(b"as it is")
    os.utime(evening.logbook, ns=(1, 1))


def _another_window(evening: Evening) -> None:
    evening.logbook.with_name("logbook.sqlite-wal").write_bytes(b"a change")


def _another_day(evening: Evening) -> None:
    evening.day = date(2026, 3, 5)


def _gone(evening: Evening) -> None:
    evening.logbook.unlink()


def _torn(evening: Evening) -> None:
    file = first_sight_file(evening.logbook)
    file.write_bytes(file.read_bytes()[:-9])


def _of_another_shape(evening: Evening) -> None:
    file = first_sight_file(evening.logbook)
    kept = json.loads(file.read_text(encoding="utf-8"))
    file.write_text(json.dumps({**kept, "parts": {"exercise": ["x", "y"]}}), encoding="utf-8")


@pytest.mark.parametrize(
    "change", [_written_to, _another_window, _another_day, _gone, _torn, _of_another_shape]
)
def test_nothing_is_shown_where_anything_changed(evening: Evening, change: object) -> None:
    """Neither yesterday's words, nor those of another state of the logbook."""
    assert callable(change)
    change(evening)
    assert evening.sight.last() is None


def test_a_change_while_the_services_worked_is_not_passed_over(evening: Evening) -> None:
    """The mark is older than the answer: what was written meanwhile does not count as seen."""
    mark = evening.sight.mark()
    _written_to(evening)
    evening.sight.keep(SIGHT, mark)
    assert evening.sight.last() is None


async def test_the_next_start_shows_the_same_words_before_the_session_opens(
    tmp_path: Path,
) -> None:
    """Now as it was left, and a key waits for the answer; what Enter does is not promised."""
    evening = Evening(tmp_path)
    first = BenchApp(SessionOfAnEvening(), sight=evening.sight)
    async with first.run_test() as pilot:
        await pilot.app.workers.wait_for_complete()
        await pilot.pause()
        shown = {w.id: str(w.render()) for w in first.now.query(Words) if w.id != "told"}
    again = BenchApp(SessionOfAnEvening(), sight=evening.sight)
    again.session_asked_for = True  # It stays shut.
    async with again.run_test() as pilot:
        await pilot.pause()
        words = {w.id: str(w.render()) for w in again.now.query(Words) if w.id != "told"}
        exercise = " ".join(words.pop("exercise").split())
        assert exercise.endswith(EITHER)
        assert " ".join(shown.pop("exercise").split()).startswith(exercise.removesuffix(EITHER))
        assert words == shown
        assert again.now.query_one(KeyLine).commands[0].label == "start or go on"
        assert again.now.query_one(TitleLine).who == "Ottoline Marsh"
        assert str(again.now.query_one("#told", Words).render()) == OPENING
        await pilot.press("enter")
        assert (again.screen, again.now.wanted) == (again.now, [""])


async def test_what_is_typed_before_the_first_start_stands_there_answers_it(
    tmp_path: Path,
) -> None:
    """Letters are a name and not commands; Enter and digits are its next answers, in order."""
    session = SessionOfAnEvening(new=True, setter="")
    app = BenchApp(session, sight=FirstSight(tmp_path / "logbook.sqlite"))
    app.session_asked_for = True  # It stays shut until these keys are typed.
    async with app.run_test() as pilot:
        await pilot.press(*"Wrenl", "backspace", "enter", "2", "enter", "2")
        assert app.screen is app.now
        app.open_session()
        await settled(pilot)
        await press(pilot, "enter", "4", "enter")
        assert on(pilot, NowScreen)
    ((name, seats, course, tools),) = session.begun
    assert (name, seats, course) == ("Wren", "own", "large-to-small")
    assert list(tools) == [bench.SOME_TOOLS[3]]


@pytest.mark.parametrize("new", [True, False])
async def test_ctrl_q_typed_before_the_first_screen_stands_there_leaves(
    tmp_path: Path,
    new: bool,  # noqa: FBT001 - a parameter of the test
) -> None:
    """Once what was typed ahead of it has been taken, and nobody has to press it again."""
    session = SessionOfAnEvening(new=new, setter="" if new else "Ottoline Marsh")
    app = BenchApp(session, sight=FirstSight(tmp_path / "logbook.sqlite"))
    app.session_asked_for = True
    async with app.run_test() as pilot:
        await pilot.press(*"fr", "ctrl+q")
        assert LEAVES_THEN in " ".join(picture(app).split())
        app.open_session()
        await until(pilot, lambda: not app.is_running)
    assert app.return_code == 0


async def test_without_a_first_start_what_was_typed_means_what_it_says(tmp_path: Path) -> None:
    """A logbook whose Now was never shown: l is the log, as it is a moment later."""
    app = BenchApp(SessionOfAnEvening(), sight=FirstSight(tmp_path / "logbook.sqlite"))
    app.session_asked_for = True
    async with app.run_test() as pilot:
        await pilot.press("l")
        assert app.screen is app.now
        app.open_session()
        await settled(pilot)
        assert on(pilot, LogScreen)
        await press(pilot, "n")
        assert on(pilot, NowScreen)
