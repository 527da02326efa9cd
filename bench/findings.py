# ruff: noqa: T201 - a script that prints
"""What goes with failure: how often the right thing stands first, and how often a wrong one does.

Run: python -m bench.findings [logs a cell] (default 200; 20 for a smoke run).

Every log comes from `tests.simulated.planted`, seeded; its truth is known. Top-1 is the share of
logs in which the planted family stands first; power also asks that it is beyond the cut-off that
one in ten logs with nothing planted passes. The engine stands beside raw rank tests and beside one
that knows the cause's form, sign and defect. Behind each figure stands its Monte Carlo error.
"""

import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from tests.simulated.planted import RATES, STRONG, Cause, Plan, planted

from bench.rivals import ask, first_by_firth, first_by_forest, first_by_knowing, first_by_rank_tests
from platebook.analysis.findings.asking.search import PreparedLog
from platebook.analysis.findings.deciding.claims import claimed_families
from platebook.analysis.findings.deciding.null_logs import claim_share, lead_share
from platebook.analysis.findings.find import find
from platebook.analysis.variables.attempt_log import attempt_log
from platebook.analysis.variables.columns import variable

SEED = 20260101
SIZES = (20, 40, 80, 160)
CHECKPOINTS = (32, 48, 72, 104, 152)
NOMINAL = 0.10
MAIN_RATE, OTHER_RATES = 0.17, 0.6

IN_THE_MAP = (
    Cause("clearance_mm", "loose"),
    Cause("ledge", "tilted"),
    Cause("runout", "loose"),
    Cause("metal_state", "loose"),
    Cause("clearance_mm", "high", -1),
    Cause("burnisher_tip_mm", "marred", -1),
    Cause("depth_error_mm", "loose", -1),
    Cause("effort", "chipped"),
    Cause("speed_step", "loose"),
    Cause("spindle_tilt_deg", "tilted"),
)
AGAINST_THE_MAP = (
    Cause("clearance_mm", "loose", -1),
    Cause("ledge", "tilted", -1),
    Cause("runout", "loose", -1),
    Cause("pilot_ratio", "loose"),
    Cause("light", "high"),
    Cause("burnisher_tip_mm", "marred"),
    Cause("hammer_g", "tilted"),
    Cause("effort", "chipped", -1),
)
TOO_MUCH_AND_TOO_LITTLE = (
    Cause("clearance_mm", "loose", form="distance"),
    Cause("pilot_ratio", "tilted", form="distance"),
    Cause("opening_ratio", "loose", form="distance"),
)
DRIFTING = ("magnification", "hammer_g", "burnisher_tip_mm", "pilot_ratio", "spindle_tilt_deg")
NOTHING = {
    "nothing matters": Plan(moves_grades=False),
    "decoys follow the calendar": Plan(moves_grades=False, drifting=DRIFTING),
    "the course moves stone and metal": Plan(),
    "readings by lot": Plan(skips="by lot"),
}


def share(hits: object) -> str:
    """A share with its Monte Carlo error."""
    truths = np.asarray(hits, dtype=bool)
    rate = float(truths.mean())
    return f"{rate:.2f} ± {np.sqrt(max(rate * (1 - rate), 1e-9) / truths.size):.2f}"


@dataclass
class Tally:
    """What one method said: first family right, its strength, and its strength on nothing."""

    right: list[bool]
    strength: list[float]
    nothing: list[float]

    def power(self) -> np.ndarray:
        """First and beyond the cut-off that one in ten logs with nothing passes."""
        cut = np.quantile(self.nothing, 0.9)
        return np.array(self.right) & (np.array(self.strength) > cut)

    def take(self, answer: tuple[str, float], cause: Cause, *, real: bool) -> None:
        """Count what was said of one log: of one with this cause in it, or of nothing."""
        first, strength = answer
        if real:
            self.right.append(first == variable(cause.variable).family)
            self.strength.append(strength)
        else:
            self.nothing.append(strength)


