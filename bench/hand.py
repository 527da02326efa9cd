# ruff: noqa: T201 - a script that prints
"""The learned hand against simulated hands whose overcut is known.

Run: python -m bench.hand [hands] (default 200 for each kind of reading and count).

For each kind of reading and 5, 20 and 80 attempts: how often the 95 % interval holds the true mean
overcut, how wide it is, and which share of the seats that the best bur would have put into the
window the chosen bur puts there. Monte Carlo errors (one standard error) stand beside.
"""

import math
import sys
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np

from platebook.analysis.measurements.hand import as_hand, overcuts
from platebook.practice.attempt import Attempt
from platebook.trade.records import Drawer, Hand, Stone, Tool
from platebook.trade.rules import RuleBook
from platebook.trade.tools.bur_choice import chance_between, forecasts, seat_window

SEED = 20260101
KINDS = ("direct", "pins", "fit")
COUNTS = (5, 20, 80)
ASKED_STONES_MM = (1.48, 1.98, 2.50, 3.01)
DRAWER = Drawer(
    tools=tuple(
        Tool(kind="bur", shape="hart", size_mm=round(1.2 + 0.05 * step, 2)) for step in range(40)
    )
)
FIRST = datetime(2026, 2, 3, 18, 30, tzinfo=UTC)
_ANSWERS = (
    "enters with a firm push",
    "enters tilted and snaps",
    "drops in",
    "drops in and moves",
)


@dataclass(frozen=True, slots=True)
class KnownHand:
    """A hand whose truth is known; millimetres. `edge_mm` is where its eye parts the answers."""

    overcut_mm: float
    spread_mm: float
    evening_mm: float
    wear_mm: float
    edge_mm: float

    @property
    def next_mm(self) -> float:
        """Standard deviation of the next seat."""
        return math.hypot(self.spread_mm, self.evening_mm)


def known_hand(rng: np.random.Generator, overcut_mm: float | None = None) -> KnownHand:
    """A hand drawn at random, with this overcut where one is given."""
    drawn = float(rng.normal(0.06, 0.04))
    return KnownHand(
        overcut_mm=drawn if overcut_mm is None else overcut_mm,
        spread_mm=float(rng.uniform(0.015, 0.045)),
        evening_mm=float(rng.choice((0.0, 0.01, 0.02))),
        wear_mm=float(rng.normal(0.0, 0.0004)),
        edge_mm=float(rng.uniform(0.045, 0.075)),
    )


def seats_of(
    known: KnownHand, count: int, kind: str, rng: np.random.Generator
) -> tuple[Attempt, ...]:
    """Attempts of this hand, eight an evening, read one way; burs 0.05 to 0.15 under the stone."""
    found = []
    tonight, uses = 0.0, int(rng.integers(0, 20))
    for number in range(count):
        evening, order = divmod(number, 8)
        if order == 0:
            tonight = float(rng.normal(0, known.evening_mm))
        if uses > 60:
            uses = 0
        stone = float(rng.choice((1.5, 2.0, 2.5, 3.0)) + rng.normal(0, 0.02))
        bur = round(round((stone - rng.choice((0.05, 0.1, 0.15))) / 0.05) * 0.05, 2)
        seat = bur + known.overcut_mm + known.wear_mm * uses + tonight
        seat += float(rng.normal(0, known.spread_mm))
        attempt = Attempt(
            began=FIRST + timedelta(days=7 * evening, minutes=20 * order),
            minutes=15,
            stone_diameter_mm=round(stone, 3),
            seat_bur_shape="hart",
            seat_bur_mm=bur,
            seat_bur_uses=uses,
        )
        found.append(read(attempt, seat, seat - stone, (kind, known.edge_mm), rng))
        uses += 1
    return tuple(found)


def read(
    attempt: Attempt,
    seat: float,
    clearance: float,
    way: tuple[str, float],
    rng: np.random.Generator,
) -> Attempt:
    """The attempt with this seat read one `way`: a kind of reading and where the eye parts fits."""
    kind, edge = way
    if kind == "direct":
        return attempt.with_values(seat_diameter_mm=round(seat + float(rng.normal(0, 0.015)), 3))
    if kind == "pins":
        step = math.floor((seat + float(rng.normal(0, 0.005))) / 0.02)
        return attempt.with_values(
            seat_go_mm=round(0.02 * step, 3), seat_nogo_mm=round(0.02 * (step + 1), 3)
        )
    felt = clearance + float(rng.normal(0, 0.0125))
    return attempt.with_values(fit=_ANSWERS[sum(felt > limit for limit in (-edge, 0.0, edge))])


def share_of_best(known: KnownHand, learned: Hand) -> tuple[float, float]:
    """Share in the window with the bur this hand chooses and with the best, over four stones."""
    book, got, best = RuleBook(chosen=("too-wide-costs-1",)), 0.0, 0.0  # the likeliest fit
    for size in ASKED_STONES_MM:
        stone = Stone(diameter_mm=size)
        window = seat_window(stone, "snap in", book)
        burs = forecasts(DRAWER, learned, stone, "snap in", book)
        chances = {
            b.size_mm: chance_between(*window, b.size_mm + known.overcut_mm, known.next_mm)
            for b in burs
        }
        got += chances[burs[0].size_mm]
        best += max(chances.values())
    return got / len(ASKED_STONES_MM), best / len(ASKED_STONES_MM)


@dataclass(frozen=True, slots=True)
class Measured:
    """What one kind of reading gives: shares with their standard errors, and a width in mm."""

    covered: float
    covered_error: float
    width_mm: float
    share: float
    share_error: float


def measure(kind: str, count: int, hands: int, *, overcut_mm: float | None = None) -> Measured:
    """Coverage and choice over this many simulated hands, seeded by kind and count."""
    rng = np.random.default_rng((SEED, KINDS.index(kind), count))
    held, widths, got, best = [], [], [], []
    for _ in range(hands):
        known = known_hand(rng, overcut_mm)
        learned = overcuts(seats_of(known, count, kind, rng))
        interval = learned["hart"].interval_mm
        held.append(interval.low <= known.overcut_mm <= interval.high)
        widths.append(interval.high - interval.low)
        one, other = share_of_best(known, as_hand(learned))
        got.append(one)
        best.append(other)
    covered, share = float(np.mean(held)), float(np.sum(got) / np.sum(best))
    ratio_error = float(np.std(np.array(got) - share * np.array(best)) / np.mean(best))
    return Measured(
        covered=covered,
        covered_error=math.sqrt(covered * (1 - covered) / hands),
        width_mm=float(np.mean(widths)),
        share=share,
        share_error=ratio_error / math.sqrt(hands),
    )


def main(hands: int) -> None:
    """Print every kind of reading and count, then two overcuts far from custom."""
    rows = [(kind, count, None) for kind in KINDS for count in COUNTS]
    fixed = [(kind, count, mm) for kind in KINDS for count in (5, 20) for mm in (0.0, 0.12)]
    for kind, count, overcut in [*rows, *fixed]:
        found = measure(kind, count, hands, overcut_mm=overcut)
        which = "drawn" if overcut is None else f"{overcut:.2f} mm"
        print(
            f"{kind:6} {count:3} attempts, overcut {which:7}: "
            f"covered {found.covered:.3f} ± {found.covered_error:.3f}, "
            f"width {found.width_mm:.3f} mm, "
            f"share of best {found.share:.3f} ± {found.share_error:.3f}",
            flush=True,
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
