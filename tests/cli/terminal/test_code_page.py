"""Redirected output: names of any alphabet, nothing to obey, and readers who stop early."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from tests.cli.shell import Shell

from platebook.cli.terminal.groups import letters_of

NAME = "Żaneta Łoś"


@pytest.mark.skipif(os.name != "posix", reason="the code page is simulated by the C locale")
def test_a_name_outside_the_code_page_is_read_and_written_as_utf_8(ada: Shell) -> None:
    """The C locale without UTF-8, as another system's code page."""
    environment = {
        **os.environ,
        "PLATEBOOK_LOGBOOK": str(ada.logbook),
        "LC_ALL": "C",
        "PYTHONCOERCECLOCALE": "0",
        "PYTHONUTF8": "0",
    }
    environment.pop("PYTHONIOENCODING", None)
    done = subprocess.run(
        [sys.executable, "-m", "platebook", "setter", "add", NAME.encode("utf-8")],
        env=environment,
        capture_output=True,
        check=False,
        cwd=Path(__file__).parent,
    )
    assert (done.returncode, NAME in done.stdout.decode("utf-8")) == (0, True)
    assert NAME in ada.runs("setter", "list").stdout


@pytest.mark.parametrize(
    ("typed", "read"), [("\udcc5\udcbbaneta", "Żaneta"), ("José", "José"), ("\ud800", "\ud800")]
)
def test_bytes_that_are_utf_8_are_read_as_letters(typed: str, read: str) -> None:
    """As Python keeps each byte of a word that the locale has no letters for."""
    assert letters_of(typed) == read


def test_a_name_that_is_no_utf_8_is_refused(ada: Shell) -> None:
    """And the letter not left out: somebody would bear another name."""
    said = ada.runs("setter", "add", "Jos\udce9", code=2).stderr
    assert "read 'Jos\N{REPLACEMENT CHARACTER}', in which a letter is not in UTF-8." in said


def test_escapes_that_were_typed_are_never_obeyed(ada: Shell) -> None:
    """Complaints repeat what was typed, without what steers a terminal."""
    for words in (("record", "--set", "a\x1b[31mb"), ("x\x1b[31my",), ("log", "--\x1b[31m")):
        said = ada.runs(*words, code=2).stderr
        assert "\x1b" not in said


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("key", "restore"), "code: read 1 letter, expected 28"),
        (("setter", "erase", "Ada Quill"), "Aborted!"),
    ],
)
def test_an_answer_that_is_no_text_is_refused_in_words(
    words: tuple[str, ...], said: str, ada: Shell
) -> None:
    """Bytes that are no UTF-8 stand for no letter, wherever something is asked for."""
    assert said in ada.runs(*words, stdin=b"\xff\n", code=1).stderr


@pytest.mark.skipif(os.name != "posix", reason="the shell closes the streams")
def test_a_program_without_any_stream_ends_as_with_them(ada: Shell) -> None:
    """As a timer or another program may start it: nothing to read from and nowhere to write."""
    done = subprocess.run(
        ["sh", "-c", 'exec "$0" -m platebook key restore <&- >&- 2>&-', sys.executable],
        env={**os.environ, "PLATEBOOK_LOGBOOK": str(ada.logbook)},
        check=False,
    )
    assert done.returncode == 1


@pytest.mark.parametrize(("command", "code"), [("next", 0), ("log", 0), ("check", 0), ("nxt", 2)])
def test_who_stops_reading_changes_no_exit_code(command: str, code: int, ada: Shell) -> None:
    """As `platebook next | head` does: the other end is closed before anything is written."""
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run(
        [sys.executable, "-m", "platebook", command],
        env={**os.environ, "PLATEBOOK_LOGBOOK": str(ada.logbook)},
        stdout=writing,
        stderr=subprocess.PIPE,
        check=False,
        text=True,
    )
    os.close(writing)
    assert done.returncode == code
    assert "Traceback" not in done.stderr
    assert "BrokenPipe" not in done.stderr
