# ruff: noqa: T201 - a script that prints
"""What a class shares: how often something is claimed with nothing behind it, and how often found.

Run: python -m bench.class_habits [classes a cell] (default 100; 4 for a smoke run), and `shared`
behind it for the table of what all have and what one carries alone.

Each class is made of seeded logs of `tests.simulated.planted`; a common habit is planted in all of
them. A setter's own first place is asked alone and with what the class, without that setter, shows.
"""

import sys
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from tests.simulated.planted import RATES, Cause, Plan, planted

from bench.findings import IN_THE_MAP, SEED, rates_with, share
from platebook.analysis.classes.find_class import InOneGo, find_class, priors_from
from platebook.analysis.classes.search import SEED as CLASS_SEED
from platebook.analysis.findings.asking.search import PreparedLog
from platebook.analysis.variables.attempt_log import attempt_log
from platebook.analysis.variables.columns import variable
from platebook.practice.attempt import Attempt

SIZES = ((12, 15, 30), (12, 20, 80), (25, 15, 30))
"""Setters, and the fewest and most attempts of one."""

SHARED = {
    "3 setters, 80 attempts each": (80,) * 3,
    "3 setters, 200, 60 and 60 attempts": (200, 60, 60),
    "5 setters, 60 attempts each": (60,) * 5,
    "5 setters, 200 attempts and 40 each": (200, *(40,) * 4),
    "12 setters, 40 attempts each": (40,) * 12,
    "12 setters, 300 attempts and 25 each": (300, *(25,) * 11),
    "40 setters, 25 attempts each": (25,) * 40,
    "40 setters, 400 attempts and 20 each": (400, *(20,) * 39),
}
"""Attempts of each setter, the one with the most first."""

Class = dict[str, tuple[Attempt, ...]]


def a_class(size: tuple[int, int, int], causes: tuple[Cause, ...], number: int) -> Class:
    """One class: every setter with an own log of an own length, all with the same causes."""
    setters, fewest, most = size
    rng = np.random.default_rng([SEED, 7, setters, most, number])
    rates = rates_with(*(cause.defect for cause in causes))
    plan = Plan(causes=causes, rates=rates if causes else RATES)
    return {
        f"setter {n}": planted(
            replace(plan, attempts=int(rng.integers(fewest, most + 1))),
            [SEED, 8, number, n, len(causes)],
        ).attempts
        for n in range(setters)
    }


def claimed(attempts: Class) -> list[str]:
    """Families that are claimed as common; what is only worth watching is left out."""
    return [one.family for one in find_class(attempts).common if one.status == "claim"]


def print_false(classes: int) -> None:
    """Any habit called common with nothing planted (goal 0.12)."""
    print(f"\nAny common habit claimed with nothing planted, goal 0.12 ({classes} classes a cell)")
    for size in SIZES:
        hits = [bool(claimed(a_class(size, (), number))) for number in range(classes)]
        print(f"  {size[0]} setters with {size[1]} to {size[2]} attempts: {share(hits)}")


def print_power(classes: int) -> None:
    """The planted habit found as common (goal 0.88 at the first size), and what else is claimed."""
    print(f"\nA common habit planted ({classes} classes, goal 0.88)")
    found, others, all_claimed = [], 0, 0
    for number in range(classes):
        cause = IN_THE_MAP[number % len(IN_THE_MAP)]
        families = claimed(a_class(SIZES[0], (cause,), number))
        family = variable(cause.variable).family
        found.append(family in families)
        all_claimed += len(families)
        others += sum(one != family for one in families)
    size = SIZES[0]
    print(
        f"  {size[0]} setters with {size[1]} to {size[2]} attempts: power {share(found)},"
        f" false among claimed {others} of {all_claimed}"
    )


def print_carriers(classes: int) -> None:
    """One strong habit: in all setters (goal 0.88), or in the one with the most attempts (0.10)."""
    print(
        f"\nA habit of all setters, or of the one with the most attempts ({classes} classes a cell)"
    )
    for name, lengths in SHARED.items():
        shared: list[bool] = []
        carried: list[bool] = []
        for number in range(classes):
            cause = IN_THE_MAP[number % len(IN_THE_MAP)]
            family = variable(cause.variable).family
            for hits, carriers in ((shared, len(lengths)), (carried, 1)):
                attempts = with_carriers(lengths, cause, carriers, number)
                hits.append(family in claimed(attempts))
        print(f"  {name:46} all {share(shared)}, the heaviest alone {share(carried)}")


def with_carriers(lengths: Sequence[int], cause: Cause, carriers: int, number: int) -> Class:
    """A class of setters with so many attempts each; the habit is the first `carriers`' alone."""
    rates = rates_with(cause.defect)
    return {
        f"setter {n}": planted(
            Plan(attempts, causes=(cause,) if n < carriers else (), rates=rates),
            [SEED, 9, number, n, carriers],
        ).attempts
        for n, attempts in enumerate(lengths)
    }


def print_own_first(classes: int) -> None:
    """A setter's own first place, alone and with the class (goal 0.80 with it)."""
    alone: list[bool] = []
    beside: list[bool] = []
    for number in range(classes):
        cause = IN_THE_MAP[number % len(IN_THE_MAP)]
        logs = a_class((12, 25, 40), (cause,), number)
        priors = priors_from(InOneGo(logs, None, CLASS_SEED).shares())
        setter = f"setter {number % 12}"
        family = variable(cause.variable).family
        for kept, prior in ((alone, None), (beside, priors[setter])):
            log = attempt_log(logs[setter])
            search = PreparedLog.of(log, None, prior, with_heights=False).search()
            ranked = search.ranked()
            kept.append(bool(ranked) and ranked[0].family == family)
    print(
        f"\nA setter's own first place at 25 to 40 attempts ({classes} classes):"
        f" alone {share(alone)}, with the class {share(beside)} (goal 0.80)"
    )


def main(arguments: Sequence[str]) -> None:
    """Print all tables, or the one of who carries a habit."""
    classes = int(arguments[0]) if arguments else 100
    if "shared" in arguments[1:]:
        print_carriers(classes)
        return
    print_own_first(classes)
    print_power(classes)
    print_carriers(classes)
    print_false(classes)


if __name__ == "__main__":
    main(sys.argv[1:])
