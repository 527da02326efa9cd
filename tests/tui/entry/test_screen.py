"""Attempt: bursts, drafts, saving, what now, and correcting."""

import signal
import threading
from collections.abc import Mapping
from typing import Any

import pytest
from tests.patience import PATIENCE
from tests.tui.bench import PIN, a_view, an_empty_view, log_rows
from tests.tui.driving import on, press, running, settled, until
from tests.tui.fakes import STORED, SessionOfAnEvening
from tests.tui.parts.test_widgets import send
from tests.tui.pictures import picture
from textual import events

from platebook.practice.problem import Problem
from platebook.services.attempts.recording import Recorded
from platebook.services.now.now_view import WhatNext
from platebook.tui.app import SAVES_THEN, BenchApp
from platebook.tui.entry.entry import SET_UP, from_draft, to_draft
from platebook.tui.entry.keys_behind import KEYS, TYPED_AT
from platebook.tui.entry.screen import AttemptScreen
from platebook.tui.now.screen import NowScreen
from platebook.values import replace


def on_attempt(app: Any) -> AttemptScreen:
    """The attempt in front."""
    assert isinstance(app.screen, AttemptScreen)
    return app.screen


async def test_a_burst_from_now_to_saved_lands_where_it_belongs() -> None:
    """All keys of an attempt at once, Enter on Now included, give that attempt."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        send(pilot.app, "\r3210\r")
        await until(pilot, lambda: len(session.saved) == 1)
    row = session.saved[0]
    assert (row["fit"], row["trial_height"], row["ledge"], row["result"]) == (
        "enters tilted and snaps",
        "flush",
        "even",
        "good",
    )


async def test_a_wrong_digit_is_answered_and_enter_does_not_pass_it_over() -> None:
    """What was read and what is expected; a second Enter leaves the reading empty on purpose."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "enter", "8")
        assert "fit: 8 is no answer; 1 to 5 are." in picture(pilot.app)
        screen = on_attempt(pilot.app)
        await press(pilot, "enter")
        assert screen.entry.stop == "fit"
        await press(pilot, "enter")
        assert screen.entry.stop == "trial_height"


async def test_keys_ahead_of_a_save_wait_for_it() -> None:
    """Three attempts typed in one burst are three attempts, in order."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        send(pilot.app, "\r3210\r" + "\r4211" + "23\r" + "\r5210\r")
        await until(pilot, lambda: len(session.saved) == 3)
    assert [(row["fit"], row["result"]) for row in session.saved] == [
        ("enters tilted and snaps", "good"),
        ("drops in", "loose"),
        ("drops in and moves", "good"),
    ]


async def test_a_burst_of_sizes_fills_one_reading_after_the_other() -> None:
    """A caliper's digits and Enters go to the readings in the order they came."""
    nogo = replace(PIN, field="seat_nogo_mm", label="no-go pin")
    depth = replace(PIN, field="seat_depth_mm", label="seat depth")
    session = SessionOfAnEvening(view=a_view(readings=(PIN, nogo, depth)))
    async with running(session) as pilot:
        send(pilot.app, "\r1.94\r1.9\b98\r0,37\r0\r")
        await until(pilot, lambda: len(session.saved) == 1)
    row = session.saved[0]
    assert (row["seat_go_mm"], row["seat_nogo_mm"], row["seat_depth_mm"]) == (
        "1.94",
        "1.98",
        "0,37",
    )


async def test_a_paste_is_the_keys_it_stands_for() -> None:
    """Lines pasted from paper are taken like typed ones."""
    session = SessionOfAnEvening(view=a_view(readings=(PIN,)))
    async with running(session) as pilot:
        await press(pilot, "enter")
        pilot.app.screen.post_message(events.Paste("1.95\r\n0\n"))
        await until(pilot, lambda: len(session.saved) == 1)
    assert session.saved[0]["seat_go_mm"] == "1.95"


