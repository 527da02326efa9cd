# ruff: noqa: T201 - a script that prints
"""The next exercise all worked out anew, beside the smallest app: from the start to its words.

Run: python -m bench.anew [rounds] (default 7).

Nothing is kept from before, as after a change from the command line: the answers beside the logbook
are thrown away before each start. Two logbooks: the invented class, and a thousand attempts of a
school's setters. The ratio of medians of rounds in turn, of the clock and of the processor; both
are of one process in a terminal, up to the words on its screen. The measure hurries itself where
the system lets it: on a busy machine it would read late, and count what the program does next.
"""

import contextlib
import os
import statistics
import sys
import tempfile
from pathlib import Path

from bench.logbooks import school
from bench.paint import Painted, clear_beside, compiled, painted

PROGRAM = ("-m", "platebook")
HELLO = ("-m", "bench.hello")
SHOWN = b" points"
"""Words that Now shows of every grade there is an exercise at, once they are worked out."""

ROUNDS = 7
HURRY = -10
SMALL = 1_000
GOAL = 3.0


def anew(book: Path) -> Painted:
    """The next exercise with nothing kept from before."""
    clear_beside(book)
    home = {"HOME": str(book.parent), "PLATEBOOK_LOGBOOK": str(book)}
    return painted(PROGRAM, SHOWN, environment=home)


def smallest(folder: Path) -> Painted:
    """The smallest app."""
    return painted(HELLO, b"hello-on-screen", environment={"HOME": str(folder)})


def beside(what: str, ours: list[Painted], hello: list[Painted]) -> None:
    """The two ratios of one logbook with the goal, and what they are ratios of."""
    for of, mine, least in (
        ("clock", [p.seconds for p in ours], [p.seconds for p in hello]),
        ("processor", [p.processor_s for p in ours], [p.processor_s for p in hello]),
    ):
        ratio = statistics.median(mine) / statistics.median(least)
        each = sorted(one / other for one, other in zip(mine, least, strict=True))
        met = "met" if ratio <= GOAL else "MISSED"
        print(
            f"  {what + ', ' + of:44} {ratio:5.2f}   goal {GOAL:4.2f}   {met}"
            f"   {statistics.median(mine):.2f} s, of {statistics.median(least):.2f} s;"
            f" each round {each[0]:.2f} to {each[-1]:.2f}"
        )


def main(arguments: list[str]) -> int:
    """Measure both logbooks; they are made anew each time."""
    from platebook.services.demo import demo_session

    rounds = int(arguments[0]) if arguments else ROUNDS
    # What the program does after its words are there is not to be counted: they are read at once.
    with contextlib.suppress(OSError):
        os.nice(HURRY)
    compiled()
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    with tempfile.TemporaryDirectory(prefix="platebook-bench-") as made:
        folder = Path(made)
        books = {
            "the invented class": demo_session(folder).path,
            f"{SMALL:,} attempts": school(folder / "school.sqlite", SMALL),
        }
        print(f"  load before: {os.getloadavg()[0]:.1f}")
        runs: dict[str, list[Painted]] = {name: [] for name in ("hello", *books)}
        for _ in range(rounds + 1):
            runs["hello"].append(smallest(folder))
            for name, book in books.items():
                runs[name].append(anew(book))
        for name in books:
            # The first round brings files into memory.
            beside(name, runs[name][1:], runs["hello"][1:])
        print(f"  load after: {os.getloadavg()[0]:.1f}; medians of {rounds} rounds in turn")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
