"""From a key in an attempt to the words of the next question, beside a key in a bare input.

An attempt of three readings that fails is typed in a terminal of 80 by 24 and of 120 by 40, each
key once what the one before painted has come to rest: `python -m bench.attempt_keys [rounds]`.
"""

import statistics
import sys
import tempfile
import time

from bench.echo import READY, echoes
from bench.terminal import PATIENCE, Typed, typed

KEYS = (
    (b"3", b"just noted: fit", "fit to trial height"),
    (b"2", b"just noted: trial", "trial height to ledge"),
    (b"1", b"How did it", "ledge to the result"),
    (b"4", b"How bad is", "a failure to how bad"),
    (b"2", b"first seen", "how bad to when it was seen"),
)
"""Each key, what stands on the screen after it and not before, and what it leads from and to."""
SIZES = ((80, 24), (120, 40))
ROUNDS = 12
AT_REST = 1.0
"""Seconds without a word from the program until it is taken to be at rest."""
GOAL = 3.0
BEGIN = "app"


def attempt(program: Typed) -> list[float]:
    """Seconds from each key to the words after it."""
    program.until(b"whole plate")
    rest(program)
    program.press(b"\r")
    program.until(b"how the stone itself")
    took = []
    for key, words, _ in KEYS:
        rest(program)
        began = time.perf_counter()
        program.press(key)
        written = b""
        while words not in written:
            written += program.read(PATIENCE)
            if time.perf_counter() - began > PATIENCE:
                raise RuntimeError(f"{words!r} never came: {written[-400:]!r}")
        took.append(time.perf_counter() - began)
    return took


def rest(program: Typed) -> None:
    """Until nothing more comes."""
    while program.read(AT_REST):
        pass


def at_95(found: list[float]) -> float:
    """The time that one of twenty is longer than."""
    return statistics.quantiles(found, n=20, method="inclusive")[-1]


def main(arguments: list[str]) -> int:
    """Bare input and attempt by turns, so that what else the machine does is in both."""
    rounds = int(arguments[0]) if arguments else ROUNDS
    with tempfile.TemporaryDirectory(prefix="platebook-bench-") as home:
        environment = {"HOME": home}
        for size in SIZES:
            bare: list[float] = []
            found: list[list[float]] = []
            for _ in range(rounds):
                with typed(("-m", "bench.echo"), environment, size=size) as program:
                    program.until(READY)
                    bare += echoes(program)
                with typed(("-m", "bench.attempt_keys", BEGIN), environment, size=size) as program:
                    found.append(attempt(program))
            told(size, bare, found)
    return 0


def told(size: tuple[int, int], bare: list[float], found: list[list[float]]) -> None:
    """A line a key: median and 95 % as ratios to the bare input's."""
    usual, slow = statistics.median(bare), at_95(bare)
    floor = f"median {usual * 1000:.0f} ms, 95 % {slow * 1000:.0f} ms"
    sys.stdout.write(f"{size[0]}x{size[1]}, a letter in a bare input: {floor}\n")
    for (_, _, name), took in zip(KEYS, zip(*found, strict=True), strict=True):
        middle, late = statistics.median(took), at_95(list(took))
        met = "met" if middle / usual <= GOAL else "MISSED"
        sys.stdout.write(
            f"  {name:<28} median / bare {middle / usual:5.2f}   goal {GOAL:.2f}   {met:<6}"
            f" 95 % / bare {late / slow:5.2f}   {middle * 1000:.0f} ms, {late * 1000:.0f} ms\n"
        )


def app() -> None:
    """The app on a fixed evening, with readings asked; nothing is read from a file."""
    from tests.tui.test_pictures import full

    from platebook.tui.app import BenchApp

    BenchApp(full()).run()


if __name__ == "__main__":
    if sys.argv[1:] == [BEGIN]:
        app()
    else:
        sys.exit(main(sys.argv[1:]))