async def test_each_key_reaches_the_draft() -> None:
    """After every answer the draft holds it; leaving a stop waits for the disk."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "enter")
        assert session.keeper.draft() is None
        await press(pilot, "4")
        entry = from_draft(session.keeper.draft() or {})
        assert entry is not None
        assert (entry.value("fit"), entry.stop) == ("drops in", "trial_height")
        assert session.keeper.syncs == 1
        await press(pilot, "1", "1", "0", "enter")
        assert session.keeper.draft() is None


async def test_leaving_by_escape_keeps_the_attempt_on_now() -> None:
    """Esc from the first step goes to Now, which offers to go on."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "enter", "4", "escape", "escape")
        assert on(pilot, NowScreen)
        assert "left unfinished" in picture(pilot.app)
        assert session.keeper.draft() is not None
        await press(pilot, "enter")
        assert on_attempt(pilot.app).entry.value("fit") == "drops in"


async def test_a_part_shows_its_criterion() -> None:
    """Good or missed is judged by the exercise's own criterion."""
    async with running(SessionOfAnEvening(view=an_empty_view())) as pilot:
        await press(pilot, "enter", "enter")
        seen = picture(pilot.app)
        assert "no longer does" in seen
        assert "missed" in seen


async def test_nothing_typed_leaves_nothing_behind() -> None:
    """An attempt opened and left at once is no unfinished attempt."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "enter", "escape")
        assert "left unfinished" not in picture(pilot.app)
        assert session.keeper.draft() is None


async def test_what_the_logbook_refuses_stays_to_be_mended() -> None:
    """Problems are named, nothing is lost, and the draft stays."""
    problem = Problem(row=1, field="clock", read="13", expected="a number from 1 to 12")
    session = SessionOfAnEvening(recorded=Recorded((), (problem,), stored=False))
    async with running(session) as pilot:
        await press(pilot, "enter", "3", "2", "1", "0", "enter")
        assert "Not saved. Clock 13; expected a number from 1 to 12." in picture(pilot.app)
        assert session.keeper.draft() is not None
        session.recorded = STORED
        await press(pilot, "enter")
    assert len(session.saved) == 1


async def test_an_attempt_that_stands_already_is_not_saved_twice() -> None:
    """A draft from between saving and clearing is known by its id, and counts as saved."""
    problem = Problem(row=1, field="attempt_id", read="a1", expected="a new attempt")
    session = SessionOfAnEvening(recorded=Recorded((), (problem,), stored=False))
    async with running(session) as pilot:
        await press(pilot, "enter", "3", "2", "1", "0", "enter")
        assert "Saved: good" in picture(pilot.app)
        assert session.keeper.draft() is None


async def test_what_was_noticed_is_said_beside_what_was_saved() -> None:
    """A misspelt tool is told, though nothing is wrong with the attempt."""
    notice = Problem(1, "seat_measured_with", "boar gauge", "a tool of the drawer", level="notice")
    session = SessionOfAnEvening(recorded=Recorded(("a",), (notice,), stored=True))
    async with running(session) as pilot:
        await press(pilot, "enter", "3", "2", "1", "0", "enter")
        seen = " ".join(picture(pilot.app).split())
    assert "Saved: good" in seen
    assert "seat_measured_with: read boar gauge, expected a tool of the drawer." in seen


async def test_a_logbook_out_of_reach_loses_nothing() -> None:
    """When saving fails the attempt stands as it was, and can be saved later."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "enter", "3", "2", "1", "0")
        session.fault = OSError("the disk is full")
        await press(pilot, "enter")
        assert "could not be done" in picture(pilot.app)
        session.fault = None
        await press(pilot, "escape", "enter")
    assert [row["result"] for row in session.saved] == ["good"]


