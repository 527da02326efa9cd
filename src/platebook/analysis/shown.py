"""What a found cell shows: its direction, its cut, and the counts on both sides of it."""

import numpy as np

from platebook.analysis.arrays import Truths
from platebook.analysis.candidates import Candidate
from platebook.analysis.counted import Counted
from platebook.analysis.cutoffs import Cut, cut
from platebook.analysis.findings import Count


def direction(candidate: Candidate, *, more: bool) -> str:
    """Which way: `higher`, `lower`, `away`, `near`, or the level meant."""
    column = candidate.column
    if column.kind == "level":
        return str(column.level) if more else f"not {column.level}"
    if column.kind == "yes/no":
        return "yes" if more else "no"
    if candidate.form == "distance":
        return "away" if more else "near"
    return "higher" if more else "lower"


def counts(split: Cut, truth: Truths) -> tuple[Count, Count]:
    """How many showed it on both sides of a cut: inside its phrase, then outside."""
    here, there = (
        Count(label=label, failed=int((truth & rows).sum()), of=int(rows.sum()))
        for label, rows in ((split.label, split.inside), (split.rest_label, split.outside))
    )
    return here, there


def split(candidate: Candidate, log: Counted, *, more: bool) -> Cut:
    """The cut of a candidate over all counted attempts."""
    return cut(candidate, np.ones(len(log), dtype=bool), more=more)
