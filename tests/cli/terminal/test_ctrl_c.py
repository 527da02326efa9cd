"""Ctrl+C ends the program with 130, as shells say it: 128 and the number of SIGINT."""

import os
import signal
import time
from pathlib import Path
from types import MappingProxyType

import click
import pytest
from click.testing import CliRunner
from tests.cli.shell import ADA, Shell
from tests.patience import PATIENCE
from tests.tui.terminal import Terminal

from platebook.cli.main import CommandEntry, LazyGroup
from platebook.tui.running.settings import FILE_NAME

CTRL_C = "\x03"


@click.command("waits")
def waits() -> None:
    """A command that Ctrl+C interrupts at its work."""
    raise KeyboardInterrupt


@click.command("asks")
def asks() -> None:
    """A command that asks something, which is answered by the end of what there is to read."""
    click.confirm("Go on?", abort=True)


GROUP = LazyGroup(
    "platebook",
    entries=MappingProxyType(
        {name: CommandEntry(f"{__name__}:{name}", "A test's.") for name in ("waits", "asks")}
    ),
)


def test_a_command_that_ctrl_c_ends_has_the_code_of_shells() -> None:
    """What is left unanswered at the end of the input is a refusal, as it was."""
    stopped = CliRunner().invoke(GROUP, ("waits",))
    assert (stopped.exit_code, stopped.stderr) == (128 + signal.SIGINT, "\nStopped.\n")
    assert CliRunner().invoke(GROUP, ("asks",), input="").exit_code == 1


@pytest.mark.pty
def test_so_has_one_that_is_stopped_where_it_asks(tmp_path: Path) -> None:
    """And nothing was done of what it asked about."""
    shell = Shell(tmp_path)
    shell.runs("setter", "add", ADA)
    terminal = Terminal(
        "-m", "platebook", "setter", "erase", ADA, PLATEBOOK_LOGBOOK=str(shell.logbook)
    )
    terminal.wait_for(lambda text: "for good?" in text)
    terminal.type(CTRL_C)
    assert terminal.ended() == 128 + signal.SIGINT
    assert "Stopped." in terminal.text()
    assert ADA in shell.runs("setter", "list").stdout


@pytest.mark.pty
def test_so_has_the_app_before_it_has_taken_the_keys(tmp_path: Path) -> None:
    """While it still reads its settings; nothing is kept, and nothing is said to be."""
    folder = tmp_path / "platebook"
    folder.mkdir()
    slow = folder / FILE_NAME
    os.mkfifo(slow)
    logbook = str(tmp_path / "logbook.sqlite")
    terminal = Terminal("-m", "platebook", PLATEBOOK_LOGBOOK=logbook, XDG_CONFIG_HOME=str(tmp_path))
    writing = _once_it_reads(slow)
    terminal.type(CTRL_C)
    assert terminal.ended() == 128 + signal.SIGINT
    os.close(writing)
    assert terminal.text().split() == ["^C", "Stopped."]
    assert not (tmp_path / "logbook.sqlite").exists()


def _once_it_reads(fifo: Path) -> int:
    """The other end of a file that is read without an end, as soon as somebody reads it."""
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        try:
            return os.open(fifo, os.O_WRONLY | os.O_NONBLOCK)
        except OSError:
            time.sleep(0.02)
    raise AssertionError("nobody reads the settings")
