# ruff: noqa: T201 - a script that prints
"""The share good now against logs whose true share at the end is known.

Run: python -m bench.share_good [logs] (default 200 for each shape and count).

For each shape of log and 20, 80, 300, 1,000 and 2,440 settings: how often the 95 % band holds the
true share at the end, how far the estimate is off on the median, and how wide the band is; in
hundredths. Then how long the curve of 20,000 settings takes, against sorting a million numbers.
"""

import sys
import time
from collections.abc import Callable, Iterable

import numpy as np
from tests.simulated.shapes import KEPT_APART, SEVEN_MORE, SIX, known_log

from platebook.analysis.success.success_curve import success_curve, success_now

SEED = 20260303
COUNTS = (20, 80, 300, 1000, 2440)
HELD, OFF, FROM = 0.90, 0.05, 300
LONG = 20_000


def cell(shape: str, settings: int, logs: int) -> tuple[float, float, float]:
    """Share of logs whose band holds the truth, median error, and median width of the band."""
    rng = np.random.default_rng((SEED, settings, sum(shape.encode())))
    held, off, wide = [], [], []
    for _ in range(logs):
        log = known_log(shape, settings, rng)
        (now,) = success_now(log.good, log.days).points
        truth = float(log.share[-1])
        held.append(now.low <= truth <= now.high)
        off.append(abs(now.rate - truth))
        wide.append(now.high - now.low)
    return float(np.mean(held)), float(np.median(off)), float(np.median(wide))


def table(shapes: Iterable[str], logs: int) -> None:
    """Print the table of these shapes, and the worst of it against what is wanted."""
    print("| shape | " + " | ".join(f"{n:,}" for n in COUNTS) + " |")
    print("|---" * (len(COUNTS) + 1) + "|")
    cells: dict[tuple[str, int], tuple[float, float, float]] = {}
    for shape in shapes:
        row = {n: cell(shape, n, logs) for n in COUNTS}
        cells |= {(shape, n): found for n, found in row.items()}
        told = (f"{100 * h:.0f} % · {100 * o:.1f} · {100 * w:.0f}" for h, o, w in row.values())
        print(f"| {shape} | " + " | ".join(told) + " |", flush=True)
    least = min(held for held, _, _ in cells.values())
    most = max(off for (_, n), (_, off, _) in cells.items() if n >= FROM)
    error = (HELD * (1 - HELD) / logs) ** 0.5
    worst = f"{100 * least:.1f} % (wanted {100 * HELD:.0f} %, one standard error {100 * error:.1f})"
    print(f"\nworst cell: held {worst}")
    print(f"median error from {FROM} settings on: {100 * most:.1f} (wanted {100 * OFF:.0f})\n")


def speed() -> None:
    """Print what the longest log takes, against sorting a million numbers on this machine."""
    rng = np.random.default_rng(SEED)
    good, numbers = (rng.random(LONG) < 0.7).tolist(), rng.random(1_000_000)
    unit = _seconds(lambda: np.sort(numbers))
    for name, work in (("curve", lambda: success_curve(good)), ("end", lambda: success_now(good))):
        took = _seconds(work)
        print(f"{name} of {LONG:,} settings: {1000 * took:.0f} ms, {took / unit:.1f} sorts")


def _seconds(work: Callable[[], object]) -> float:
    times = []
    for _ in range(3):
        began = time.perf_counter()
        work()
        times.append(time.perf_counter() - began)
    return min(times)


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    print(f"{count} logs a cell, seed {SEED}: held · median error · width of the band (of 100)\n")
    table(SIX, count)
    table(SEVEN_MORE, count)
    table(KEPT_APART, count)
    speed()
