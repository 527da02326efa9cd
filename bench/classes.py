# ruff: noqa: T201 - a script that prints
"""A class and a school: analysis cold and kept, opening, import, and the keys meanwhile.

Run: python -m bench.classes [setters of the school] (default 500; a class of 30 beside it).

Every setter has 200 attempts of the invented evening class. Openings take turns, so that a busy
machine slows both alike; what takes a minute is measured once.
"""

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from bench.app import SHOWN, line, taking_turns
from bench.echo import READY, echoes
from bench.logbooks import EACH, school
from bench.paint import painted
from bench.terminal import typed

CLASS = 30
SCHOOL = 500
COLD_S = 10.0
OPENING = 3.0
ECHO = 3.0
PER_ATTEMPT = 1.5
"""An attempt of a long import may cost this much of one of a short import (judgement)."""

RUNS = 5


def command(book: Path, *words: str) -> float:
    """Seconds that a command takes on this logbook."""
    began = time.perf_counter()
    subprocess.run(  # noqa: S603 - our own program
        [sys.executable, "-m", "platebook", "--logbook", str(book), *words],
        check=True,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    return time.perf_counter() - began


def forget(book: Path) -> None:
    """Nothing is kept any more."""
    shutil.rmtree(f"{book}-answers", ignore_errors=True)


def anew(book: Path, *words: str) -> float:
    """Seconds that a command takes where nothing is kept."""
    forget(book)
    return command(book, *words)


def log_one(book: Path) -> None:
    """One more attempt of the setter in use."""
    command(book, "record", "--grade", "copper-2.0", "--result", "good")


def kept_size(book: Path) -> float:
    """Size of what is kept, as a share of the logbook's own."""
    kept = sum(file.stat().st_size for file in Path(f"{book}-answers").iterdir())
    return kept / book.stat().st_size


def seconds(name: str, took: float, goal: float | None, beside: str = "") -> None:
    """One time, with its goal where it has one."""
    aim = "" if goal is None else f"goal {goal:4.1f} s   {'met' if took <= goal else 'MISSED'}"
    print(f"  {name:48} {took:6.1f} s   {aim}   {beside}".rstrip())


def analysis(book: Path, setters: int, goal: float | None) -> None:
    """What a class shares: nothing kept, all kept, and one setter to be done again."""
    what = f"{setters} x {EACH}"
    seconds(f"what {what} share, nothing kept", anew(book, "class", "findings"), goal)
    again = command(book, "class", "findings")
    seconds(f"what {what} share, all kept", again, None, f"{kept_size(book):.2f} of the logbook")
    log_one(book)
    seconds(f"what {what} share, one attempt later", command(book, "class", "findings"), None)


def opening(few: Path, many: Path, setters: int) -> None:
    """`class progress` and the class screen of a school beside those of a class."""

    def screen(book: Path) -> float:
        home = {"HOME": str(book.parent), "PLATEBOOK_LOGBOOK": str(book)}
        return painted(("-m", "platebook"), b"eye:", keys=b"k", environment=home).seconds

    cases: tuple[tuple[str, Callable[[Path], float]], ...] = (
        ("class progress", lambda book: command(book, "class", "progress")),
        ("class screen", screen),
    )
    for name, shown in cases:
        one, other = taking_turns(lambda: shown(few), lambda: shown(many), runs=RUNS)  # noqa: B023 - called at once
        line(f"{name}, {setters} / {CLASS} setters, kept", other / one, OPENING, f"{other:.2f} s")
    log_one(many)
    later = command(many, "class", "progress")
    print(f"  class progress of {setters}, one attempt later: {later:.2f} s")
    small = statistics.median(anew(few, "class", "progress") for _ in range(3))
    large = anew(many, "class", "progress")
    ratio = f"{large / small:.1f} times a class of {CLASS}, {setters / CLASS:.1f} times the setters"
    print(f"  class progress of {setters}, nothing kept: {large:.1f} s, {ratio}")


def importing(few: Path, many: Path, setters: int, folder: Path) -> None:
    """A school's attempts from one CSV file into an empty logbook, and its first opening after."""
    took, first = [], []
    for book in (few, many):
        table, again = folder / f"{book.stem}.csv", folder / f"{book.stem}-again.sqlite"
        command(book, "export", str(table), "--everyone")
        took.append(command(again, "import", str(table)))
        first.append(command(again, "class", "progress"))
    each = (took[1] / setters) / (took[0] / CLASS)
    what = f"import of {setters * EACH:,}, an attempt / of {CLASS * EACH:,}"
    line(what, each, PER_ATTEMPT, f"{took[1]:.1f} s, {took[0]:.1f} s")
    what = f"class progress, {setters} / {CLASS}, first after that"
    line(what, first[1] / first[0], OPENING, f"{first[1]:.2f} s")


def keys(book: Path) -> None:
    """From key to echo while a class is worked out in the app, beside a bare input."""
    home = {"HOME": str(book.parent), "PLATEBOOK_LOGBOOK": str(book)}

    def at_95(found: list[float]) -> float:
        return statistics.quantiles(found, n=20)[-1]

    with typed(("-m", "bench.echo"), home) as bare:
        bare.until(READY)
        floor = at_95(echoes(bare))
    forget(book)
    with typed(("-m", "platebook"), home) as app:
        app.until(SHOWN)
        app.press(b"k")
        app.until(b"eye:")
        app.press(b"a")
        app.until(b"Esc stops it")
        app.press(b"\x10")
        app.until(b"for commands")
        working = at_95(echoes(app))
        pool = app.children()
    print(f"  {pool} processes beside the app when the last letter was typed (2 or more: at work)")
    line(
        f"key to echo (95 %) in a {CLASS}-class at work / bare",
        working / floor,
        ECHO,
        f"{working * 1000:.0f} ms",
    )


def main(arguments: list[str]) -> int:
    """Measure everything; the logbooks are made anew each time."""
    setters = int(arguments[0]) if arguments else SCHOOL
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    with tempfile.TemporaryDirectory(prefix="platebook-bench-") as name:
        folder = Path(name)
        few = school(folder / "class.sqlite", CLASS * EACH)
        analysis(few, CLASS, COLD_S)
        keys(few)
        if not setters:
            return 0
        many = school(folder / "school.sqlite", setters * EACH)
        importing(few, many, setters, folder)
        command(few, "class", "progress")
        command(many, "class", "progress")
        opening(few, many, setters)
        analysis(many, setters, None)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
