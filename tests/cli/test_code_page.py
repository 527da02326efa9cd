"""Redirected output: names of any alphabet, whatever the system takes for a file's code page."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from tests.cli.shell import Shell

NAME = "Żaneta Łoś"


@pytest.mark.skipif(os.name != "posix", reason="the code page is simulated by the C locale")
def test_a_name_outside_the_code_page_is_written_as_utf_8(ada: Shell) -> None:
    """The C locale without UTF-8, as another system's code page."""
    ada.runs("setter", "add", NAME)
    environment = {
        **os.environ,
        "PLATEBOOK_LOGBOOK": str(ada.logbook),
        "LC_ALL": "C",
        "PYTHONCOERCECLOCALE": "0",
        "PYTHONUTF8": "0",
    }
    environment.pop("PYTHONIOENCODING", None)
    done = subprocess.run(
        [sys.executable, "-m", "platebook", "setter", "list"],
        env=environment,
        capture_output=True,
        check=False,
        cwd=Path(__file__).parent,
    )
    assert (done.returncode, NAME in done.stdout.decode("utf-8")) == (0, True)


def test_escapes_that_were_typed_are_never_obeyed(ada: Shell) -> None:
    """Complaints repeat what was typed, without what steers a terminal."""
    for words in (("record", "--set", "a\x1b[31mb"), ("x\x1b[31my",), ("log", "--\x1b[31m")):
        said = ada.runs(*words, code=2).stderr
        assert "\x1b" not in said
