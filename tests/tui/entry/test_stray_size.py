"""Sizes from a caliper's cable: in their places, or dropped and told of, never somewhere else.

Raw events, because a pilot waits after each key and would hide what a burst does.
"""

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.tui.driving import on, press, running, until
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.parts.test_widgets import send
from tests.tui.pictures import picture
from tests.tui.sizes import SERIES, SIZES, sizes_asked
from textual import events

from platebook.tui.entry.entry import FINISH, RESULT
from platebook.tui.entry.screen import AttemptScreen
from platebook.tui.entry.stray_size import BURST_S, StraySize
from platebook.tui.now.screen import NowScreen


@pytest.mark.parametrize("stall", [0, 0.4])
async def test_a_series_fills_one_size_after_the_other(stall: float) -> None:
    """However fast it comes, and though the event loop stands still meanwhile."""
    session = sizes_asked()
    async with running(session) as pilot:
        await press(pilot, "enter")
        pilot.app.call_later(lambda: time.sleep(stall))
        send(pilot.app, "".join(f"{size}\r" for size in SERIES) + "0\r")
        await until(pilot, lambda: len(session.saved) == 1)
    (row,) = session.saved
    assert tuple(row[name] for name in SIZES) == SERIES


async def test_one_reading_too_many_is_dropped_and_told_of() -> None:
    """After the last size the result is asked by digit: "1" is not taken for loose."""
    async with running(sizes_asked()) as pilot:
        await press(pilot, "enter")
        send(pilot.app, "".join(f"{size}\r" for size in (*SERIES, "1.97")))
        await until(pilot, lambda: "read 1.97" in picture(pilot.app))
        await pilot.pause()
        screen = pilot.app.screen
        assert isinstance(screen, AttemptScreen)
        assert (screen.entry.stop, screen.entry.results()) == (RESULT, ())
        assert [screen.entry.value(name) for name in SIZES] == list(SERIES)


@pytest.mark.parametrize(
    ("size", "stall"), [("1.96", 0.3), ("0,38", 0), ("12.5", 0.3), ("3.210", 0)]
)
async def test_a_size_where_a_digit_is_asked_answers_nothing(size: str, stall: float) -> None:
    """At the fit, nothing is noted and nothing is left in the draft; the next digit answers."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "enter")
        pilot.app.call_later(lambda: time.sleep(stall))
        send(pilot.app, f"{size}\r")
        await until(pilot, lambda: f"fit: read {size}, expected one digit" in picture(pilot.app))
        await pilot.pause()
        screen = pilot.app.screen
        assert isinstance(screen, AttemptScreen)
        assert (screen.entry.stop, dict(screen.entry.answers)) == ("fit", {})
        assert session.keeper.draft() is None
        await press(pilot, "3")
        assert dict(screen.entry.answers) == {"fit": "enters tilted and snaps"}


@pytest.mark.parametrize(
    ("size", "waiting"),
    [("1.96", False), ("0.38", False), ("9.41", False), ("1.96", True), ("9.41", True)],
)
async def test_a_size_on_now_begins_nothing_that_is_answered(size: str, waiting: bool) -> None:  # noqa: FBT001
    """Whether its first digit could start an attempt or not, and while Now still looks."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        now = pilot.app.screen
        assert isinstance(now, NowScreen)
        now.current = not waiting
        send(pilot.app, f"{size}\r")
        await pilot.pause()
        if waiting:
            now.load()
        await until(pilot, lambda: f"read {size}" in picture(pilot.app))
        await pilot.pause()
        if isinstance(pilot.app.screen, AttemptScreen):
            assert dict(pilot.app.screen.entry.answers) == {}
        else:
            assert on(pilot, NowScreen)
    assert session.keeper.draft() is None


async def test_a_size_after_saving_answers_nothing() -> None:
    """The digit that would start the next stone is taken back."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, *"3210", "enter")
        send(pilot.app, "1.96\r")
        await until(pilot, lambda: "fit: read 1.96" in picture(pilot.app))
        screen = pilot.app.screen
        assert isinstance(screen, AttemptScreen)
        assert (screen.saved, dict(screen.entry.answers)) == (False, {})
    assert len(session.saved) == 1


@pytest.mark.parametrize("keys", [(), ("8",), ("9",)], ids=["finish", "set-up", "more"])
async def test_a_size_at_the_finish_or_a_list_opens_nothing(
    keys: tuple[str, ...],
) -> None:
    """Its digits would open lines there, and at the finish its Enter would save."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, *"3210", *keys)
        screen = pilot.app.screen
        assert isinstance(screen, AttemptScreen)
        before = screen.entry
        send(pilot.app, "16.93\r")
        await until(pilot, lambda: "read 16.93" in picture(pilot.app))
        await pilot.pause()
        assert screen.entry == before
        assert (before.stop == FINISH) == (not keys)
    assert session.saved == []


async def test_a_size_typed_by_hand_into_a_line_just_opened_is_taken() -> None:
    """A person opens the line by its digit and types ".8": the keys lie apart."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "enter", "slash")
        screen = pilot.app.screen
        assert isinstance(screen, AttemptScreen)
        rows = screen.entry.rows()
        place = next(n for n, name in enumerate(rows, 1) if name.endswith("_mm"))
        began = time.monotonic()
        for n, sign in enumerate(f"{place}.8"):
            key = events.Key("full_stop" if sign == "." else sign, sign)
            key.time = began + n * (BURST_S * 2)
            screen.post_message(key)
        await pilot.pause()
        assert (screen.entry.stop, screen.entry.typed) == (rows[place - 1], ".8")


KEYS = st.lists(st.tuples(st.sampled_from("0123456789x\r"), st.floats(0, 1)), max_size=30)


@given(KEYS)
def test_without_a_decimal_sign_no_key_is_dropped(keys: list[tuple[str, float]]) -> None:
    """Whatever the times between them: a fast hand's digits are answers."""
    stray: StraySize[int] = StraySize()
    now = 0.0
    for n, (sign, pause) in enumerate(keys):
        now += pause
        assert stray.hear(sign, now, n, typing=False) is None


@given(st.decimals(0, 150, places=2), st.floats(0, BURST_S * 0.9))
def test_a_size_in_one_burst_leaves_the_state_as_it_was(size: object, pause: float) -> None:
    """Each key of it leads to the next state; after its decimal sign all is as before."""
    stray: StraySize[int] = StraySize()
    state = 0
    for n, sign in enumerate(f"{size}\r"):
        back = stray.hear(sign, n * pause, state, typing=False)
        state = state + 1 if back is None else back
    assert state == 0