def rates_with(*defects: str) -> dict[str, float]:
    """How often each defect comes: these, whose causes are planted, oftener than the others."""
    others = {defect: rate * OTHER_RATES for defect, rate in RATES.items()}
    return others | dict.fromkeys(defects, MAIN_RATE)


def _engine(prepared: PreparedLog) -> tuple[str, float]:
    search = prepared.search()
    ranked = search.ranked()
    return (ranked[0].family, ranked[0].log_odds) if ranked else ("", -np.inf)


Method = Callable[[PreparedLog, Cause], tuple[str, float]]
METHODS: dict[str, Method] = {
    "engine": lambda prepared, _: _engine(prepared),
    "knowing": first_by_knowing,
    "rank tests": lambda prepared, _: _turned(first_by_rank_tests(prepared.log.attempts)),
}
FURTHER: dict[str, Method] = {
    "Firth, one by one": lambda prepared, _: first_by_firth(prepared.log.attempts),
    "random forest": lambda prepared, _: first_by_forest(prepared.log.attempts),
}


def _turned(found: tuple[str, float]) -> tuple[str, float]:
    """A small p is a strong answer."""
    return found[0], -found[1]


def rivals(
    causes: Sequence[Cause], attempts: int, logs: int, methods: dict[str, Method] = METHODS
) -> dict[str, Tally]:
    """The methods on the same logs."""
    found = {name: Tally([], [], []) for name in methods}
    for number in range(logs):
        cause = causes[number % len(causes)]
        rates = rates_with(cause.defect)
        for real in (False, True):
            plan = Plan(attempts, (cause,) if real else (), rates=rates)
            log = planted(plan, [SEED, attempts, number, int(real)])
            prepared = ask(log.attempts)
            for name, method in methods.items():
                found[name].take(method(prepared, cause), cause, real=real)
    return found


def print_rivals(title: str, causes: Sequence[Cause], sizes: Sequence[int], logs: int) -> None:
    """One table: top-1 and power by method and number of attempts."""
    print(f"\n{title} ({logs} logs a cell)")
    for attempts in sizes:
        tallies = rivals(causes, attempts, logs)
        engine, knowing, ranks = (tallies[n] for n in ("engine", "knowing", "rank tests"))
        for name, tally in tallies.items():
            print(
                f"  {attempts:4}  {name:10}  top-1 {share(tally.right)}"
                f"   power {share(tally.power())}"
            )
        top = np.mean(engine.right) / max(float(np.mean(knowing.right)), 1e-9)
        power = engine.power().mean() / max(float(knowing.power().mean()), 1e-9)
        over = engine.power().mean() / max(float(ranks.power().mean()), 1 / logs)
        print(
            f"        engine ÷ knowing: top-1 {top:.2f}, power {power:.2f};"
            f" engine ÷ rank tests: power {over:.1f}"
        )


def print_further_rivals(logs: int) -> None:
    """Engine, penalised fits and a forest, at two sizes."""
    print(f"\nFurther rivals, one strong cause that the trade expects ({logs} logs a cell)")
    for attempts in (40, 80):
        tallies = rivals(IN_THE_MAP, attempts, logs, {"engine": METHODS["engine"]} | FURTHER)
        for name, tally in tallies.items():
            print(
                f"  {attempts:4}  {name:18}  top-1 {share(tally.right)}"
                f"   power {share(tally.power())}"
            )


def false_claim(plan: Plan, number: int) -> float:
    """The bootstrap share of the best family in a log with nothing planted."""
    log = attempt_log(planted(plan, [SEED, 1, plan.attempts, number]).attempts)
    if log.failures < 6 or len(log) - log.failures < 6:
        return 1.0
    search = PreparedLog.of(log).search(causes_only=True)
    ranked = search.ranked()
    rng = np.random.default_rng([SEED, number])
    return claim_share(search, ranked[0].log_odds, rng, most=399, limit=NOMINAL).value


