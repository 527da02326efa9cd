"""A sheet brought in through the app: asked, shown what is new, taken back with one key."""

from collections.abc import Callable
from pathlib import Path

import pytest
from tests.services.bench import ada_at, new_session
from tests.simulated import kept_sheets
from tests.tui.driving import on, press, running, settled, until
from tests.tui.pictures import SIZES, assert_same_picture, picture
from textual import events

from platebook.services.attempts.log import attempts_of
from platebook.services.session import Session
from platebook.tui.bench_session import BenchSession
from platebook.tui.log.screen import LogScreen
from platebook.tui.sharing.sheet_screen import SheetScreen


def at(session: Session) -> BenchSession:
    """The app's session on this logbook."""
    return BenchSession(lambda: session)


def shows(pilot: object, words: str) -> Callable[[], bool]:
    """Whether these words stand on the screen."""
    return lambda: words in picture(pilot.app)  # type: ignore[attr-defined]


async def test_a_sheet_comes_in_from_the_log(tmp_path: Path) -> None:
    """Its name, three answers, Enter; then it is in the log, and u takes it back."""
    session = ada_at(tmp_path)
    async with running(at(session)) as pilot:
        await press(pilot, "l", "i")
        await until(pilot, lambda: on(pilot, SheetScreen))
        await press(pilot, *str(kept_sheets.GERMAN), "enter")
        await until(pilot, shows(pilot, "What is the column 'Musik'?"))
        await press(pilot, "1")
        await until(pilot, shows(pilot, "Metall: 'Silber'"))
        await press(pilot, "1", "enter")
        await until(pilot, shows(pilot, "'klappert'"))
        await press(pilot, "2", "enter")
        await until(pilot, shows(pilot, "240 new"))
        assert attempts_of(session) == ()
        await press(pilot, "enter")
        await until(pilot, lambda: on(pilot, LogScreen))
        await until(pilot, shows(pilot, "240 new; u takes it back"))
        assert len(attempts_of(session)) == 240
        await press(pilot, "u")
        await until(pilot, shows(pilot, "Taken back: import of 240 attempts"))


async def test_enter_twice_takes_a_sheet_in_once(tmp_path: Path) -> None:
    """Whoever is impatient has no row twice."""
    session = ada_at(tmp_path)
    sheet = tmp_path / "mine.csv"
    rows = (f"2026-02-03 18:{minute:02d},2.0,copper,good\n" for minute in range(20))
    sheet.write_text("began,stone_diameter_mm,metal,result\n" + "".join(rows), encoding="utf-8")
    async with running(at(session)) as pilot:
        await press(pilot, "l")
        pilot.app.screen.post_message(events.Paste(str(sheet)))
        await until(pilot, shows(pilot, "takes it in"))
        for _ in range(3):  # One after the other, before the first has done anything.
            pilot.app.screen.query_one("#typed").post_message(events.Key("enter", "\r"))
        await until(pilot, lambda: on(pilot, LogScreen))
        await settled(pilot)
    assert len(attempts_of(session)) == 20


async def test_a_pasted_name_opens_the_sheet_and_esc_leaves_it(tmp_path: Path) -> None:
    """Quoted as terminals quote a dragged file; nothing is stored."""
    session = ada_at(tmp_path)
    async with running(at(session)) as pilot:
        await press(pilot, "l")
        pilot.app.screen.post_message(events.Paste(f"'{kept_sheets.ENGLISH}'"))
        await until(pilot, shows(pilot, "How it came out"))
        await press(pilot, "escape")
        await until(pilot, lambda: on(pilot, LogScreen))
    assert attempts_of(session) == ()


@pytest.mark.parametrize("pasted", [True, False])
async def test_the_first_start_may_begin_with_a_sheet(tmp_path: Path, *, pasted: bool) -> None:
    """By key, or with the sheet's name where the person's is asked for."""
    session = new_session(tmp_path)
    async with running(at(session)) as pilot:
        await until(pilot, shows(pilot, "Who is at the bench?"))
        if pasted:
            await press(pilot, *str(kept_sheets.ENGLISH), "escape")
            await until(pilot, shows(pilot, "How it came out"))
        else:
            await press(pilot, "ctrl+o")
            await until(pilot, shows(pilot, "Which spreadsheet?"))


async def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    """And another one can be named."""
    async with running(at(ada_at(tmp_path))) as pilot:
        await press(pilot, "l", "i", *"/nowhere.csv", "enter")
        await until(pilot, shows(pilot, "No such file"))
        assert on(pilot, SheetScreen)


@pytest.mark.parametrize("size", SIZES)
async def test_pictures(tmp_path: Path, size: tuple[int, int]) -> None:
    """The first question over the columns, and what is new."""
    async with running(at(ada_at(tmp_path)), size=size) as pilot:
        await press(pilot, "l", "i", *str(kept_sheets.ENGLISH), "enter")
        await until(pilot, shows(pilot, "How it came out"))
        assert_same_picture(pilot.app, "sheet-question")
        await press(pilot, "1")
        await until(pilot, shows(pilot, "'meh'"))
        await press(pilot, "1", "enter")
        await until(pilot, shows(pilot, "420 new"))
        assert_same_picture(pilot.app, "sheet-preview")
