"""How soon after a key the draft file holds it, in the real program in a terminal."""

import statistics
import time
from pathlib import Path

from bench.terminal import PATIENCE, typed

PROGRAM = ("-m", "platebook")
WHOLE_PLATE = b"w"
DIGITS = b"3" * 30
REST_S = 0.05
"""Between two keys, so that each is measured by itself, as from a fast hand."""


def delays(book: Path) -> list[float]:
    """Seconds from each digit typed into a whole plate until the draft on the disk is another."""
    folder = book.with_name(f"{book.name}-drafts")
    home = {"HOME": str(book.parent), "PLATEBOOK_LOGBOOK": str(book)}
    found = []
    with typed(PROGRAM, home) as program:
        program.until(b"good one")
        program.press(WHOLE_PLATE)
        program.until(b" judged")
        for digit in DIGITS:
            time.sleep(REST_S)
            program.read()
            before = _state(folder)
            began = time.perf_counter()
            program.press(bytes([digit]))
            while _state(folder) == before:
                if time.perf_counter() - began > PATIENCE:
                    raise RuntimeError("the draft was never written")
                program.read()
            found.append(time.perf_counter() - began)
    for draft in folder.glob("*"):
        draft.unlink()
    return found


def bare_replaces(folder: Path, size: int, runs: int) -> list[float]:
    """Seconds that a file of this size takes to be written beside itself and put in place."""
    found = []
    for _ in range(runs):
        began = time.perf_counter()
        partial = folder / "bare.part"
        partial.write_bytes(b"x" * size)
        partial.replace(folder / "bare")
        found.append(time.perf_counter() - began)
    (folder / "bare").unlink()
    return found


def middle_and_worst(seconds: list[float]) -> tuple[float, float]:
    """The median and the 95th of a hundred."""
    return statistics.median(seconds), statistics.quantiles(seconds, n=20)[-1]


def _state(folder: Path) -> tuple[tuple[str, int, int], ...]:
    try:
        drafts = [(path.name, path.stat()) for path in folder.glob("*.draft.json")]
    except OSError:
        return ()
    return tuple((name, seen.st_ino, seen.st_mtime_ns) for name, seen in drafts)
