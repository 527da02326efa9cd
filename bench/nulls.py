# ruff: noqa: T201 - a script that prints
"""Any false claim ever, over the checkpoints, in every way that a log of nothing looks otherwise.

Run: python -m bench.nulls [logs a null] [null ...] (default 200 of each; 2 for a smoke run).

Claims on failures (defects and heights) and on seats (width and depth) count together, as a setter
sees them. Every log is one of `tests.simulated.nothing`, seeded; a false claim is any claim.
Decided is what the checkpoints claim; printed is what `find` shows as well supported at that count.
Behind each figure stands its Monte Carlo error.
"""

import sys
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from tests.simulated.nothing import NULLS

from bench.findings import CHECKPOINTS, SEED, share
from platebook.analysis import find
from platebook.analysis.findings.deciding.claims import SEAT_SHARE, claimed_families, well_supported
from platebook.analysis.findings.measured.measured_responses import (
    measured_depth_error,
    measured_overcut,
)
from platebook.analysis.findings.measured.upstream import Seats, prepared_seats, seats_measured
from platebook.analysis.models.censored import DEPTH, OVERCUT
from platebook.analysis.variables.attempt_log import attempt_log
from platebook.practice.attempt import Attempt

GOAL = 0.12
EARLY = 3
"""How many of the checkpoints lie up to 72 attempts."""


def claims_at_checkpoints(name: str, number: int) -> list[tuple[bool, bool, bool]]:
    """Whether failures and seats are claimed, and whether that is printed, at each checkpoint."""
    attempts = NULLS[name](CHECKPOINTS[-1], [SEED, 11, number])
    log = attempt_log(attempts)
    responses = [
        seats_measured(attempts, *way)
        for way in ((OVERCUT, measured_overcut), (DEPTH, measured_depth_error))
    ]
    found = []
    for count in CHECKPOINTS:
        failures = bool(claimed_families(log.first(count), None, None, SEED))
        seats = any(_seats_claimed(measured, count) for measured in responses)
        printed = (failures or seats) and _printed(attempts[:count])
        found.append((failures, seats, printed))
    return found


def _seats_claimed(measured: Seats, count: int) -> bool:
    if len(measured) < count:
        return False
    then = measured.first(count)
    if not then.measurements.varies():
        return False
    rng = np.random.default_rng([SEED, count, len(measured.measurements.response.name)])
    return bool(well_supported(prepared_seats(then).search, rng, most=1, limit=SEAT_SHARE))


def _printed(attempts: Sequence[Attempt]) -> bool:
    shown = find(attempts, seed=SEED).findings
    shifts = (shift.status for finding in shown for shift in finding.shifts)
    return "claim" in {*(finding.status for finding in shown), *shifts}


def print_null(name: str, logs: int) -> None:
    """One null: ever false by 72 and by 152, and what it was a claim about."""
    found: NDArray[np.bool_] = np.array(
        [claims_at_checkpoints(name, number) for number in range(logs)], dtype=bool
    )
    decided = np.logical_or(found[:, :, 0], found[:, :, 1])
    printed = found[:, :, 2]
    failures, seats = (share(found[:, :, kind].any(axis=1)) for kind in (0, 1))
    early, ever = (share(decided[:, :until].any(axis=1)) for until in (EARLY, None))
    print(
        f"  {name:32} by 72 {early}  by 152 {ever}  printed {share(printed.any(axis=1))}"
        f"  (failures {failures}, seats {seats})",
        flush=True,
    )


def main(logs: int, names: Sequence[str]) -> None:
    """Print these nulls."""
    print(f"\nAny false claim ever, goal {GOAL} + 2 standard errors ({logs} logs a null)")
    for name in names:
        print_null(name, logs)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200, sys.argv[2:] or list(NULLS))
