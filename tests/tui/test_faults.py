"""A fault of the program: one plain sentence, a log without values, and the draft kept."""

from pathlib import Path

import pytest
from tests.tui.bench import a_view
from tests.tui.driving import press, settled
from tests.tui.fakes import SessionOfAnEvening
from textual.css.query import NoMatches

from platebook.tui.app import BenchApp
from platebook.tui.entry.screen import AttemptScreen
from platebook.tui.pages import page_at

PRIVATE = "what nobody else should read"


class FaultForATest(Exception):  # noqa: N818 - stands for any fault
    """A fault that carries what was typed."""


async def test_a_fault_keeps_the_draft_and_logs_no_values(tmp_path: Path) -> None:
    """The log names the kind of fault and the lines, never what was typed."""
    session = SessionOfAnEvening(view=a_view(readings_asked=False))
    app = BenchApp(session, log_file=tmp_path / "logs" / "platebook.log")

    def fails() -> None:
        raise FaultForATest(PRIVATE)

    async def typing_a_note() -> None:
        async with app.run_test() as pilot:
            await settled(pilot)
            await press(pilot, "enter", "4", "2", "7", "6", *"burr")
            assert isinstance(app.screen, AttemptScreen)
            app.screen.call_later(fails)
            await pilot.pause()

    with pytest.raises(FaultForATest):
        await typing_a_note()
    kept = session.keeper.draft()
    assert kept is not None
    assert kept["typed"] == "burr"
    log = (tmp_path / "logs" / "platebook.log").read_text(encoding="utf-8")
    assert "FaultForATest" in log
    assert "test_faults.py" in log
    assert PRIVATE not in log
    assert "burr" not in log


async def test_a_fault_of_a_service_is_logged_and_said(tmp_path: Path) -> None:
    """A service that breaks does not end the app."""
    session = SessionOfAnEvening(fault=FaultForATest(PRIVATE))
    log_file = tmp_path / "platebook.log"
    app = BenchApp(session, log_file=log_file)
    async with app.run_test() as pilot:
        await settled(pilot)
        assert app.is_running
        session.fault = None
        await press(pilot, "enter")
        assert app.now.view is not None
    assert "FaultForATest" in log_file.read_text(encoding="utf-8")
    assert PRIVATE not in log_file.read_text(encoding="utf-8")


@pytest.mark.parametrize("place", ["log", "findings", "drawer"])
@pytest.mark.parametrize("leaves", ["before", "after", "without a word"])
async def test_a_page_that_opens_while_the_app_ends_is_no_fault(place: str, leaves: str) -> None:
    """Nothing of it is laid out any more, whichever came first; the app ends as it was asked to."""
    session = SessionOfAnEvening(view=a_view())
    app = BenchApp(session)
    async with app.run_test() as pilot:
        await settled(pilot)
        if leaves == "before":
            app.exit()
        app.push_screen(page_at(place, session, app.settings.now))
        if leaves == "after":
            app.exit()
    assert app.return_code == (None if leaves == "without a word" else 0)


async def test_what_is_not_found_while_the_app_runs_ends_it() -> None:
    """It is a fault like any other, though the same may be met while the app ends."""
    app = BenchApp(SessionOfAnEvening(view=a_view()))

    async def looking() -> None:
        async with app.run_test() as pilot:
            await settled(pilot)
            app.call_later(app.query_one, "#nowhere")
            await pilot.pause()

    with pytest.raises(NoMatches):
        await looking()
    assert app.return_code == 1
