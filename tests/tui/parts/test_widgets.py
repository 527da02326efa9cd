"""Inputs that keep keys in order, tested with raw events: a pilot waits and would hide the fault.

The fault: printable keys go to the focused input's own queue, keys that are bindings go round by
the app (open upstream in Textual: issue 6605).
"""

from typing import Any

from tests.tui.driving import until
from textual import events
from textual.app import App, ComposeResult
from textual.keys import _character_to_key
from textual.widgets import Input

from platebook.tui.parts.text import MARK
from platebook.tui.parts.widgets import OrderedInput, PickList


class OneInputApp(App[None]):
    """A single ordered input."""

    def compose(self) -> ComposeResult:
        """The input."""
        yield OrderedInput()


def send(app: App[Any], text: str) -> None:
    """Keys as a terminal delivers them, all at once."""
    for sign in text:
        special = {"\r": "enter", "\b": "backspace"}
        key = special.get(sign) or _character_to_key(sign)
        app.post_message(events.Key(key, None if sign == "\b" else sign))


async def test_backspace_keeps_its_place_among_digits() -> None:
    """The keys "12.5", backspace, "4" give 12.4, whatever the speed."""
    app = OneInputApp()
    async with app.run_test() as pilot:
        send(app, "12.5\b4")
        await until(pilot, lambda: app.query_one(Input).value == "12.4")


class LongListApp(App[None]):
    """Twenty rows in eight lines, each row of one line."""

    def compose(self) -> ComposeResult:
        """The list."""
        yield PickList(tells_more=True)

    def on_mount(self) -> None:
        """Its rows."""
        self.query_one(PickList).rows = tuple((f"row {n}", "") for n in range(20))


async def test_a_list_says_how_many_rows_are_out_of_sight_and_never_hides_the_marked_one() -> None:
    """Rows that are shown and rows that are told of are all of them, wherever the mark is."""
    app = LongListApp()
    async with app.run_test(size=(30, 8)):
        picks = app.query_one(PickList)
        for marked in range(20):
            picks.marked = marked
            lines = [line.strip() for line in picks.render().plain.splitlines()]
            rows = [line for line in lines if "row" in line]
            hidden = [int(line.split()[1]) for line in lines if line.startswith("…")]
            assert len(rows) + sum(hidden) == 20
            assert f"{MARK} row {marked}" in rows
            assert len(lines) == 8


async def test_a_list_that_fits_says_of_nothing_that_it_is_out_of_sight() -> None:
    """As many lines as rows."""
    app = LongListApp()
    async with app.run_test(size=(30, 20)):
        assert "…" not in app.query_one(PickList).render().plain
