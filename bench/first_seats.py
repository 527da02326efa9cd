# ruff: noqa: T201 - a script that prints
"""The first seats of a hand that nobody knows: which bur it is given, and which chance is shown.

Run: python -m bench.first_seats [hands] (default 200 for each kind of hand and of reading).

Three rules for the seat before anything was read; from the first reading on all go by the hand as
it is learned. Burs that were bought stay at hand, and the stones are of one size, as in the first
grade of a course. For each rule: the share of the first five seats in the window and of those too
wide, what they cost (too narrow 1, too wide 2), and at the first and second seat the chance that
was shown beside the true one.
"""

import math
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import timedelta

import numpy as np

from bench.hand import FIRST, KnownHand, known_hand, read
from platebook.analysis.arrays import Floats
from platebook.analysis.measurements.hand import hand
from platebook.practice.attempt import Attempt
from platebook.trade.records import Drawer, Hand, HandForShape, Stone, Tool
from platebook.trade.rules import RuleBook
from platebook.trade.setup_sheet import SeatMethod
from platebook.trade.tools.bur_choice import (
    chance_below,
    chance_between,
    forecast,
    forecasts,
    hand_for,
    seat_bur,
    seat_window,
)
from platebook.trade.tools.expected_hand import custom_hand

SEED = 20261129
SEATS = 5
BOOK = RuleBook()
SHAPE = "setting"

KINDS: dict[str, Callable[[np.random.Generator], KnownHand]] = {
    "drawn": known_hand,
    "cuts -0.02": lambda rng: known_hand(rng, -0.02),
    "cuts 0.14": lambda rng: known_hand(rng, 0.14),
    "unsteady": lambda rng: replace(known_hand(rng), spread_mm=0.06),
}
"""Hands around custom, two that lie two standard deviations off, and one twice as unsteady."""


def _of(spread_mm: float) -> Hand:
    shape = HandForShape(shape=SHAPE, overcut_mm=custom_hand(BOOK).overcut_mm, spread_mm=spread_mm)
    return Hand(shapes=(shape,))


AS_CUSTOM, DIFFERING = _of(custom_hand(BOOK).spread_mm), _of(custom_hand(BOOK).next_spread_mm)

RULES: dict[str, tuple[Hand | None, Hand]] = {
    "custom chooses and is shown": (AS_CUSTOM, AS_CUSTOM),
    "hands differ, in both": (DIFFERING, DIFFERING),
    "as platebook does": (None, DIFFERING),
}
"""For the first seat the hand that chooses, and the one whose chance is shown."""


def first_seats(
    known: KnownHand,
    rule: str,
    way: tuple[SeatMethod, str],
    rng: np.random.Generator,
    *,
    seats: int = SEATS,
) -> Iterator[tuple[float, float, float]]:
    """Of each seat the chance shown, the true one, and the true chance of too wide.

    `way` is how the stone goes in and how the seat is read.
    """
    method, kind = way
    chooser, shown = RULES[rule]
    logged: list[Attempt] = []
    at_hand: tuple[Tool, ...] = ()
    tonight = float(rng.normal(0, 1)) * known.evening_mm
    nominal = float(rng.choice((1.5, 2.0, 2.5, 3.0)))
    for number in range(seats):
        if logged:
            chooser = shown = hand(logged)
        stone = Stone(diameter_mm=round(nominal + float(rng.normal(0, 0.02)), 2))
        drawer, window = Drawer(tools=at_hand), seat_window(stone, method, BOOK)
        burs = forecasts(drawer, chooser, stone, method, BOOK)
        bur = Tool(
            kind="bur",
            shape=SHAPE,
            size_mm=seat_bur(stone, method, burs, chooser, BOOK).predicted.size_mm,
        )
        at_hand = (*(tool for tool in at_hand if tool != bur), bur)
        mean = (bur.size_mm or 0.0) + known.overcut_mm
        yield (
            forecast(bur, hand_for(SHAPE, shown, BOOK), window).chance_of_fit,
            chance_between(*window, mean, known.next_mm),
            1 - chance_below(window[1], mean, known.next_mm),
        )
        seat = mean + tonight + float(rng.normal(0, known.spread_mm))
        attempt = Attempt(
            began=FIRST + timedelta(minutes=20 * number),
            minutes=15,
            stone_diameter_mm=stone.diameter_mm,
            seat_bur_shape=SHAPE,
            seat_bur_mm=bur.size_mm,
            seat_bur_uses=0,
        )
        logged.append(read(attempt, seat, seat - stone.diameter_mm, (kind, known.edge_mm), rng))


@dataclass(frozen=True, slots=True)
class Measured:
    """What one rule gives over hands: shares with the standard error of the fit, and chances.

    `shown` and `true` are the mean chance of each seat.
    """

    fit: float
    fit_error: float
    too_wide: float
    shown: Floats
    true: Floats

    @property
    def cost(self) -> float:
        """What a seat costs on the mean: 1 for too narrow, 2 for too wide."""
        return 1 - self.fit + self.too_wide


def measure(
    rule: str,
    hands: int,
    *,
    of: str = "drawn",
    way: tuple[SeatMethod, str] = ("snap in", "fit"),
    seats: int = SEATS,
) -> Measured:
    """So many hands of a kind, the same ones for every rule."""
    found = []
    for number in range(hands):
        rng = np.random.default_rng((SEED, number))
        found.append(list(first_seats(KINDS[of](rng), rule, way, rng, seats=seats)))
    shown, true, wide = np.moveaxis(np.array(found), 2, 0)
    return Measured(
        fit=float(true.mean()),
        fit_error=float(true.mean(axis=1).std()) / math.sqrt(hands),
        too_wide=float(wide.mean()),
        shown=shown.mean(axis=0),
        true=true.mean(axis=0),
    )


def main(hands: int) -> None:
    """Print every kind of hand to snap in by `fit`; around custom the other ways too."""
    asked: list[tuple[str, tuple[SeatMethod, str]]] = [(of, ("snap in", "fit")) for of in KINDS]
    asked += [("drawn", way) for way in (("snap in", "direct"), ("push in", "fit"))]
    asked += [("drawn", ("drop in", "fit"))]
    for of, way in asked:
        for rule in RULES:
            found = measure(rule, hands, of=of, way=way)
            print(
                f"{of:10} {way[1]:6} {way[0]:7} {rule:27}: fit {found.fit:.3f} ± "
                f"{found.fit_error:.3f}, too wide {found.too_wide:.3f}, cost {found.cost:.3f}; "
                f"shown {found.shown[0]:.2f}, {found.shown[1]:.2f} "
                f"of true {found.true[0]:.2f}, {found.true[1]:.2f}",
                flush=True,
            )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
