"""Mechanisms: how defects came about by definition, counted and never offered as a discovery.

A stone stands high because its seat was cut shallow. That says how it came about, not what to
change; what went with the shallow cuts is the next question. Without the defect, or without a
reading of what brings it about, there is none.
"""

from collections.abc import Callable, Iterable

import numpy as np

from platebook.analysis.arrays import Floats, Truths
from platebook.analysis.findings.telling import sentences
from platebook.analysis.findings.telling.results import Count, Finding
from platebook.analysis.variables.attempt_log import AttemptLog
from platebook.analysis.variables.columns import Column, variable
from platebook.practice.fields import ranks

LEAST_MEASURED = 3
LEAST_SHARE, LEAST_GAP = 0.5, 0.2
"""A mechanism is shown where it holds for half of the defect's attempts and clearly more than
elsewhere."""


def _ways() -> dict[tuple[str, str], tuple[str, Callable[[Floats], Truths]]]:
    """How a defect came about, by variable and defect, and which values say so."""
    proud, deep = (float(ranks("trial_height")[level]) for level in ("proud", "deep"))
    return {
        ("depth_error_mm", "high"): ("cut shallow", lambda x: x < 0.0),
        ("depth_error_mm", "low"): ("cut deep", lambda x: x > 0.0),
        ("trial_height", "high"): ("proud with the trial stone", lambda x: x == proud),
        ("trial_height", "low"): ("deep with the trial stone", lambda x: x == deep),
    }


def mechanisms(log: AttemptLog, columns: Iterable[Column]) -> list[Finding]:
    """The mechanisms that a log shows: frequent with the defect, and more so than without it."""
    by_name = {column.variable: column for column in columns if column.kind != "level"}
    shown: list[Finding] = []
    for (name, defect), (how, holds) in _ways().items():
        column, hit = by_name.get(name), log.events.get(defect)
        if column is None or hit is None:
            continue
        known = ~np.isnan(column.values)
        true = known & holds(column.values)
        here, others = (
            Count(label=f"{word}: {how}", failed=int((true & side).sum()), of=int(side.sum()))
            for word, side in ((defect, known & hit), ("others", known & ~hit))
        )
        share, elsewhere = here.failed / max(here.of, 1), others.failed / max(others.of, 1)
        enough = here.of >= LEAST_MEASURED and share >= LEAST_SHARE
        if enough and share - elsewhere >= LEAST_GAP:
            shown.append(_mechanism(name, defect, how, (here, others)))
    return shown


def _mechanism(name: str, defect: str, how: str, counts: tuple[Count, Count]) -> Finding:
    return Finding(
        variable=name,
        family=variable(name).family,
        defect=defect,
        direction=how,
        status="mechanism",
        counts=counts,
        odds_ratio=None,
        low=None,
        high=None,
        posterior=None,
        share=None,
        sentence=sentences.mechanism(defect, how, counts),
        headline=sentences.mechanism(defect, how, counts),
        levels=counts,
    )
