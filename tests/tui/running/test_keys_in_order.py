"""Keys in one burst: each goes to the line, or the screen, that the key before it opened."""

from typing import Any

import pytest
from tests.tui.driving import press, running, settled
from tests.tui.fakes import SessionOfAnEvening
from textual import events
from textual.pilot import Pilot
from textual.widgets import Input

from platebook.tui.commands import COMMANDS
from platebook.tui.running.keys_in_order import HELD_AT_MOST_S

NAMES = {"/": "slash", " ": "space", ".": "full_stop"}


async def burst(pilot: Pilot[Any], typed: str, *last: str) -> None:
    """Type all of it before the app has handled the first key of it."""
    for sign in typed:
        pilot.app.post_message(events.Key(NAMES.get(sign, sign), sign))
    for key in last:
        pilot.app.post_message(events.Key(key, None))
    await settled(pilot)


LINES = {
    "l": ("/", "#words"),
    "t": ("a", "#tool"),
    "k": ("m", "#name"),
    "b": ("a", "#name"),
    "S": ("", "#place"),
}


@pytest.mark.parametrize("page", LINES)
async def test_letters_after_a_key_that_opens_a_line_are_typed_in_it(page: str) -> None:
    """A whole burst from Now: the page, the line, the words; none of them is a command."""
    key, line = LINES[page]
    async with running(SessionOfAnEvening()) as pilot:
        await burst(pilot, f"{page}{key}Thursday 1.9")
        assert pilot.app.screen.query_one(line, Input).value == "Thursday 1.9"


async def test_a_line_is_ended_in_the_same_burst() -> None:
    """Enter and Backspace keep their place among the letters."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "t")
        await burst(pilot, "apin 1.95x", "backspace", "enter")
        assert session.calls[-1] == "put in pin 1.95"


async def test_the_name_of_another_page_is_a_command_of_the_page_before_it() -> None:
    """Two pages and a line of the second, in one burst, from Log to Class."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "l")
        await burst(pilot, "kmThu")
        assert pilot.app.screen.query_one("#name", Input).value == "Thu"


async def test_the_palette_takes_what_is_typed_after_its_key() -> None:
    """Letters after Ctrl+P search; on the page they would be commands."""
    async with running(SessionOfAnEvening()) as pilot:
        pilot.app.post_message(events.Key("ctrl+p", None))
        await burst(pilot, "daylight")
        assert pilot.app.screen.query_one(Input).value == "daylight"


async def test_a_key_waits_for_no_other_for_long() -> None:
    """What was held is given on with the first key that comes much later."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "l")
        held, late = events.Key("p", "p"), events.Key("escape", None)
        late.time = held.time + HELD_AT_MOST_S + 1
        pilot.app.held_since = held.time  # type: ignore[attr-defined]
        pilot.app.post_message(held)
        pilot.app.post_message(late)
        await settled(pilot)
        assert getattr(pilot.app.screen, "PLACE", "") == "progress"


def test_each_command_that_opens_a_line_says_so() -> None:
    """The table knows them, for the app holds back no key that it does not know of."""
    opens = {(place, c.action) for c in COMMANDS if c.opens_line for place in c.places}
    assert opens >= {("log", "filter"), ("drawer", "add"), ("class", "new_class")}
