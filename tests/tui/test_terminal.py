"""What only a real terminal shows: bursts, signals, what stands on the disk after a kill."""

import json
import os
import random
import signal
from pathlib import Path
from typing import Any

import pytest
from tests.tui.driving import press, running, until
from tests.tui.evening_app import SessionOnDisk
from tests.tui.parts.test_widgets import send
from tests.tui.pictures import picture
from tests.tui.sizes import SIZES
from tests.tui.terminal import Terminal

from platebook.services.attempts.drafts import Drafts, Owner

pytestmark = [pytest.mark.pty, pytest.mark.slow]

APP = ("-m", "tests.tui.evening_app")


def opened(folder: Path, **environment: str) -> Terminal:
    """The app in a terminal, filled."""
    terminal = Terminal(*APP, str(folder), **environment)
    terminal.wait_for(lambda text: "good ones" in text)
    return terminal


def saved(folder: Path) -> list[dict[str, Any]]:
    """The rows saved so far."""
    path = folder / "saved.jsonl"
    if not path.exists():
        return []
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


def the_draft(folder: Path) -> dict[str, Any]:
    """The one draft on disk."""
    (path,) = (folder / "drafts").glob("*.draft.json")
    found: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return found


def test_a_burst_of_attempts_is_taken_in_order(tmp_path: Path) -> None:
    """Ten attempts sent in one write are ten attempts, each reading in its place."""
    terminal = opened(tmp_path)
    fits = "3453443534"
    terminal.type("".join(f"\r{fit}210\r" for fit in fits))
    terminal.wait_for(lambda text: "Saved: good" in text and len(saved(tmp_path)) == 10)
    terminal.type("\x11")
    assert terminal.ended() == 0
    names = {"3": "enters tilted and snaps", "4": "drops in", "5": "drops in and moves"}
    assert [row["fit"] for row in saved(tmp_path)] == [names[fit] for fit in fits]
    assert {row["result"] for row in saved(tmp_path)} == {"good"}


def test_a_calipers_series_lands_in_order_though_the_program_stands_still(tmp_path: Path) -> None:
    """Five stones, four sizes each, sent while its event loop stands still."""
    terminal = Terminal(*APP, str(tmp_path), "sizes")
    terminal.wait_for(lambda text: "good ones" in text)
    stones = [tuple(f"{2 + stone / 10 + n / 100:.2f}" for n in range(4)) for stone in range(5)]
    os.kill(terminal.pid, signal.SIGUSR1)
    for stone in stones:
        terminal.type("\r" + "".join(f"{size}\r" for size in stone) + "0\r")
    terminal.wait_for(lambda text: "Saved: good" in text and len(saved(tmp_path)) == 5)
    terminal.type("\x11")
    assert terminal.ended() == 0
    assert [tuple(row[name] for name in SIZES) for row in saved(tmp_path)] == stones


def test_a_caliper_that_types_among_digits_answers_nothing(tmp_path: Path) -> None:
    """Its size is told of and dropped, at the fit and on Now; the attempt goes on by digits."""
    terminal = opened(tmp_path)
    terminal.type("\r1.96\r")
    terminal.wait_for(lambda text: "fit: read 1.96, expected one digit" in text)
    terminal.type("4")
    terminal.wait_for(lambda text: "just noted: fit" in text)
    terminal.type("210\r")
    terminal.wait_for(lambda text: "Saved: good" in text)
    terminal.type("\x11")
    assert terminal.ended() == 0
    (row,) = saved(tmp_path)
    assert (row["fit"], row["trial_height"], row["ledge"]) == ("drops in", "flush", "even")


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_keeps_the_draft_and_gives_the_terminal_back(
    tmp_path: Path, number: signal.Signals
) -> None:
    """The half-filled attempt is on disk, the exit code names the signal, the screen is back."""
    terminal = opened(tmp_path)
    terminal.type("\r4")
    terminal.wait_for(lambda text: "just noted: fit" in text)
    assert terminal.kill(number) == 128 + number
    assert the_draft(tmp_path)["answers"] == {"fit": "drops in"}
    assert b"\x1b[?1049l" in terminal.raw
    assert saved(tmp_path) == []


def test_a_killed_program_leaves_its_draft_to_the_next(tmp_path: Path) -> None:
    """After kill -9 amid an attempt the next start offers it, and it can be finished."""
    terminal = opened(tmp_path)
    terminal.type("\r42")
    terminal.wait_for(lambda text: "just noted: trial height" in text)
    terminal.kill(signal.SIGKILL)
    again = opened(tmp_path)
    again.wait_for(lambda text: "left unfinished" in text)
    again.type("\r10\r")
    again.wait_for(lambda text: "Saved: good" in text)
    again.type("\x11")
    assert again.ended() == 0
    (row,) = saved(tmp_path)
    assert (row["fit"], row["trial_height"], row["ledge"]) == ("drops in", "flush", "even")
    assert list((tmp_path / "drafts").glob("*.draft.json")) == []


