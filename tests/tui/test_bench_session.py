"""The session at the bench: it waits until it is open, calls use cases, and changes hands."""

import threading
from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, ada_at
from tests.tui.driving import until
from textual.app import App

from platebook.services.people.at_the_bench import seat_new
from platebook.services.people.setters import list_setters
from platebook.services.session import LogbookUnusable, Session
from platebook.tui.bench_session import BenchSession


def greeting(session: Session, word: str, *, sign: str = ".") -> str:
    """A use case that says whom it was called for."""
    return f"{word}, {session.setter_name}{sign}"


def test_nobody_is_at_the_bench_until_the_session_is_open(tmp_path: Path) -> None:
    """Then a use case is called with the session in front of what the screen hands it."""
    session = BenchSession(lambda: ada_at(tmp_path))
    assert session.setter == ""
    session.open()
    assert session.setter == ADA
    assert session.call(greeting, "Good evening", sign="!") == f"Good evening, {ADA}!"


def test_whoever_sits_down_is_called_for_from_then_on(tmp_path: Path) -> None:
    """The window's drafts stay its own."""
    session = BenchSession(lambda: ada_at(tmp_path))
    session.open()
    drafts = session.drafts()
    session.sit_down(seat_new, BRAM)
    assert (session.setter, session.call(greeting, "Welcome")) == (BRAM, f"Welcome, {BRAM}.")
    assert [person.in_use for person in session.call(list_setters)] == [False, True]
    assert session.drafts() is drafts


def test_an_error_met_at_opening_is_raised_by_every_call(tmp_path: Path) -> None:
    """Until the session is opened after all."""
    errors = [LogbookUnusable("The file is damaged.", "damaged")]

    def make_session() -> Session:
        if errors:
            raise errors[0]
        return ada_at(tmp_path)

    session = BenchSession(make_session)
    with pytest.raises(LogbookUnusable):
        session.open()
    with pytest.raises(LogbookUnusable):
        session.call(greeting, "Anyone")
    errors.clear()
    session.open()
    assert session.call(greeting, "Hello") == f"Hello, {ADA}."


async def test_a_call_made_before_the_session_is_open_waits_for_it(tmp_path: Path) -> None:
    """Keys typed ahead of the first paint are answered when it is there."""
    session = BenchSession(lambda: ada_at(tmp_path))
    app: App[None] = App()
    async with app.run_test():
        waiting = app.run_worker(lambda: session.call(greeting, "At last"), thread=True)
        session.open()
        assert await waiting.wait() == f"At last, {ADA}."


async def test_a_call_that_is_not_wanted_any_more_waits_no_longer() -> None:
    """Leaving the app does not hang on a session that never opens."""
    asked = threading.Event()
    session = BenchSession(lambda: pytest.fail("nobody opens it"))
    ended: list[str] = []

    def ask() -> None:
        asked.set()
        with pytest.raises(RuntimeError, match="the app was left") as left:
            session.call(greeting, "Anyone")
        ended.append(str(left.value))

    app: App[None] = App()
    async with app.run_test() as pilot:
        asking = app.run_worker(ask, thread=True)
        await until(pilot, asked.is_set)
        asking.cancel()
        await until(pilot, lambda: bool(ended))
