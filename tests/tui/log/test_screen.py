"""The log's own tools: ticks, orders, writing out, and one look at a time."""

import threading
from typing import Any

from tests.patience import PATIENCE
from tests.tui import bench, class_values
from tests.tui.driving import on, press, running, until
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture
from textual.widgets import Input

from platebook.services.attempts.log import LogPage
from platebook.tui.log.marked_row import HERE, MarkedRow
from platebook.tui.log.received_screen import ReceivedScreen
from platebook.tui.log.screen import LogScreen
from platebook.tui.log.table import LogTable
from platebook.tui.parts.plate_grid import PlateGrid
from platebook.values import replace


async def test_ticked_rows_are_hidden_together() -> None:
    """Space ticks with a sign and goes on; d hides what is ticked, and the ticks are gone."""
    async with running(SessionOfAnEvening(rows=bench.log_rows(4))) as pilot:
        await press(pilot, "l", "space", "space")
        assert "2 ticked" in picture(pilot.app)
        table = pilot.app.screen.query_one(LogTable)
        assert [line[1] for line in picture(pilot.app).splitlines()[5:9]] == ["*", "*", " ", " "]
        await press(pilot, "d")
        assert "Hidden: a0, a1." in picture(pilot.app)
        assert table.ticked == {}


async def test_a_tick_is_taken_away_again() -> None:
    """By a second tick, or all of them by Esc."""
    async with running(SessionOfAnEvening(rows=bench.log_rows(3))) as pilot:
        await press(pilot, "l", "space", "up", "space")
        assert pilot.app.screen.query_one(LogTable).ticked == {}
        await press(pilot, "space", "escape")
        assert "ticked" not in picture(pilot.app)


async def test_the_order_goes_round() -> None:
    """By time, by stone, by grade, and the headline says which."""
    session = SessionOfAnEvening(rows=bench.log_rows(3))
    async with running(session) as pilot:
        await press(pilot, "l")
        for told in ("largest stone first", "by grade, newest first", "newest first"):
            expected = f"attempts, {told}"
            await press(pilot, "o")
            await until(pilot, lambda: expected in picture(pilot.app))  # noqa: B023 - awaited here
    assert [c for c in session.calls if c.startswith("log")] == [
        "log  time",
        "log  stone",
        "log  grade",
        "log  time",
    ]


async def test_what_is_shown_or_ticked_is_written_to_a_file() -> None:
    """The name is asked for with one to begin from; Esc leaves it be."""
    async with running(SessionOfAnEvening(rows=bench.log_rows(40))) as pilot:
        await press(pilot, "l", "slash", *"tilted", "enter", "w")
        assert pilot.app.screen.query_one("#file", Input).value == "attempts-2026-03-04.csv"
        assert "Enter writes all that are shown to this file, Esc leaves" in picture(pilot.app)
        await press(pilot, "enter")
        await until(pilot, lambda: "attempts-2026-03-04.csv: 'tilted'" in picture(pilot.app))
        await press(pilot, "space", "w")
        assert "Enter writes the 1 ticked to this file" in picture(pilot.app)
        await press(pilot, "escape")
        assert not pilot.app.screen.query_one("#file", Input).has_class("asked")


class _SlowLog(SessionOfAnEvening):
    """A log in which every look waits until it is let go."""

    def __init__(self, **values: Any) -> None:
        super().__init__(**values)
        self.let_go = threading.Event()

    def _log_page(self, **asked: Any) -> LogPage:
        page = super()._log_page(**asked)
        self.let_go.wait(PATIENCE)
        return page


async def test_words_typed_during_a_long_look_are_looked_for_once() -> None:
    """Five letters in a slow log are one more look, for all of them, not five."""
    session = _SlowLog(rows=bench.log_rows(40))
    async with running(session) as pilot:
        pilot.app.action_show("log")  # type: ignore[attr-defined]
        await until(pilot, lambda: "Looking through the log" in picture(pilot.app))
        for key in ("slash", *"tilted"):
            await pilot.press(key)
        session.let_go.set()
        await until(pilot, lambda: "tilted" in session.calls[-1])
        await until(pilot, lambda: "Looking" not in picture(pilot.app))
        rows = pilot.app.screen.query_one(LogTable).rows
        assert {row.result for row in rows} == {("tilted",)}
    assert [c for c in session.calls if c.startswith("log")] == ["log  time", "log tilted time"]


