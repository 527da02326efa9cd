# ruff: noqa: T201 - a script that prints
"""The two grids that hands are summed on, beside a plain sum over many nodes.

Run: python -m bench.hand_grids [hands] (default 1200).

Invented hands of 1 to 120 readings, steady to 0.005 mm or as loose as 0.12, of direct readings,
pins, `fit` and all three in turn: how far off mean, spread and wear are at the worst, and in the
root mean square. The plain sum takes 25 nodes of each unknown, four of its standard deviations to
either side.
"""

import math
import sys
import time
from collections.abc import Iterator
from itertools import count, islice

import numpy as np

from platebook.analysis.measurements.overcut import COARSE, FINE, PLACES_MM, Grid, learn_overcut
from platebook.analysis.measurements.seat_readings import (
    CUSTOM_EDGE_MM,
    DIRECT_U_MM,
    FIT_U_MM,
    PIN_U_MM,
    SeatReading,
)
from platebook.trade.rules import RuleBook
from platebook.trade.tools.expected_hand import custom_hand

SEED = 20260101
COUNTS = (1, 3, 8, 20, 60, 120)
SCATTERS_MM = (0.005, 0.015, 0.03, 0.06, 0.12)
KINDS = ("direct", "pins", "fit")
MEANS_AND_EVENINGS_MM = ((0.06, 0.01), (0.14, 0.03))
AN_EVENING = 6
WEAR_MM = 0.0003
PIN_STEP_MM = 0.025

PLAIN = Grid(PLACES_MM, np.linspace(-4.0, 4.0, 25), np.zeros(25), passes=4)


def reading(
    kind: str, over: float, uses: int, session: int, rng: np.random.Generator
) -> SeatReading:
    """What a seat that is `over` millimetres wider than its bur is read as."""
    if kind == "direct":
        value = over + rng.normal(0, DIRECT_U_MM)
        return SeatReading("hart", value, value, DIRECT_U_MM, uses=uses, session=session)
    if kind == "pins":
        low = math.floor(over / PIN_STEP_MM) * PIN_STEP_MM
        return SeatReading("hart", low, low + PIN_STEP_MM, PIN_U_MM, uses=uses, session=session)
    stone = rng.choice([-0.02, 0.02, 0.05, 0.08, 0.12])
    edges = (over - stone) / CUSTOM_EDGE_MM
    low, high = next(
        pair
        for pair in ((-math.inf, -1.0), (-1.0, 0.0), (0.0, 1.0), (1.0, math.inf))
        if edges < pair[1]
    )
    return SeatReading("hart", stone, stone, FIT_U_MM, low, high, uses, session)


def hands(seed: int) -> Iterator[tuple[str, list[SeatReading]]]:
    """Each invented hand with what it is, in words."""
    rng = np.random.default_rng(seed)
    for readings in COUNTS:
        for scatter in SCATTERS_MM:
            for kind in (*KINDS, "in turn"):
                for mean, evenings in MEANS_AND_EVENINGS_MM:
                    shifts = rng.normal(0, evenings, readings // AN_EVENING + 1)
                    yield (
                        f"{readings} readings, {kind}, scatter {scatter} mm",
                        [
                            reading(
                                KINDS[number % 3] if kind == "in turn" else kind,
                                mean
                                + shifts[number // AN_EVENING]
                                + WEAR_MM * (number % 40)
                                + rng.normal(0, scatter),
                                number % 40,
                                number // AN_EVENING,
                                rng,
                            )
                            for number in range(readings)
                        ],
                    )


def main(arguments: list[str]) -> int:
    """Print a line for each grid and what is learned."""
    prior = custom_hand(RuleBook())
    most = int(arguments[0]) if arguments else 1200
    every = (one for seed in count(SEED) for one in hands(seed))
    named = list(islice(every, most))
    plain = [learn_overcut(each, prior, grid=PLAIN) for _, each in named]
    print(f"  {len(named)} hands")
    for name, grid in (("fine", FINE), ("coarse", COARSE)):
        began = time.process_time()
        ours = [learn_overcut(each, prior, grid=grid) for _, each in named]
        each_ms = 1000 * (time.process_time() - began) / len(named)
        pairs = list(zip(ours, plain, strict=True))
        for what, unit, off in (
            ("mean", "µm", [1000 * (a.mean_mm - b.mean_mm) for a, b in pairs]),
            ("spread", "%", [100 * (a.spread_mm / b.spread_mm - 1) for a, b in pairs]),
            ("wear", "µm", [1000 * (a.wear_mm_per_seat - b.wear_mm_per_seat) for a, b in pairs]),
        ):
            worst = max(range(len(off)), key=lambda place: abs(off[place]))
            print(
                f"  {name:7} {what:7} at the worst {abs(off[worst]):6.3f} {unit:3}"
                f" ({named[worst][0]}), root mean square {np.sqrt(np.mean(np.square(off))):.3f}"
            )
        print(f"  {name:7} {each_ms:.1f} ms a hand")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