async def test_a_killed_programs_draft_is_not_offered_to_the_next_person(tmp_path: Path) -> None:
    """Killed as Ottoline: Bram is told whose waits and starts an empty one; hers is there still."""
    terminal = opened(tmp_path)
    terminal.type("\r4")
    terminal.wait_for(lambda text: "just noted: fit" in text)
    terminal.kill(signal.SIGKILL)
    bram = SessionOnDisk(tmp_path)
    bram.setter, bram.setter_id = "Bram Osk", "s2"
    async with running(bram) as pilot:
        assert "A draft of Ottoline Marsh's waits for them." in picture(pilot.app)
        send(pilot.app, "\r3")
        await until(pilot, lambda: "just noted: fit" in picture(pilot.app))
        assert "left unfinished" not in picture(pilot.app)
        send(pilot.app, "210\r")
        await until(pilot, lambda: len(saved(tmp_path)) == 1)
    async with running(SessionOnDisk(tmp_path)) as pilot:
        assert "An attempt was left unfinished" in picture(pilot.app)
        send(pilot.app, "\r210\r")
        await until(pilot, lambda: len(saved(tmp_path)) == 2)
    assert [row["fit"] for row in saved(tmp_path)] == ["enters tilted and snaps", "drops in"]


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGKILL])
async def test_a_plate_survives_however_the_program_ends(
    tmp_path: Path, number: signal.Signals
) -> None:
    """Cells and the size being typed are there at the next start, and the plate can be finished."""
    terminal = opened(tmp_path)
    terminal.type("w3345335m1")
    terminal.wait_for(lambda text: "seat diameter, position 4" in text)
    terminal.type("1.95\r1.9")
    terminal.wait_for(lambda text: " 1.9!" in text)
    assert terminal.kill(number) == 128 + number
    assert saved(tmp_path) == []
    async with running(SessionOnDisk(tmp_path)) as pilot:
        assert "A plate was left unfinished" in picture(pilot.app)
        await press(pilot, "enter")
        assert "it is as you left it" in picture(pilot.app)
        send(pilot.app, "7\r" + "1.96\r" * 5 + "0" * 7)
        await until(pilot, lambda: "7 of 7 judged" in picture(pilot.app))
        await press(pilot, "asterisk")
        await until(pilot, lambda: len(saved(tmp_path)) == 7)
    rows = saved(tmp_path)
    assert [row["seat_diameter_mm"] for row in rows] == ["1.95", "1.97", *["1.96"] * 5]
    names = {"3": "enters tilted and snaps", "4": "drops in", "5": "drops in and moves"}
    assert [row["fit"] for row in rows] == [names[digit] for digit in "3345335"]
    assert list((tmp_path / "drafts").glob("*.draft.json")) == []


def test_a_plates_series_lands_in_order_though_the_program_stands_still(tmp_path: Path) -> None:
    """Seven sizes down the plate, sent in one write while the event loop stands still."""
    seats = ["1.93", "1.95", "2.01", "1.96", "1.94", "1.97", "1.92"]
    terminal = opened(tmp_path)
    terminal.type("wm1")
    terminal.wait_for(lambda text: "seat diameter, position 4" in text)
    os.kill(terminal.pid, signal.SIGUSR1)
    terminal.type("".join(f"{seat}\r" for seat in seats) + "0" * 7)
    terminal.wait_for(lambda text: "7 of 7 judged" in text)
    terminal.type("*")
    terminal.wait_for(lambda _: len(saved(tmp_path)) == 7)
    terminal.type("\x11")
    assert terminal.ended() == 0
    assert [row["seat_diameter_mm"] for row in saved(tmp_path)] == seats


def test_without_colour_everything_is_still_said(tmp_path: Path) -> None:
    """With NO_COLOR and sixteen colours, signs and words carry the meaning."""
    terminal = opened(tmp_path, NO_COLOR="1", TERM="xterm", COLORTERM="")
    terminal.type("\r321")
    terminal.wait_for(lambda text: "How did it come out?" in text)
    rows = terminal.text().splitlines()
    assert any("fit" in row and "✓" in row for row in rows)
    terminal.type("\x11")
    assert terminal.ended() == 0


@pytest.mark.parametrize("seed", range(4))
def test_a_window_closed_while_typing_ends_the_program_and_frees_the_draft(
    tmp_path: Path, seed: int
) -> None:
    """What is drawn has nowhere to go any more; the program ends, and its draft can be had anew."""
    drawn = random.Random(seed)  # noqa: S311 - keys in some order
    terminal = opened(tmp_path)
    terminal.type("\r4")
    terminal.wait_for(lambda text: "just noted: fit" in text)
    terminal.type("\x1b")
    terminal.wait_for(lambda text: "▸ fit" in text)
    terminal.type("\x1b")
    terminal.wait_for(lambda text: "nfinished" in text)
    for _ in range(drawn.randrange(20, 60)):
        terminal.type(drawn.choice(("l", "n", "p", "?", "\x1b")))
        terminal.read(0.01)
    terminal.close()
    assert terminal.exit_code() != 0
    session = SessionOnDisk(tmp_path)
    left = Drafts(tmp_path / "drafts", Owner(session.setter_id, session.setter)).load()
    assert left is not None
    assert left["answers"] == {"fit": "drops in"}
    assert saved(tmp_path) == []


@pytest.mark.parametrize("name", ["SIGQUIT", "SIGALRM", "SIGUSR2"])
def test_other_signals_that_end_a_program_give_the_terminal_back_too(
    tmp_path: Path, name: str
) -> None:
    """The exit code names the signal, and the screen before the app is there again."""
    terminal = opened(tmp_path)
    number = signal.Signals[name]
    assert terminal.kill(number) == 128 + number
    assert b"\x1b[?1049l" in terminal.raw