async def test_the_log_filters_as_words_are_typed() -> None:
    """Only rows with the words stay; Esc shows all again."""
    async with running(SessionOfAnEvening(rows=bench.log_rows(40))) as pilot:
        await press(pilot, "l", "slash", *"tilted")
        table = pilot.app.screen.query_one(LogTable)
        assert {row.result for row in table.rows} == {("tilted",)}
        await press(pilot, "escape")
        assert (pilot.app.screen.query_one(Input).value, len(table.rows)) == ("", 40)


async def test_the_log_reads_on_near_its_end() -> None:
    """A long log opens with one page and reads the next one when the mark comes near."""
    async with running(SessionOfAnEvening(rows=bench.log_rows(450))) as pilot:
        await press(pilot, "l")
        table = pilot.app.screen.query_one(LogTable)
        assert len(table.rows) == 200
        await press(pilot, "end")
        await until(pilot, lambda: len(table.rows) == 400)
        assert "450 attempts" in picture(pilot.app)
        assert table.marked == 199


async def test_the_log_hides_and_shows_history() -> None:
    """Hide says what it did; history opens in a window."""
    async with running(SessionOfAnEvening(rows=bench.log_rows(3))) as pilot:
        await press(pilot, "l", "down", "d")
        assert "Hidden: a1." in picture(pilot.app)
        await press(pilot, "h")
        assert "good became tilted" in picture(pilot.app)
        await press(pilot, "escape")
        assert on(pilot, LogScreen)


async def test_an_empty_log_says_what_to_do() -> None:
    """No rows, and where to go."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "l", "a", "d", "h", "down")
        assert "Nothing is logged yet" in picture(pilot.app)


async def test_what_others_saw_is_opened_by_the_key_that_now_names_and_is_read_then() -> None:
    """The line on Now goes; v shows one attempt's looks, and amending it says that there are."""
    rows = tuple(
        replace(row, looked="new" if n == 0 else "") for n, row in enumerate(bench.log_rows(4))
    )
    session = SessionOfAnEvening(
        rows=rows, received=class_values.some_received(), news=class_values.NEWS
    )
    async with running(session) as pilot:
        await until(pilot, lambda: "l opens them" in picture(pilot.app))
        await press(pilot, "l")
        await until(pilot, lambda: on(pilot, ReceivedScreen))
        seen = picture(pilot.app)
        assert "yours: good" in seen
        assert "theirs: tilted, clearly" in seen
        assert "Level it before the first pass" in seen
        assert "Bring a x10 loupe." in seen
        await press(pilot, "escape")
        assert "◆ looked at and new, ◇ read" in picture(pilot.app)
        await press(pilot, "v")
        await until(pilot, lambda: on(pilot, ReceivedScreen))
        assert "Bring a x10 loupe." not in picture(pilot.app)
        await press(pilot, "escape", "a")
        await until(pilot, lambda: "Somebody else looked at this one" in picture(pilot.app))
        await press(pilot, "escape", "escape", "n")
        await until(pilot, lambda: "l opens them" not in picture(pilot.app))


async def test_the_row_marked_stands_beside_the_list_where_there_is_room() -> None:
    """In full, with its plate, whose sign goes with the mark; in a usual window it is a line."""
    async with running(SessionOfAnEvening(rows=bench.log_rows(12)), size=(120, 40)) as pilot:
        await press(pilot, "l")
        await until(pilot, lambda: "Plate C" in picture(pilot.app))
        beside = pilot.app.screen.query_one(MarkedRow)
        grid = beside.query_one(PlateGrid)
        assert grid.marks == {"10": HERE}
        assert "whole setting · 2.0 copper" in picture(pilot.app)
        await press(pilot, "down", "down", "down")
        assert grid.marks == {"7": HERE}
        assert "× loose, setting lost + gap, slight" in picture(pilot.app)
        assert "chatter at the end" in picture(pilot.app)
    async with running(SessionOfAnEvening(rows=bench.log_rows(2))) as pilot:
        await press(pilot, "l")
        assert "whole setting · plate C, position 10" in picture(pilot.app)
        assert "Plate C" not in picture(pilot.app)
