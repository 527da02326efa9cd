"""A student's first season from outside: their own spreadsheet, then the app in a real terminal.

Nothing inside the program is called: commands run as processes, the app in a pseudo-terminal.
"""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from tests.patience import PATIENCE
from tests.tui.terminal import Terminal

pytestmark = pytest.mark.slow

DATA = Path(__file__).parents[1] / "data"
THEIR_HEADINGS = (
    "Bur I used=seat_bur_mm",
    "How it went=result",
    "Remarks=note",
)
MAPS = [word for pair in THEIR_HEADINGS for word in ("--map", pair)]
PROGRAM = ("-c", "from platebook.cli.main import main; main()")


class Student:
    """Someone at a shell with a logbook of their own."""

    def __init__(self, folder: Path) -> None:
        self.logbook = folder / "logbook.sqlite"
        self.environment = {
            "PLATEBOOK_LOGBOOK": str(self.logbook),
            "HOME": str(folder),
            "XDG_STATE_HOME": str(folder),
            "TZ": "Europe/Lisbon",
        }

    def runs(self, *arguments: str) -> subprocess.CompletedProcess[str]:
        """One command, as typed."""
        return subprocess.run(
            [sys.executable, *PROGRAM, *arguments],
            env={**os.environ, **self.environment},
            capture_output=True,
            text=True,
            check=False,
            timeout=PATIENCE,
        )

    def asks(self, *arguments: str) -> dict[str, Any]:
        """The JSON answer of one command."""
        done = self.runs(*arguments, "--json")
        assert done.returncode == 0, done.stderr
        answer: dict[str, Any] = json.loads(done.stdout)
        return answer

    def opens_the_app(self) -> Terminal:
        """The app in a terminal of 80 by 24."""
        return Terminal(*PROGRAM, **self.environment)


@pytest.fixture
def student(tmp_path: Path) -> Student:
    """A student with an empty folder."""
    return Student(tmp_path)


def test_a_spreadsheet_with_typing_errors_lands_only_when_they_are_mended(
    student: Student,
) -> None:
    """Two errors are named with row and value, nothing lands; mended, all 64 land."""
    student.runs("setter", "add", "Wren Calder")
    refused = student.runs("import", str(DATA / "practice-sheet-with-errors.csv"), *MAPS)
    assert refused.returncode == 1
    assert "row 17 (line 19), Stone diameter mm: read '19,8'" in refused.stderr
    assert "row 40 (line 42), How it went: read 'losse'" in refused.stderr
    assert student.asks("log")["attempts"] == []
    landed = student.runs("import", str(DATA / "practice-sheet.csv"), *MAPS)
    assert (landed.returncode, landed.stdout) == (0, "64 attempts stored.\n")
    assert len(student.asks("log", "--all")["attempts"]) == 64


def test_the_three_answers_make_sense_of_the_spreadsheet(student: Student) -> None:
    """The habit that was built into the sheet is found, points are counted, and there is a next.

    The sheet was made with loose stones where the bur was nearly as wide as the stone (common
    practice has it that burs cut wider than they measure).
    """
    student.runs("setter", "add", "Wren Calder")
    student.runs("import", str(DATA / "practice-sheet.csv"), *MAPS)
    findings = student.asks("findings")
    first = findings["findings"][0]
    assert (findings["attempts"], findings["failures"]) == (64, 20)
    assert (first["variable"], first["defect"], first["direction"]) == (
        "undersize_mm",
        "loose",
        "lower",
    )
    assert sum(count["of"] for count in first["counts"]) == 64
    grades = {g["grade"]: g for g in student.asks("progress")["grades"]}
    assert grades["copper-2.0"]["attempts"] == 32
    assert all(g["low"] <= g["rate"] <= g["high"] for g in grades.values() if g["attempts"])
    advice = student.asks("next")
    assert advice["why"] != []
    assert advice["sizes"]["seat_bur"]["choose_mm"] > 0


@pytest.mark.pty
def test_three_attempts_and_a_draft_survive_a_kill(student: Student) -> None:
    """First start, three attempts by keyboard, killed with -9 in the fourth: nothing is lost."""
    app = student.opens_the_app()
    app.wait_for(lambda text: "Who is at the bench?" in text)
    app.type("Wren Calder\r")
    app.wait_for(lambda text: "Who prepares seats" in text)
    app.type("\r")
    app.wait_for(lambda text: "Which course?" in text)
    app.type("\r")
    app.wait_for(lambda text: "in your drawer?" in text)
    app.type("\r")
    for number in (1, 2, 3):
        app.wait_for(lambda text: "Now " in text and "Enter start" in text)
        app.type("\r")
        app.wait_for(lambda text: "result" in text and "A digit answers" in text)
        app.type("\r" * _readings(app.text()))
        app.wait_for(lambda text: "How did it come out?" in text)
        app.type("0\r")
        app.wait_for(lambda text: "Saved: good" in text)
        assert len(student.asks("log")["attempts"]) == number
        app.type("\x1b")
    app.wait_for(lambda text: "Enter start" in text)
    app.type("\r")
    app.wait_for(lambda text: "A digit answers" in text)
    app.type("3")
    app.wait_for(lambda text: "just noted" in text)
    assert app.kill(signal.SIGKILL) == 128 + signal.SIGKILL

    again = student.opens_the_app()
    again.wait_for(lambda text: "An attempt was left unfinished" in text)
    assert len(student.asks("log")["attempts"]) == 3
    again.type("\r")
    again.wait_for(lambda text: "it is as you left it" in text)
    assert "just noted" in again.text()
    again.type("\x11")
    again.ended()
    assert student.runs("check").returncode == 0


def _readings(screen: str) -> int:
    """How many readings stand before the result on this screen, by the dashes that are empty."""
    lines = [line[:29] for line in screen.splitlines()]
    return sum(line.rstrip().endswith("—") and "result" not in line for line in lines)
