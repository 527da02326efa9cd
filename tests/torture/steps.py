"""An older logbook brought up to date, and a restore, killed in the middle: whole in any case."""

import contextlib
import os
import random
import shutil
import signal
import sqlite3
import time
from collections.abc import Callable
from pathlib import Path

from tests.torture.outcome import Outcome

from platebook.logbook import open_logbook, restore
from platebook.logbook.file import integrity
from platebook.logbook.file.migrating import shipped_steps

VERSIONS = sorted((Path(__file__).parents[1] / "logbook" / "versions").glob("*.sql"))


def built(version: Path, path: Path) -> Path:
    """A logbook as the frozen text of an earlier version makes it."""
    connection = sqlite3.connect(path)
    try:
        connection.executescript(version.read_text(encoding="utf-8"))
    finally:
        connection.close()
    return path


def whole_text(path: Path) -> list[str]:
    """The whole content of a logbook as SQL, but for the time and order in which it got there."""
    connection = sqlite3.connect(path)
    try:
        return sorted(line for line in connection.iterdump() if "_sqlite_migrations" not in line)
    finally:
        connection.close()


def _killed(work: Callable[[], object], seconds: float) -> None:
    pid = os.fork()
    if pid == 0:
        with contextlib.suppress(BaseException):
            work()
        os._exit(0)
    time.sleep(seconds)
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)


def _opened(path: Path) -> None:
    open_logbook(path).close()


def kill_a_step(folder: Path, version: Path, rng: random.Random) -> list[str]:
    """Three starts of one older logbook are killed, the fourth is left; gives what is wrong."""
    folder.mkdir(parents=True)
    path = built(version, folder / "book.sqlite")
    smooth = built(version, folder / "smooth.sqlite")
    _opened(smooth)
    for _ in range(3):
        _killed(lambda: _opened(path), rng.uniform(0.001, 0.08))
    wrong: list[str] = []
    with open_logbook(path) as book:
        wrong += book.ask(integrity.problems_in)
    if whole_text(path) != whole_text(smooth):
        wrong.append(f"{version.name}: killed starts leave another logbook than a smooth one")
    copies = list(folder.glob("book.before-schema-*"))
    if len(copies) != (version != VERSIONS[-1]):
        wrong.append(f"{version.name}: {len(copies)} copies from before the step")
    return [*wrong, *(f"left behind: {file.name}" for file in folder.glob(".*.new"))]


def kill_a_restore(folder: Path, rng: random.Random) -> list[str]:
    """A restore is killed: the logbook is the one before or the one put back, and it is whole."""
    folder.mkdir(parents=True)
    path, copy = built(VERSIONS[-1], folder / "book.sqlite"), folder / "copy.sqlite"
    shutil.copyfile(path, copy)
    _killed(lambda: restore(copy, path), rng.uniform(0.001, 0.15))
    with open_logbook(path) as book:
        wrong = [*book.ask(integrity.problems_in)]
    restore(copy, path)
    return [*wrong, *(f"left behind: {file.name}" for file in folder.glob(".*.new"))]


def torture(folder: Path, seconds: float, seed: int) -> Outcome:
    """Every earlier version, and restores, for so long."""
    outcome = Outcome("migrations and restores")
    rng = random.Random(seed)  # noqa: S311 - no secret, a test's seed
    end, number = time.monotonic() + seconds, 0
    assert VERSIONS[-1].name.startswith(f"{shipped_steps()[-1].number:04}")
    while time.monotonic() < end:
        for version in VERSIONS:
            number += 1
            outcome.counts["killed starts of older logbooks"] += 3
            outcome.found += kill_a_step(folder / f"step-{number}", version, rng)
            outcome.count("killed restores")
            outcome.found += kill_a_restore(folder / f"restore-{number}", rng)
            for done in (f"step-{number}", f"restore-{number}"):
                shutil.rmtree(folder / done)
    return outcome
