"""A reference plate judged by the number pad: blind until the last position is in."""

from tests.tui import bench
from tests.tui.driving import on, press, running
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture

from platebook.tui.now.screen import NowScreen
from platebook.tui.seeing_screen import ONCE_MORE, SeeingScreen


async def test_a_plate_is_judged_in_its_order() -> None:
    """A digit a position, and for a defect how bad; then what was missed is told."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "v", "enter")
        assert "R, position 3 (1 of 4)" in picture(pilot.app)
        await press(pilot, "0", "1", "2", "8", "1")
        assert "R, position 2 (4 of 4)" in picture(pilot.app)
        assert not [call for call in session.calls if call.startswith("judge")]
        await press(pilot, "0")
        assert "judge R: {'3': 'good', '1': 'loose 2', '4': 'gap 1', '2': 'good'}" in session.calls
        assert "2: loose, clearly; you saw good." in picture(pilot.app)
        await press(pilot, "escape")
        assert on(pilot, NowScreen)


async def test_an_enter_out_of_habit_does_not_hide_what_was_told() -> None:
    """Behind the last digit it says what the next one does; only that one judges again."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "v", "enter", "0", "1", "2", "8", "1", "0", "enter")
        seen = picture(pilot.app)
        assert "2: loose, clearly; you saw good." in seen
        assert ONCE_MORE in seen
        await press(pilot, "enter")
        assert "R, position 3 (1 of 4)" in picture(pilot.app)


async def test_a_plate_chosen_after_a_judging_begins_at_once() -> None:
    """Whoever moves the mark means it."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "v", "enter", "0", "1", "2", "8", "1", "0", "down", "enter")
        assert "S, position 1 (1 of 2)" in picture(pilot.app)


async def test_a_verdict_is_taken_back_and_a_plate_left() -> None:
    """Backspace takes one back; Esc leaves the plate, and says what is not taken down."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "v", "down", "enter", "1", "backspace", "0", "backspace")
        assert "S, position 1 (1 of 2)" in picture(pilot.app)
        await press(pilot, "0", "escape")
        assert "Left: 1 verdict is not taken down." in picture(pilot.app)
        assert on(pilot, SeeingScreen)
    assert not [call for call in session.calls if call.startswith("judge")]


async def test_a_plate_is_kept_with_what_is_known_of_it() -> None:
    """Its name, then position by position; Enter says that was all."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "v", "a", "T", "enter", "0", "1", "2", "0", "8", "2", "enter")
        kept = "keep T: {'1': 'good', '2': 'loose 2', '3': 'good', '4': 'gap 2'}"
        assert kept in session.calls
        assert "T: 4 positions kept." in picture(pilot.app)


async def test_the_exercise_in_seeing_opens_the_plates() -> None:
    """Enter on Now does not ask whether it was good: the plate's verdicts say so."""
    advice = bench.some_advice(kind="part", part="seeing", exercise="seeing")
    async with running(SessionOfAnEvening(view=bench.a_view(advice=advice))) as pilot:
        await press(pilot, "enter")
        assert on(pilot, SeeingScreen)
