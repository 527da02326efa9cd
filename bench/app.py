# ruff: noqa: T201 - a script that prints
"""The app beside the smallest app: help, first paint, memory, next exercise, log, save and draft.

Run: python -m bench.app [attempts in the large logbook] (default 100000).

Everything is a ratio of medians of runs that take turns, so that a busy machine slows both alike.
"""

import contextlib
import os
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from bench.anew import GOAL as ANEW
from bench.drafts import bare_replaces, delays, middle_and_worst
from bench.logbooks import school
from bench.paint import clear_beside, compiled, painted

PROGRAM = ("-m", "platebook")
HELLO = ("-m", "bench.hello")
RUNS = 7
SHOWN = b" points"
"""Words that Now shows of every grade there is an exercise at, once they are worked out."""

SMALL = 1_000
SCHOOL = 100_000
SAVES = 200
DRAFT_GOAL_S = 0.05
DRAFT_BYTES = 8_000


def taking_turns(*measures: Callable[[], float], runs: int = RUNS) -> list[float]:
    """The median of each, measured in turns after one round that does not count."""
    rounds = [[measure() for measure in measures] for _ in range(runs + 1)][1:]
    return [statistics.median(one) for one in zip(*rounds, strict=True)]


def line(name: str, ratio: float, goal: float, beside: str) -> None:
    """One ratio with its goal."""
    met = "met" if ratio <= goal else "MISSED"
    print(f"  {name:44} {ratio:5.2f}   goal {goal:4.2f}   {met}   {beside}")


def spent(*arguments: str) -> float:
    """Seconds that a Python process with these arguments takes."""
    began = time.perf_counter()
    subprocess.run(  # noqa: S603 - our own program
        [sys.executable, *arguments], check=True, stdout=subprocess.DEVNULL
    )
    return time.perf_counter() - began


def start(folder: Path) -> None:
    """Help, first paint and memory of an empty start."""
    bare = "import click, sys\n@click.group()\ndef main(): pass\nmain(['--help'])"
    help_, click_ = taking_turns(lambda: spent(*PROGRAM, "--help"), lambda: spent("-c", bare))
    line("--help / python with click", help_ / click_, 1.3, f"{help_:.3f} s")
    home = {"HOME": str(folder), "PLATEBOOK_LOGBOOK": str(folder / "none.sqlite")}
    memory: dict[str, list[float]] = {"ours": [], "hello": []}

    def paint(which: str, arguments: tuple[str, ...], text: bytes) -> float:
        seen = painted(arguments, text, environment=home)
        memory[which].append(seen.peak_mib)
        return seen.seconds

    ours, hello = taking_turns(
        lambda: paint("ours", PROGRAM, b"platebook"),
        lambda: paint("hello", HELLO, b"hello-on-screen"),
    )
    line("first paint / hello", ours / hello, 1.6, f"{ours:.3f} s")
    most, least = (statistics.median(memory[name]) for name in ("ours", "hello"))
    line("memory at first paint / hello", most / least, 1.8, f"{most:.0f} MiB")


def next_exercise(book: Path, attempts: int) -> None:
    """The next exercise on screen with a school in the logbook, nothing kept from before."""
    home = {"HOME": str(book.parent), "PLATEBOOK_LOGBOOK": str(book)}

    def shown() -> float:
        clear_beside(book)
        return painted(PROGRAM, SHOWN, environment=home).seconds

    def again() -> float:
        clear_beside(book, kept=True)
        return painted(PROGRAM, SHOWN, environment=home).seconds

    cold, warm, hello = taking_turns(
        shown, again, lambda: painted(HELLO, b"hello-on-screen", environment=home).seconds
    )
    what = f"next exercise, {attempts:,} attempts / hello"
    line(what, warm / hello, 2.2, f"{warm:.3f} s, as kept from before")
    line(what, cold / hello, ANEW, f"{cold:.3f} s, all worked out anew")


def log(small: Path, large: Path, attempts: int) -> None:
    """The log on screen with very many attempts beside a few."""

    def shown(book: Path) -> float:
        home = {"HOME": str(book.parent), "PLATEBOOK_LOGBOOK": str(book)}
        return painted(PROGRAM, b"newest first", keys=b"le", environment=home).seconds

    few, many = taking_turns(lambda: shown(small), lambda: shown(large))
    line(f"log of {attempts:,} / of {SMALL:,}", many / few, 1.3, f"{many:.3f} s")


def save(book: Path) -> None:
    """An attempt through the whole door, beside a bare durable transaction of the same size."""
    from platebook.services.attempts.recording import record
    from platebook.services.session import session_at

    session = session_at(book)
    row = {"grade": "copper-2.0", "stone_diameter_mm": "1.98", "fit": "3", "result": "good"}
    bare = sqlite3.connect(book.with_suffix(".bare"), isolation_level=None)
    bare.execute("PRAGMA journal_mode = WAL")
    bare.execute("PRAGMA synchronous = FULL")
    bare.execute("CREATE TABLE row (id INTEGER PRIMARY KEY, text TEXT)")

    def ours() -> float:
        began = time.perf_counter()
        record(session, [row])
        return time.perf_counter() - began

    def floor() -> float:
        began = time.perf_counter()
        bare.execute("INSERT INTO row (text) VALUES (?)", ["x" * 1500])
        return time.perf_counter() - began

    mine, least = taking_turns(ours, floor, runs=SAVES)
    bare.close()
    print(f"  a saved attempt: {mine * 1000:.1f} ms, {mine / least:.0f} bare durable inserts")


def draft(book: Path) -> None:
    """How soon a key is in the draft on the disk, beside the goal and a bare file put in place."""
    middle, worst = middle_and_worst(delays(book))
    bare, _ = middle_and_worst(bare_replaces(book.parent, DRAFT_BYTES, SAVES))
    beside = f"{worst * 1000:.0f} ms, median {middle * 1000:.0f} ms"
    line("key to draft, p95 / 50 ms", worst / DRAFT_GOAL_S, 1.0, beside)
    print(f"  a key to the draft: {middle / bare:.0f} bare files put in place")


def main(arguments: list[str]) -> int:
    """Measure everything; the large logbook is made anew each time."""
    attempts = int(arguments[0]) if arguments else SCHOOL
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    compiled()
    with contextlib.ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="platebook-bench-")))
        start(folder)
        small = school(folder / "small.sqlite", SMALL)
        middle = school(folder / "school.sqlite", min(SCHOOL, attempts))
        next_exercise(middle, min(SCHOOL, attempts))
        large = middle if attempts <= SCHOOL else school(folder / "large.sqlite", attempts)
        log(small, large, attempts)
        save(small)
        draft(small)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
