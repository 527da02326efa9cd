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

from platebook.tui.parts.widgets import OrderedInput


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
