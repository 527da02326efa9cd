# ruff: noqa: T201 - a script that prints
"""What was measured of seats and tables: how much sooner it tells than good or failed does.

Run: python -m bench.measured_things [logs a cell] (default 200; 10 for a smoke run).

Upstream: wear of the bur widens the seats by so much for one standard deviation more wear, and
wide seats come loose. Seats as measured stand beside loose or not on the same logs. Heights: the
cause moves the table, and high, low and tilted follow from the table; the engine with the heights
of all attempts stands beside the engine without them, at more attempts, and the attempts that give
the same power are read between. Power is beyond the cut-off that the best family of one in ten
logs with nothing planted passes; every log is seeded and its truth is known.
"""

import sys
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
from tests.simulated.planted import Cause, Lift, Plan, planted

from bench.findings import SEED, Tally, rates_with, share
from platebook.analysis.findings.asking.search import PreparedLog, Ranked
from platebook.analysis.findings.deciding.claims import SEAT_SHARE
from platebook.analysis.findings.measured.measured_responses import measured_overcut
from platebook.analysis.findings.measured.upstream import prepared_seats, seats_measured, upstream
from platebook.analysis.models.censored import OVERCUT
from platebook.analysis.variables.attempt_log import attempt_log
from platebook.analysis.variables.columns import variable
from platebook.practice.attempt import Attempt

WEAR = variable("seat_bur_uses").family
LIFTS_MM = (0.015, 0.020)
WIDE_IS_LOOSE = Cause("clearance_mm", "loose")
OF_TABLES = (
    Cause("fit_checks", "high", -1),
    Cause("depth_error_mm", "high", -1),
    Cause("burnisher_tip_mm", "high"),
    Cause("spindle_tilt_deg", "tilted"),
    Cause("ledge", "tilted"),
    Cause("levelled_by", "tilted"),
)

Attempts = Sequence[Attempt]


def _of_family(ranked: Sequence[Ranked], family: str) -> tuple[bool, float, float]:
    """Whether the family stands first, its log odds, and the best family's."""
    odds = {one.family: one.log_odds for one in ranked}
    best = ranked[0].log_odds if ranked else -np.inf
    return bool(ranked) and ranked[0].family == family, odds.get(family, -np.inf), best


def _by_seats(attempts: Attempts) -> Sequence[Ranked]:
    return prepared_seats(seats_measured(attempts, OVERCUT, measured_overcut)).search().ranked()


def _by_looks(attempts: Attempts, *, with_heights: bool = False) -> Sequence[Ranked]:
    search = PreparedLog.of(attempt_log(attempts), with_heights=with_heights).search()
    return search.ranked()


def _tally(
    plans: Sequence[tuple[Plan, str]], ask: Callable[[Attempts], Sequence[Ranked]], logs: int
) -> Tally:
    """One method over seeded logs with the plan, and over the same number with nothing planted."""
    found = Tally([], [], [])
    for number in range(logs):
        plan, family = plans[number % len(plans)]
        seed = [SEED, 5, plan.attempts, number]
        first, odds, _ = _of_family(ask(planted(plan, seed).attempts), family)
        found.right.append(first)
        found.strength.append(odds)
        nothing = planted(replace(plan, causes=(), lifts=()), [*seed, 1]).attempts
        found.nothing.append(_of_family(ask(nothing), family)[2])
    return found


def _beyond(tally: Tally) -> np.ndarray:
    return np.array(tally.strength) > np.quantile(tally.nothing, 0.9)


def print_upstream(logs: int) -> None:
    """Wear found from seats as measured, and from loose or not."""
    print(f"\nBur wear that widens the seats ({logs} logs a cell; goal 0.85 at 80)")
    for lift in LIFTS_MM:
        for attempts in (40, 80):
            plan = Plan(
                attempts,
                (WIDE_IS_LOOSE,),
                lifts=(Lift("seat_bur_uses", "overcut", lift),),
            )
            seats = _tally([(plan, WEAR)], _by_seats, logs)
            looks = _tally([(plan, WEAR)], _by_looks, logs)
            print(
                f"  {lift:.3f} mm a standard deviation, {attempts:3} attempts:"
                f" measured seats power {share(_beyond(seats))}, first {share(seats.right)};"
                f" loose or not power {share(_beyond(looks))}"
            )


def print_false_upstream(logs: int) -> None:
    """Any claim about seats with nothing behind them, at a checkpoint."""
    hits = []
    for number in range(logs):
        attempts = planted(Plan(72), [SEED, 6, number]).attempts
        hits.append(any(f.claimed for one in upstream(attempts, seed=1) for f in one.families))
    print(
        f"  any false claim of seats at 72, two responses at a nominal {SEAT_SHARE} each"
        f" ({logs} logs): {share(hits)}"
    )


def _table_plans(attempts: int) -> list[tuple[Plan, str]]:
    found = []
    for cause in OF_TABLES:
        plan = Plan(attempts, (cause,), rates=rates_with(cause.defect), heights=True)
        found.append((plan, variable(cause.variable).family))
    return found


def print_heights(logs: int) -> None:
    """Power with heights, without them, and the attempts that give the same without."""
    print(f"\nHeights of all attempts, a cause that moves the table ({logs} logs a cell)")
    sizes = (40, 60, 80, 120, 160)
    without = []
    for attempts in sizes:
        tally = _tally(_table_plans(attempts), _by_looks, logs)
        without.append(float(_beyond(tally).mean()))
        print(f"  {attempts:3}  without  power {share(_beyond(tally))}  top-1 {share(tally.right)}")
    for attempts in (40, 60, 80):
        tally = _tally(_table_plans(attempts), lambda a: _by_looks(a, with_heights=True), logs)
        power = float(_beyond(tally).mean())
        same = float(np.interp(power, np.maximum.accumulate(without), sizes))
        over = "at least " if power > max(without) else ""
        print(
            f"  {attempts:3}  with     power {share(_beyond(tally))}  top-1 {share(tally.right)}"
            f"  worth {over}{same / attempts:.1f} times the attempts"
        )


def main(logs: int) -> None:
    """Print all tables."""
    print_upstream(logs)
    print_false_upstream(max(logs // 2, 5))
    print_heights(logs)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