async def test_a_full_disk_does_not_end_the_attempt() -> None:
    """A draft that cannot be written is told of; the attempt goes on and can be saved."""
    session = SessionOfAnEvening()
    session.keeper.full = OSError(28, "No space left on device")
    async with running(session) as pilot:
        await press(pilot, "enter", "3")
        assert "cannot be kept on the disk (No space left on device)" in picture(pilot.app)
        session.fault = OSError(28, "No space left on device")
        await press(pilot, "2", "1", "0", "enter")
        told = " ".join(picture(pilot.app).replace("│", " ").split())
        assert "The disk does not take what is being typed either" in told
        assert "kept as a draft" not in told
        session.fault, session.keeper.full = None, None
        await press(pilot, "escape", "enter")
    assert [row["result"] for row in session.saved] == ["good"]


async def test_what_comes_next_is_looked_for_again() -> None:
    """When only the look ahead fails, the attempt is saved and Enter in the window tries again."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "enter", "3", "2", "1", "0")
        session.fails_next = "now"
        await press(pilot, "enter", "enter")
        assert "Next: A whole setting" in picture(pilot.app)
    assert len(session.saved) == 1


async def test_an_attempt_looked_at_and_left_is_not_changed() -> None:
    """Opening an attempt of the log and going back, by Esc or Enter, amends nothing."""
    for key in ("escape", "enter"):
        session = SessionOfAnEvening(rows=log_rows(3))
        async with running(session) as pilot:
            await press(pilot, "l", "a", key, "n")
            assert "left unfinished" not in picture(pilot.app)
        assert session.amended == []


async def test_after_a_defect_the_screen_says_what_now() -> None:
    """The remedy stands beside what comes next; nothing of it after a good one."""
    session = SessionOfAnEvening(view=a_view(readings_asked=False))
    async with running(session) as pilot:
        await press(pilot, "enter", "4", "2", "enter", "enter")
        assert "press the high side" in picture(pilot.app)
        await press(pilot, "enter", "0", "enter")
        assert "What now" not in picture(pilot.app)


async def test_after_saving_u_takes_the_attempt_back() -> None:
    """Undo is one key, and says what it did."""
    session = SessionOfAnEvening(view=a_view(readings_asked=False))
    async with running(session) as pilot:
        await press(pilot, "enter", "0", "enter", "u")
        seen = picture(pilot.app)
        assert "Taken back: the attempt of 18:42." in seen
        assert "Saved" not in seen
    assert session.calls.count("undo") == 1


async def test_correcting_opens_the_same_questions() -> None:
    """From the log an attempt opens at its finish; only what changed is sent."""
    session = SessionOfAnEvening(rows=log_rows(3))
    async with running(session) as pilot:
        await press(pilot, "l", "a")
        assert on_attempt(pilot.app).entry.results() == ("tilted", "gap")
        await press(pilot, "6")
        await press(pilot, *(["backspace"] * 7), "c", "l", "e", "a", "n", "enter", "enter")
        assert "Corrected: note." in picture(pilot.app)
    assert session.amended == [("a0", {"note": "clean"})]


async def test_correcting_waits_while_an_attempt_is_unfinished() -> None:
    """There is one draft; a second attempt is not opened over it."""
    session = SessionOfAnEvening(rows=log_rows(3))
    async with running(session) as pilot:
        await press(pilot, "enter", "4", "escape", "escape", "l", "a")
        assert "left unfinished: finish it first" in picture(pilot.app)
        assert session.keeper.draft() is not None
        await press(pilot, "n", "x", "l", "a")
        assert on_attempt(pilot.app).entry.attempt_id == "a0"


@pytest.mark.parametrize("key", ["n", "l", "q", "tab", "S", "O"])
async def test_a_slip_of_the_hand_does_not_leave_the_attempt(key: str) -> None:
    """Letters of other screens do nothing while an attempt is open."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "enter", key)
        assert on_attempt(pilot.app).entry.stop == "fit"