def print_false_claims(sizes: Sequence[int], logs: int) -> None:
    """Any false claim at one look at a nominal 10 %, where nothing is planted."""
    print(f"\nAny false claim at one look, nominal 10 % ({logs} logs a cell)")
    for name, plan in NOTHING.items():
        for attempts in sizes:
            cell = replace(plan, attempts=attempts)
            shares = np.array([false_claim(cell, number) for number in range(logs)])
            print(f"  {attempts:4}  {name:34} {share(shares <= NOMINAL)}")


def print_many_looks(logs: int) -> None:
    """Any false claim ever, over all checkpoints to 152, and at each."""
    hits = []
    plans = list(NOTHING.values())[:3]
    for number in range(logs):
        log = planted(replace(plans[number % 3], attempts=152), [SEED, 2, number])
        whole = attempt_log(log.attempts)
        hits.append([bool(claimed_families(whole.first(n), None, None, 1)) for n in CHECKPOINTS])
    ever = np.array(hits)
    once = share(ever.any(axis=1))
    print(f"\nAny false claim ever, over the checkpoints to 152 ({logs} logs): {once}")
    print("  at each: " + ", ".join(f"{n}: {share(ever[:, i])}" for i, n in enumerate(CHECKPOINTS)))


def print_intervals(sizes: Sequence[int], logs: int) -> None:
    """Coverage of the shown intervals, and the shown effect against the truth."""
    print(f"\nShown findings, one strong cause planted ({logs} logs a cell)")
    for attempts in sizes:
        covered, ratio, false, shown = [], [], 0, 0
        for number in range(logs):
            cause = IN_THE_MAP[number % len(IN_THE_MAP)]
            plan = Plan(attempts, (cause,), rates=rates_with(cause.defect))
            log = planted(plan, [SEED, 3, attempts, number])
            for one in find(log.attempts).findings:
                if one.odds_ratio is None or one.low is None or one.high is None:
                    continue
                family = variable(cause.variable).family
                right = one.family == family and one.defect == cause.defect
                truth = np.exp(cause.sign * STRONG) if right else 1.0
                if one.family == family and not (right and one.variable == cause.variable):
                    continue
                covered.append(one.low - 1e-9 <= truth <= one.high + 1e-9)
                shown += one.status == "claim"
                false += one.status == "claim" and one.family != family
                if right:
                    ratio.append(np.log(one.odds_ratio) / np.log(truth))
        median = float(np.median(ratio)) if ratio else float("nan")
        print(
            f"  {attempts:4}  coverage {share(covered)}, shown ÷ true effect (log odds, median) "
            f"{median:.2f}, false among claims {false} of {shown}"
        )


def print_speed() -> None:
    """Ranking of 200 attempts with 199 draws (one thread)."""
    log = planted(Plan(200, (IN_THE_MAP[0],)), [SEED, 4]).attempts

    def once() -> None:
        search = PreparedLog.of(attempt_log(log)).search()
        ranked = search.ranked()
        lead_share(search, ranked[0].log_odds, np.random.default_rng(1), 199)

    print(f"\nRanking of 200 attempts with 199 draws: {_median_seconds(once):.2f} s")


def _median_seconds(do: Callable[[], None], times: int = 5) -> float:
    found = []
    for _ in range(times):
        start = time.process_time()
        do()
        found.append(time.process_time() - start)
    return float(np.median(found))


def main(logs: int) -> None:
    """Print every table."""
    few = max(logs // 2, 10)
    print_rivals("One strong cause that the trade expects", IN_THE_MAP, SIZES, logs)
    print_rivals("The trade map is wrong", AGAINST_THE_MAP, (80, 160), logs)
    print_rivals("Too much and too little both fail", TOO_MUCH_AND_TOO_LITTLE, (80,), few)
    print_further_rivals(min(logs, 50))
    print_false_claims(SIZES if logs > 50 else SIZES[:2], logs)
    print_many_looks(logs)
    print_intervals((40, 80) if logs > 50 else (40,), few)
    print_speed()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
