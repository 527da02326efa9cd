"""Inputs that keep keys in order, tested with raw events: a pilot waits and would hide the fault.

The fault: printable keys go to the focused input's own queue, keys that are bindings go round by
the app (open upstream in Textual: issue 6605).
"""

import time
from typing import Any

import pytest
from tests.tui.driving import until
from textual import events
from textual.app import App, ComposeResult
from textual.keys import _character_to_key
from textual.widgets import Input

from platebook.tui.widgets.ordered_input import Capture, OrderedInput

SERIES = [f"{1 + n / 100:.2f}" for n in range(50)]


class CaptureApp(App[None]):
    """One capture field, and what it took."""

    def compose(self) -> ComposeResult:
        """The field."""
        yield Capture()

    def on_mount(self) -> None:
        """Nothing is taken yet."""
        self.taken: list[str] = []

    def on_capture_taken(self, event: Capture.Taken) -> None:
        """Remember a reading."""
        self.taken.append(event.text)


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


async def test_a_burst_of_readings_is_taken_one_by_one() -> None:
    """Fifty readings in one burst give fifty readings."""
    app = CaptureApp()
    async with app.run_test() as pilot:
        send(app, "".join(f"{reading}\r" for reading in SERIES))
        await until(pilot, lambda: len(app.taken) == len(SERIES))
    assert app.taken == SERIES


async def test_a_stalled_loop_changes_nothing() -> None:
    """Keys that arrive while the event loop stands still keep their order."""
    app = CaptureApp()
    async with app.run_test() as pilot:
        app.call_later(lambda: time.sleep(0.3))
        send(app, "1.98\r2.01\r")
        await until(pilot, lambda: len(app.taken) == 2)
    assert app.taken == ["1.98", "2.01"]


async def test_backspace_keeps_its_place_among_digits() -> None:
    """The keys "12.5", backspace, "4" give 12.4, whatever the speed."""
    app = OneInputApp()
    async with app.run_test() as pilot:
        send(app, "12.5\b4")
        await until(pilot, lambda: app.query_one(Input).value == "12.4")


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
async def test_a_pasted_series_is_taken_line_by_line(ending: str) -> None:
    """A paste of five hundred lines gives five hundred readings, none dropped."""
    app = CaptureApp()
    lines = [f"{n / 100:.2f}" for n in range(500)]
    async with app.run_test() as pilot:
        app.query_one(Capture).post_message(events.Paste(ending.join(lines) + ending))
        await until(pilot, lambda: len(app.taken) == len(lines))
    assert app.taken == lines
