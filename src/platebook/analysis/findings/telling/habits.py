"""Findings as habits: the two sides of each in the words of its cut, and whether it still holds.

| function | gives |
|---|---|
| `habits` | each lead and claim with its sides and counts; where it does not hold, since when |

The habit is the side on which more failed. A claim that does not hold any more was told so when it
was found (`retirement`); a lead is asked the same here. What is not laid out in columns any more,
or is one-valued in this log, gives no habit; mechanisms are none.
"""

from collections.abc import Iterable, Sequence

import numpy as np

from platebook.analysis.findings.asking.candidates import Candidate
from platebook.analysis.findings.asking.cutoffs import FORMS, cut_log
from platebook.analysis.findings.asking.findings_log import FindingsLog
from platebook.analysis.findings.deciding.retirement import retirement
from platebook.analysis.findings.telling.counted import Shown, count_and_tell
from platebook.analysis.findings.telling.results import Count, Finding, Result, Retired, Status
from platebook.analysis.variables.attempt_log import ANY, AttemptLog
from platebook.analysis.variables.columns import Column, variable


class Habit(Result):
    """One finding as a habit: `phrase` is its side in words, `rest` the other one.

    `counted` is what it rests on, as a sentence: both sides, or level by level where these are few.
    `retired` says since when it does not hold, with the counts since; None where it does.
    """

    variable: str
    spoken: str
    direction: str
    defect: str
    status: Status
    phrase: str
    rest: str
    counts: tuple[Count, Count]
    counted: str
    retired: Retired | None = None


def habits(asked: FindingsLog, findings: Iterable[Finding]) -> tuple[Habit, ...]:
    """The habits behind these findings, which were found in the same log, in their order."""
    by_name: dict[str, list[Column]] = {}
    for column in asked.columns:
        by_name.setdefault(column.variable, []).append(column)
    found = (_habit(finding, by_name.get(finding.variable, []), asked.log) for finding in findings)
    return tuple(habit for habit in found if habit is not None)


def _habit(finding: Finding, named: Sequence[Column], log: AttemptLog) -> Habit | None:
    known_outcome = finding.defect == ANY or finding.defect in log.events
    meant = _candidate(finding.direction, named)
    if finding.status == "mechanism" or not known_outcome or meant is None:
        return None
    candidate, more = meant
    values = candidate.column.values
    if len(np.unique(values[~np.isnan(values)])) < 2:
        return None
    cut, shown = cut_log(candidate, log, more=more), Shown.of(log, finding.defect)
    told = count_and_tell(candidate, cut, shown, more=more)
    return Habit(
        variable=finding.variable,
        spoken=variable(finding.variable).spoken,
        direction=finding.direction,
        defect=finding.defect,
        status=finding.status,
        phrase=cut.phrase,
        rest=cut.rest,
        counts=told.counts,
        counted=told.short,
        retired=finding.retired or retirement(cut, shown.truth, log),
    )


def _candidate(direction: str, named: Sequence[Column]) -> tuple[Candidate, bool] | None:
    """The column and form that a finding's direction speaks of, and which end is meant."""
    for column in named:
        if column.kind == "level":
            if direction in {column.level, f"not {column.level}"}:
                return Candidate(column, "linear", 1.0), direction == column.level
        elif column.kind == "yes/no":
            if direction in {"yes", "no"}:
                return Candidate(column, "linear", 1.0), direction == "yes"
        elif direction in FORMS:
            form, more = FORMS[direction]
            return Candidate(column, form, 1.0), more
    return None
