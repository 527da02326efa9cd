# ruff: noqa: T201 - a script that prints
"""What the counts of a claim bear out, and whether a claim that ended retires.

Run: python -m bench.support [logs a cell] (default 100; 4 for a smoke run).

A claim is decided beside practice, size, grade and evening; shown are its counts. Here is counted
how often their interval holds no difference, so that it is worth watching only, and what that costs
in power. Then a cause that ends at attempt 72 is asked about at 180, beside one that goes on.
Behind each share stands its Monte Carlo error.
"""

import sys
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import timedelta

from tests.simulated.planted import Cause, Plan, planted

from bench.findings import IN_THE_MAP, SEED, rates_with, share
from platebook.analysis.findings.find import find
from platebook.analysis.findings.telling.results import Finding, Findings
from platebook.analysis.findings.telling.sentences import holds_no_difference
from platebook.analysis.variables.columns import variable
from platebook.practice.attempt import Attempt

SIZES = (48, 80, 160)
ENDED, LATER = 72, 108
HABIT = 2.0
"""Log odds for one standard deviation more: a habit that is claimed before it ends."""

NEAR = 16
"""A date is right where it lies within two evenings of the true one."""


@dataclass
class _Tally:
    """What was decided and what is shown, over the logs of one cell."""

    decided: int = 0
    without: int = 0
    power_decided: list[bool] = field(default_factory=list)
    power_shown: list[bool] = field(default_factory=list)
    wrong_decided: list[bool] = field(default_factory=list)
    wrong_shown: list[bool] = field(default_factory=list)

    def count(self, found: Findings, family: str) -> None:
        """Count one log in which this family was planted."""
        shown = [f for f in found.findings if f.status == "claim"]
        taken = [f for f in found.findings if holds_no_difference() in f.notes]
        self.decided += len(shown) + len(taken)
        self.without += len(taken)
        self.power_shown.append(any(f.family == family for f in shown))
        self.power_decided.append(any(f.family == family for f in [*shown, *taken]))
        self.wrong_shown.append(any(f.family != family for f in shown))
        self.wrong_decided.append(any(f.family != family for f in [*shown, *taken]))


def _plan(attempts: int, cause: Cause) -> Plan:
    return Plan(attempts, (cause,), rates=rates_with(cause.defect))


def print_support(sizes: Sequence[int], logs: int) -> None:
    """How many claims their counts do not bear out, and the power before and after."""
    print(f"Claims whose shown interval holds no difference, one strong cause ({logs} logs a cell)")
    for attempts in sizes:
        tally = _Tally()
        for number in range(logs):
            cause = IN_THE_MAP[number % len(IN_THE_MAP)]
            log = planted(_plan(attempts, cause), [SEED, 6, attempts, number])
            tally.count(find(log.attempts), variable(cause.variable).family)
        print(
            f"  {attempts:4}  {tally.without} of {tally.decided} claims; "
            f"power {share(tally.power_decided)}, shown {share(tally.power_shown)}; "
            f"a wrong claim {share(tally.wrong_decided)}, shown {share(tally.wrong_shown)}"
        )


def _ended(cause: Cause, number: int) -> list[Attempt]:
    """A log in which the cause acts on the first 72 attempts alone."""
    first = planted(_plan(ENDED, cause), [SEED, 7, number]).attempts
    plan = replace(_plan(LATER, cause), causes=())
    later = planted(plan, [SEED, 8, number]).attempts
    last, begin = first[-1].began, later[0].began
    assert last is not None
    assert begin is not None
    by = last - begin + timedelta(days=2)
    moved = [a.with_values(began=a.began + by) for a in later if a.began is not None]
    return [*first, *moved]


def _of_family(found: Sequence[Finding], family: str) -> list[Finding]:
    return [f for f in found if f.family == family and f.status == "claim"]


def print_retired(logs: int) -> None:
    """A cause that ended, and one that goes on, at 180 attempts."""
    print(f"\nA claim at {ENDED + LATER} attempts ({logs} logs a cell)")
    for ends in (True, False):
        stands, retired, near = [], [], []
        for number in range(logs):
            cause = replace(IN_THE_MAP[number % len(IN_THE_MAP)], size=HABIT)
            attempts = (
                _ended(cause, number)
                if ends
                else planted(_plan(ENDED + LATER, cause), [SEED, 9, number]).attempts
            )
            found, family = find(attempts), variable(cause.variable).family
            gone = _of_family(found.retired, family)
            stands.append(bool(_of_family(found.findings, family)))
            retired.append(bool(gone))
            near += [
                abs(f.retired.attempt - ENDED - 1) <= NEAR for f in gone if f.retired is not None
            ]
        dated = f"; its date within {NEAR} attempts {share(near)}" if ends and near else ""
        what = f"the cause ends at {ENDED}" if ends else "the cause goes on"
        print(f"  {what:22} stands {share(stands)}, retired {share(retired)}{dated}")


def main(arguments: list[str]) -> int:
    """All tables; the first argument is the number of logs a cell."""
    logs = int(arguments[0]) if arguments else 100
    if "retired" not in arguments[1:]:
        print_support(SIZES, logs)
    print_retired(logs)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
