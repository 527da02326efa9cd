# ruff: noqa: T201 - a script that prints
"""How long `find` takes, the whole call: from the attempts to the answer in sentences.

Run: python -m bench.find_speed [times] (default 9; 1 for a smoke run).

Two hundred attempts stand beside 48 Firth fits, one variable at a time, by a general library
(`firthmodels`) on as many rows: what a person with a script would wait for. Cold is the first call;
one attempt later, what checkpoints decided is kept. Both are timed in turn, in processor time of
one thread, and the middle of the ratios is told. Twenty thousand attempts are told in seconds.
"""

import os

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # before numpy is imported: processor time of one thread

import gc
import sys
import time
import warnings
from collections.abc import Callable, Sequence

import numpy as np
from firthmodels import FirthLogisticRegression
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis import find
from platebook.practice.attempt import Attempt

SEED = 20260101
VARIABLES, ROWS = 48, 200
COLD_GOAL, LATER_GOAL = 3.0, 1.0
LONG, LONG_COLD_GOAL, LONG_LATER_GOAL = 20_000, 3.0, 1.0
PLANS = {
    "nothing planted": Plan(ROWS + 1),
    "one strong cause": Plan(ROWS + 1, (Cause("clearance_mm", "loose"),)),
    "heights read on all": Plan(ROWS + 1, (Cause("clearance_mm", "loose"),), heights=True),
    "readings by lot": Plan(ROWS + 1, skips="by lot"),
}


class Memory:
    """Decisions kept in memory."""

    def __init__(self) -> None:
        self._families: dict[str, tuple[str, ...]] = {}

    def find(self, mark: str) -> tuple[str, ...] | None:
        """The families claimed then."""
        return self._families.get(mark)

    def keep(self, mark: str, families: tuple[str, ...]) -> None:
        """Keep the families claimed."""
        self._families[mark] = families


def _seconds(do: Callable[[], object]) -> float:
    gc.collect()
    start = time.process_time()
    do()
    return time.process_time() - start


def _firth_fits() -> None:
    rng = np.random.default_rng(SEED)
    columns, failed = rng.standard_normal((ROWS, VARIABLES)), rng.random(ROWS) < 0.3
    for place in range(VARIABLES):
        FirthLogisticRegression().fit(columns[:, [place]], failed.astype(int))


def _forget() -> None:
    """Empty what is kept in memory of single logs, so that the first call is one; tables stay."""
    for name, module in list(sys.modules.items()):
        if name.startswith("platebook.analysis"):
            for kept in list(vars(module).values()):
                if hasattr(kept, "cache_info") and kept.cache_info().maxsize is not None:
                    kept.cache_clear()


def _cold_and_later(attempts: Sequence[Attempt]) -> tuple[float, float]:
    kept = Memory()
    _forget()
    cold = _seconds(lambda: find(attempts[:-1], seed=SEED, decisions=kept))
    return cold, _seconds(lambda: find(attempts, seed=SEED, decisions=kept))


def print_ratios(times: int) -> None:
    """Cold, and one attempt later, over 48 Firth fits."""
    print(f"\nfind on {ROWS} attempts ÷ {VARIABLES} Firth fits of {ROWS} rows ({times} times each)")
    for name, plan in PLANS.items():
        attempts = planted(plan, [SEED, 4]).attempts
        rows = np.array([(*_cold_and_later(attempts), _seconds(_firth_fits)) for _ in range(times)])
        cold, later = (float(np.median(rows[:, i] / rows[:, 2])) for i in (0, 1))
        print(
            f"  {name:20} cold {cold:4.1f} (goal {COLD_GOAL}), one attempt later {later:4.1f} "
            f"(goal {LATER_GOAL});  {np.median(rows[:, 0]):.2f} s, {np.median(rows[:, 1]):.2f} s"
        )


def print_long() -> None:
    """Twenty thousand attempts, in processor time."""
    cold, later = _cold_and_later(planted(Plan(LONG + 1), [SEED, 5]).attempts)
    print(
        f"\nfind on {LONG:,} attempts: cold {cold:.1f} s (goal {LONG_COLD_GOAL}),"
        f" one attempt later {later:.1f} s (goal {LONG_LATER_GOAL})"
    )


def main(times: int) -> None:
    """Print both."""
    warnings.simplefilter("ignore")
    find(planted(Plan(40), 1).attempts)
    _firth_fits()
    print_ratios(times)
    print_long()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 9)
