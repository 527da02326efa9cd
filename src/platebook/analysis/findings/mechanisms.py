"""Mechanisms: pairs that are true by definition, counted but never offered as a discovery.

A stone stands high because its seat was cut shallow. That says how it came about, not what to
change; what went with the shallow cuts is the next question.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats, Truths
from platebook.analysis.variables.columns import Column, variable
from platebook.analysis.variables.outcomes import Counted
from platebook.practice.fields import ranks

LEAST_MEASURED = 3
LEAST_SHARE, LEAST_GAP = 0.5, 0.2
"""Shown where it holds for half of the defect's attempts and clearly more than elsewhere."""


@dataclass(frozen=True, slots=True)
class Mechanism:
    """`k` of `of` attempts with the defect had the mechanism, `others` of `of_others` without."""

    variable: str
    family: str
    defect: str
    said: str
    k: int
    of: int
    others: int
    of_others: int


def _rank(name: str, level: str) -> float:
    return float(ranks(name)[level])


def _ways() -> dict[tuple[str, str], tuple[str, Callable[[Floats], Truths]]]:
    proud, deep = _rank("trial_height", "proud"), _rank("trial_height", "deep")
    return {
        ("depth_error_mm", "high"): ("cut shallow", lambda x: x < 0.0),
        ("depth_error_mm", "low"): ("cut deep", lambda x: x > 0.0),
        ("trial_height", "high"): ("proud with the trial stone", lambda x: x == proud),
        ("trial_height", "low"): ("deep with the trial stone", lambda x: x == deep),
    }


def mechanisms(counted: Counted, columns: tuple[Column, ...]) -> tuple[Mechanism, ...]:
    """The mechanisms that this log shows: frequent with the defect, and more so than without it."""
    found: list[Mechanism] = []
    by_name = {c.variable: c for c in columns if c.kind != "level"}
    for (name, defect), (said, holds) in _ways().items():
        column, hit = by_name.get(name), counted.events.get(defect)
        if column is None or hit is None:
            continue
        known = ~np.isnan(column.values)
        true = known & holds(np.where(known, column.values, np.nan))
        of, others = int((known & hit).sum()), int((known & ~hit).sum())
        k, k_others = int((true & hit).sum()), int((true & ~hit).sum())
        share, elsewhere = k / max(of, 1), k_others / max(others, 1)
        enough = of >= LEAST_MEASURED and share >= LEAST_SHARE
        if enough and share - elsewhere >= LEAST_GAP:
            family = variable(name).family
            found.append(Mechanism(name, family, defect, said, k, of, k_others, others))
    return tuple(found)