async def test_help_opens_over_an_attempt_and_closes_again() -> None:
    """The question mark is help where nothing is typed."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "enter", "question_mark")
        assert "Help: Attempt" in picture(pilot.app)
        await press(pilot, "escape", "3")
        assert on_attempt(pilot.app).entry.value("fit") == "enters tilted and snaps"
        await settled(pilot)


async def test_the_key_line_of_an_attempt_can_be_clicked() -> None:
    """A click does what its key does: to the set-up, on from it, and back to Now."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "enter")
        asked = {}
        for label in ("set-up", "go on", "back"):
            foot = picture(pilot.app).splitlines()[23]
            await pilot.click(offset=(foot.index(label), 23))
            await settled(pilot)
            screen = pilot.app.screen
            asked[label] = screen.entry.stop if isinstance(screen, AttemptScreen) else ""
        assert asked == {"set-up": SET_UP, "go on": "fit", "back": ""}


async def test_what_is_found_in_the_list_of_commands_is_done_in_the_attempt() -> None:
    """The set-up, found by its name, is what its key shows."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "enter")
        await press(pilot, "ctrl+p", *"set-up", "enter")
        assert on_attempt(pilot.app).entry.stop == SET_UP


class _SlowSave(SessionOfAnEvening):
    """A session whose saves wait until they are let go."""

    def __init__(self) -> None:
        super().__init__()
        self.let_go = threading.Event()

    def _record(self, *rows: Any, **how: Any) -> Recorded:
        self.let_go.wait(PATIENCE)
        return super()._record(*rows, **how)


async def test_keys_behind_a_slow_save_are_kept_when_the_app_is_left() -> None:
    """Save, the next stone and its first reading, then Ctrl+Q: the reading waits as a draft."""
    session = _SlowSave()
    async with running(session) as pilot:
        await press(pilot, "enter", *"3210")
        await pilot.press("enter", "enter", "4", "ctrl+q")
        assert "Ctrl+Q once more leaves at once." in " ".join(picture(pilot.app).split())
        session.let_go.set()
        await until(pilot, lambda: not pilot.app.is_running)
    draft = from_draft(session.keeper.draft() or {})
    assert draft is not None
    assert draft.value("fit") == "drops in"


async def test_while_the_app_waits_to_leave_no_key_is_told_in_place_of_that() -> None:
    """Not while it saves, nor once it is saved: a key that does nothing is not spoken of then."""

    class _SlowAfterSaving(_SlowSave):
        def _what_next(self, result: str) -> WhatNext:
            saved.set()
            goes_on.wait(PATIENCE)
            return super()._what_next(result)

    saved, goes_on = threading.Event(), threading.Event()
    session = _SlowAfterSaving()

    def told(app: Any) -> str:
        return " ".join(picture(app).split())

    async with running(session) as pilot:
        await press(pilot, "enter", *"3210")
        await pilot.press("enter", "z", "ctrl+q", "x")
        assert SAVES_THEN in told(pilot.app)
        session.let_go.set()
        await until(pilot, saved.is_set)
        await until(pilot, lambda: "Saved" in told(pilot.app))
        await pilot.press("y")
        assert SAVES_THEN in told(pilot.app)
        screen = on_attempt(pilot.app)
        goes_on.set()
        await until(pilot, lambda: not pilot.app.is_running)
    assert screen.sentence == "y does nothing here."
    assert screen.parting == SAVES_THEN


async def test_keys_behind_a_slow_save_are_kept_when_a_signal_ends_the_app() -> None:
    """As when it is left: the reading of the next stone is a draft, the code names the signal."""
    session = _SlowSave()
    async with running(session) as pilot:
        await press(pilot, "enter", *"3210")
        await pilot.press("enter", "enter", "4")
        assert isinstance(pilot.app, BenchApp)
        pilot.app.call_later(pilot.app.end_on_signal, signal.SIGTERM)
        session.let_go.set()
        await until(pilot, lambda: not pilot.app.is_running)
        assert pilot.app.return_code == 128 + signal.SIGTERM
    draft = from_draft(session.keeper.draft() or {})
    assert draft is not None
    assert (draft.value("fit"), len(session.saved)) == ("drops in", 1)


def _words(app: Any) -> str:
    return " ".join(picture(app).split())


async def _typed_behind_a_save_that_hangs() -> Mapping[str, object]:
    """What stands on the disk of a good one being saved, with Enter and a 4 typed after it."""
    session = _SlowSave()
    async with running(session) as pilot:
        await press(pilot, "enter", *"3210")
        await pilot.press("enter", "enter", "4")
        kept = session.keeper.draft()
        session.let_go.set()
        await until(pilot, lambda: len(session.saved) == 1)
    return kept or {}


async def test_keys_behind_a_save_that_never_ended_follow_it_at_the_next_start() -> None:
    """The attempt is saved once, and the next one has its first reading, begun when typed."""
    left = await _typed_behind_a_save_that_hangs()
    session = SessionOfAnEvening(left_behind=left)
    async with running(session) as pilot:
        await until(pilot, lambda: "more was typed after it" in _words(pilot.app))
        await press(pilot, "enter")
        await until(pilot, lambda: on_attempt(pilot.app).entry.value("fit") == "drops in")
        screen = on_attempt(pilot.app)
        assert (len(session.saved), screen.saved) == (1, False)
        assert "what was typed after it is here" in _words(pilot.app)
        assert from_draft(session.keeper.draft() or {}) == from_draft(to_draft(screen.entry))


async def test_keys_behind_a_save_that_ended_are_offered_without_it() -> None:
    """The attempt stands in the logbook: it is not offered, and not saved again."""
    left = await _typed_behind_a_save_that_hangs()
    session = SessionOfAnEvening(left_behind=left, there=(SessionOfAnEvening().new_id(),))
    async with running(session) as pilot:
        await until(pilot, lambda: "typed after the last save is kept." in _words(pilot.app))
        await press(pilot, "enter")
        await until(pilot, lambda: on_attempt(pilot.app).entry.value("fit") == "drops in")
    assert session.saved == []


async def test_what_was_typed_blind_is_not_saved_unseen() -> None:
    """A whole attempt typed behind the save stands filled in, and waits for an Enter."""
    keys = [[key, key, 0.0] for key in "3210"]
    enter = ["enter", "\r", 0.0]
    left = {KEYS: [enter, *keys, enter, enter, ["4", "4", 0.0]], TYPED_AT: "2026-03-04T18:40+00:00"}
    session = SessionOfAnEvening(left_behind=left)
    async with running(session) as pilot:
        await press(pilot, "enter")
        await until(pilot, lambda: "Enter saves it" in _words(pilot.app))
        assert session.saved == []
        await press(pilot, "enter")
        await until(pilot, lambda: on_attempt(pilot.app).entry.value("fit") == "drops in")
    assert [row["began"] for row in session.saved] == ["2026-03-04T18:40+00:00"]


async def test_an_attempt_saved_before_its_program_died_is_not_offered() -> None:
    """Its draft goes, and Now offers the next exercise alone."""
    left = dict(await _typed_behind_a_save_that_hangs())
    del left[KEYS]
    session = SessionOfAnEvening(left_behind=left, there=(SessionOfAnEvening().new_id(),))
    async with running(session) as pilot:
        await until(pilot, lambda: session.calls.count("now") == 1)
        await settled(pilot)
        assert "unfinished" not in _words(pilot.app)


async def test_a_second_ctrl_q_does_not_wait_for_the_save() -> None:
    """The app is gone before the save is let go, and the save still gets the attempt."""
    session = _SlowSave()
    async with running(session) as pilot:
        await press(pilot, "enter", *"3210")
        await pilot.press("enter", "enter", "4", "ctrl+q", "ctrl+q")
        await until(pilot, lambda: not pilot.app.is_running)
        assert session.saved == []
        session.let_go.set()
        await until(pilot, lambda: len(session.saved) == 1)
    assert session.saved[0]["result"] == "good"
