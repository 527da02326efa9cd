"""Whether what went with failure is still so: the habit goes on, or has gone since a day.

| function | gives |
|---|---|
| `habits` | each finding of a log with its two sides in words, and whether it still holds |

A finding counts a whole log, and a log has a present. The habit is the side on which more failed.
It has *gone* where the last settings, ten at the least, were all on the other side, more of them
than its earlier share explains (0.95 sure). It has *faded* where as surely the defect came no more
on its own side. Anything else still holds. Values that nobody wrote down count on neither side.

A share taken from the settings before the last one on that side is held against the run after it,
so at 0, 1 and few settings nothing has gone. What is not laid out in columns any more (a variable
that the log lost) gives no habit.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Literal

import numpy as np

from platebook.analysis.arrays import Truths
from platebook.analysis.findings.candidates import Candidate
from platebook.analysis.findings.cutoffs import FORMS, Cut, count_sides, cut_log
from platebook.analysis.findings.results import Count, Finding, Result, Status
from platebook.analysis.variables.attempt_log import ANY, AttemptLog, attempt_log
from platebook.analysis.variables.columns import Column, columns, variable
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course

LEAST_SINCE = 10
SURE = 0.05

State = Literal["holds", "faded", "gone"]


class Habit(Result):
    """One finding as a habit: `phrase` is its side in words, `rest` the other one.

    `since` is the day from which none of `since_of` settings was on its side, where it has gone.
    """

    variable: str
    spoken: str
    direction: str
    defect: str
    status: Status
    phrase: str
    rest: str
    counts: tuple[Count, Count]
    state: State
    since: date | None = None
    since_of: int = 0


def habits(
    attempts: Sequence[Attempt], findings: Iterable[Finding], course: Course | None = None
) -> tuple[Habit, ...]:
    """The habits behind these findings, in their order; mechanisms are none. One setter's log."""
    log = attempt_log(attempts, course)
    by_name: dict[str, list[Column]] = {}
    for column in columns(log, course):
        by_name.setdefault(column.variable, []).append(column)
    found = (_habit(finding, by_name.get(finding.variable, []), log) for finding in findings)
    return tuple(habit for habit in found if habit is not None)


def _habit(finding: Finding, named: Sequence[Column], log: AttemptLog) -> Habit | None:
    known_outcome = finding.defect == ANY or finding.defect in log.events
    meant = _candidate(finding.direction, named)
    if finding.status == "mechanism" or not known_outcome or meant is None:
        return None
    candidate, more = meant
    known = ~np.isnan(candidate.column.values)
    if len(np.unique(candidate.column.values[known])) < 2:
        return None
    cut = cut_log(candidate, log, more=more)
    truth = log.truths(finding.defect)
    state, since, of = _state(cut, truth, log)
    return Habit(
        variable=finding.variable,
        spoken=variable(finding.variable).spoken,
        direction=finding.direction,
        defect=finding.defect,
        status=finding.status,
        phrase=cut.phrase,
        rest=cut.rest,
        counts=count_sides(cut, truth),
        state=state,
        since=since,
        since_of=of,
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


def _state(cut: Cut, truth: Truths, log: AttemptLog) -> tuple[State, date | None, int]:
    known = cut.inside | cut.outside
    here = np.flatnonzero(cut.inside)
    if not len(here):
        return "holds", None, 0
    last = int(here[-1])
    after = np.flatnonzero(known)
    after = after[after > last]
    share = len(here) / int(known[: last + 1].sum())
    if len(after) >= LEAST_SINCE and (1 - share) ** len(after) <= SURE:
        began = log.attempts[int(after[0])].began
        return "gone", began.date() if began is not None else None, len(after)
    bad = np.flatnonzero(cut.inside & truth)
    if len(bad):
        before = int(cut.inside[: bad[-1] + 1].sum())
        quiet = int(cut.inside[bad[-1] + 1 :].sum())
        if quiet and (1 - len(bad) / before) ** quiet <= SURE:
            return "faded", None, quiet
    return "holds", None, 0
