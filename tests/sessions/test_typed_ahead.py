"""Keys that come before there is anything to see, as from someone who knows the way."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from tests.tui.terminal import Terminal

pytestmark = [pytest.mark.pty, pytest.mark.slow]

PROGRAM = ("-m", "platebook")


def _at_home(tmp_path: Path) -> dict[str, str]:
    """A logbook with one setter in an own home."""
    named = {"PLATEBOOK_LOGBOOK": str(tmp_path / "logbook.sqlite"), "HOME": str(tmp_path)}
    add = [sys.executable, *PROGRAM, "setter", "add", "Wren Calder"]
    subprocess.run(add, check=True, env={**os.environ, **named}, stdout=subprocess.DEVNULL)
    return named


def test_a_page_asked_for_before_the_first_paint_is_shown(tmp_path: Path) -> None:
    """The log of everyone, typed at once, waits for the logbook and opens."""
    app = Terminal(*PROGRAM, **_at_home(tmp_path))
    app.type("le")
    app.wait_for(lambda text: "Nothing is logged yet" in text and " setter " in text)
    app.type("\x11")
    assert app.ended() == 0
