"""A shell to type commands into: one logbook in a folder of its own, nothing of this machine."""

import contextlib
import functools
import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from click.testing import CliRunner, Result
from tests.simulated.planted import Cause, Plan, planted

from platebook.cli.main import main
from platebook.practice.reading.attempt_rows import json_row

ADA = "Ada Quill"
COURSE = "small-to-large"
HABIT = Plan(attempts=64, causes=(Cause("clearance_mm", "loose", size=1.6),))
SEED = 7


@dataclass(frozen=True)
class Shell:
    """`platebook` in a folder, with `PLATEBOOK_LOGBOOK` naming the logbook in it.

    Escapes are not taken away from the output, as they are not on a terminal.
    """

    folder: Path
    runner: CliRunner = field(default_factory=CliRunner)

    @property
    def logbook(self) -> Path:
        """The logbook that the variable names."""
        return self.folder / "logbook.sqlite"

    def runs(self, *words: str, stdin: str | bytes | None = None, code: int = 0) -> Result:
        """The outcome of one command, which has to end with this exit code."""
        env = {"PLATEBOOK_LOGBOOK": str(self.logbook), "TERM": "dumb"}
        with contextlib.chdir(self.folder):
            done = self.runner.invoke(
                main, words, input=stdin, env=env, color=True, catch_exceptions=False
            )
        assert done.exit_code == code, done.stderr
        return done

    def answers(self, *words: str, stdin: str | bytes | None = None) -> dict[str, Any]:
        """What the command prints with `--json`."""
        found = json.loads(self.runs(*words, "--json", stdin=stdin).stdout)
        assert isinstance(found, dict)
        return found

    def attempts(self) -> list[dict[str, Any]]:
        """Every attempt in the logbook, oldest first."""
        found = self.answers("log", "--all", "--everyone")["attempts"]
        assert isinstance(found, list)
        return found


def with_ada(folder: Path) -> Shell:
    """A logbook in which Ada follows the first course and owns a seat bur."""
    shell = Shell(folder)
    shell.logbook.write_bytes(_adas_logbook())
    return shell


@functools.cache
def _adas_logbook() -> bytes:
    """The file, made once by commands; copies of it are one logbook to each other."""
    with TemporaryDirectory() as folder:
        shell = Shell(Path(folder))
        shell.runs("setter", "add", ADA, "--course", COURSE)
        shell.runs("drawer", "add", "bur", "1.9", "--shape", "setting")
        return shell.logbook.read_bytes()


def with_a_season(folder: Path) -> Shell:
    """Ada after 64 settings whose loose stones go with a loose seat."""
    shell = with_ada(folder)
    rows = [
        json_row(attempt.with_values(attempt_id=None, setter_id=None, setter=ADA))
        for attempt in planted(HABIT, SEED).attempts
    ]
    shell.runs("record", "--from", "-", stdin=json.dumps(rows))
    return shell


def keys_of(value: object, path: str = "") -> Iterator[str]:
    """The path of every key in a JSON value: `seat_bur.target_mm`, `attempts[].result`."""
    match value:
        case dict():
            for key, inner in value.items():
                here = f"{path}.{key}" if path else key
                yield here
                yield from keys_of(inner, here)
        case list():
            for inner in value:
                yield from keys_of(inner, f"{path}[]")
