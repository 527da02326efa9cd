# ruff: noqa: T201 - a script that prints
"""How often the right thing stands first where a cause is of a kind that `bench.findings` has not.

Run: python -m bench.kinds [logs a kind] (default 200; 5 for a smoke run).

Each kind is a way in which causes come: one rare level of eight; a cause that acts in one grade of
two; a cause of a defect that is no more frequent than others; a usual cause in a log that also has
eight levels of something that does nothing. Every log is seeded and has 80 attempts. The engine
stands beside the one that knows the cause's form, sign and defect; behind each figure stands its
Monte Carlo error.
"""

import dataclasses
import math
import sys
from collections.abc import Mapping, Sequence
from typing import Protocol

import numpy as np
from tests.simulated.nothing import EIGHT_STONES
from tests.simulated.planted import Cause, Plan, planted

from bench.findings import IN_THE_MAP, MAIN_RATE, METHODS, SEED, Tally, rates_with, share
from bench.rivals import ask
from platebook.analysis.variables.columns import LEAST_OF_A_LEVEL
from platebook.practice.attempt import Attempt
from platebook.values import replace

ATTEMPTS = 80
SHARES = (0.20, 0.17, 0.15, 0.12, 0.10, 0.09, 0.09, 0.08)
"""How often each of eight stones comes; the last one is the rare one."""

RARE, RARE_LOG_ODDS = EIGHT_STONES[-1], math.log(10.0)
DEFECTS = ("chipped", "loose", "tilted", "marred", "high")

Log = Sequence[Attempt]
Seed = list[int]


class Kind(Protocol):
    """Gives a log by its number and seed, with the cause or without it, and the cause."""

    def __call__(self, number: int, seed: Seed, *, real: bool) -> tuple[Log, Cause]:
        """The same habits follow from the same seed."""


def _usual(number: int, seed: Seed, *, real: bool) -> tuple[Log, Cause]:
    cause = IN_THE_MAP[number % len(IN_THE_MAP)]
    plan = Plan(ATTEMPTS, (cause,) if real else (), rates=rates_with(cause.defect))
    return planted(plan, seed).attempts, cause


def ordinary_defect(number: int, seed: Seed, *, real: bool) -> tuple[Log, Cause]:
    """The defect of the cause has no higher rate than it has in other logs."""
    cause = IN_THE_MAP[number % len(IN_THE_MAP)]
    return planted(Plan(ATTEMPTS, (cause,) if real else ()), seed).attempts, cause


def _stones(seed: Seed) -> list[str]:
    rng = np.random.default_rng([*seed, 88])
    while True:
        places = rng.choice(len(EIGHT_STONES), size=ATTEMPTS, p=SHARES)
        drawn = [EIGHT_STONES[place] for place in places]
        if drawn.count(RARE) >= LEAST_OF_A_LEVEL:
            return drawn


def eight_decoys(number: int, seed: Seed, *, real: bool) -> tuple[Log, Cause]:
    """A usual cause; beside it eight stones that do nothing."""
    log, cause = _usual(number, seed, real=real)
    stones = _stones(seed)
    return [a.with_values(stone_material=s) for a, s in zip(log, stones, strict=True)], cause


def rare_level(number: int, seed: Seed, *, real: bool) -> tuple[Log, Cause]:
    """One stone of eight, set five times or more, has ten times the odds of one defect."""
    defect = DEFECTS[number % len(DEFECTS)]
    log = planted(Plan(ATTEMPTS, rates=rates_with(defect)), seed).attempts
    stones, rng = _stones(seed), np.random.default_rng([*seed, 89])
    rare = np.array([float(stone == RARE) for stone in stones])
    log_odds = math.log(MAIN_RATE / (1 - MAIN_RATE)) + RARE_LOG_ODDS * (rare - rare.mean())
    hits = rng.random(ATTEMPTS) < 1 / (1 + np.exp(-log_odds))
    told = []
    for attempt, stone, hit in zip(log, stones, hits, strict=True):
        others = tuple(d for d in attempt.result or () if d not in (defect, "good"))
        result = ((defect,) if hit else ()) + others or ("good",)
        changed = replace(attempt, result=result) if real else attempt
        told.append(changed.with_values(stone_material=stone))
    return told, Cause("stone_material", defect)


def one_grade(number: int, seed: Seed, *, real: bool) -> tuple[Log, Cause]:
    """Two grades by turns, an evening each; the cause acts in one of them."""
    cause = IN_THE_MAP[number % len(IN_THE_MAP)]
    plan = Plan(ATTEMPTS, (cause,), rates=rates_with(cause.defect), moves_grades=False)
    off = planted(dataclasses.replace(plan, causes=()), seed).attempts
    on = planted(plan, seed).attempts if real else off
    told = []
    for place in range(ATTEMPTS):
        acts = place // plan.per_session % 2 == 1
        attempt = on[place] if acts else off[place]
        told.append(attempt.with_values(grade="copper-2.0" if acts else "copper-2.5"))
    return told, cause


KINDS: Mapping[str, Kind] = {
    "one rare level of eight": rare_level,
    "in one grade of two": one_grade,
    "a defect at its ordinary rate": ordinary_defect,
    "eight levels beside the cause": eight_decoys,
}


def print_kind(name: str, logs: int) -> None:
    """One kind: top-1 and power of the engine and of the one that knows."""
    tallies = {method: Tally([], [], []) for method in ("engine", "knowing")}
    for number in range(logs):
        for real in (False, True):
            log, cause = KINDS[name](number, [SEED, 12, number, int(real)], real=real)
            prepared = ask(log)
            for method, tally in tallies.items():
                tally.take(METHODS[method](prepared, cause), cause, real=real)
    engine, knowing = tallies["engine"], tallies["knowing"]
    print(
        f"  {name:30} top-1 {share(engine.right)} of {share(knowing.right)}"
        f" ({np.mean(engine.right) / np.mean(knowing.right):.2f})"
        f"   power {share(engine.power())} of {share(knowing.power())}"
        f" ({engine.power().mean() / knowing.power().mean():.2f})",
        flush=True,
    )


def main(logs: int) -> None:
    """Print every kind."""
    print(f"\nThe engine of the one that knows, at {ATTEMPTS} attempts ({logs} logs a kind)")
    for name in KINDS:
        print_kind(name, logs)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
