"""Evenings: what came out of one day of practice, in numbers and in a few words.

| function | gives |
|---|---|
| `evening_on` | what was judged on one day |
| `last_evening_before` | the last such day before another one |
| `usual_gap` | how many days usually lie between two days of practice |
| `days_since_practice` | days from the last day of practice to another one |

Whole settings and settings of blocks are counted as good or not by the course's own rule; part
exercises beside them. At 0 judged there is no evening.
"""

import itertools
from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from statistics import median
from typing import TypedDict

from platebook.analysis.variables.attempt_log import attempt_log
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.practice.defects import GOOD, MISSED
from platebook.practice.people.pause import A_PAUSE
from platebook.trade.phrases import count_of
from platebook.values import Value

A_MINUTE = timedelta(minutes=1)
LEAST_GAPS = 3
A_WEEK = 7
MOST_DAYS = 14
MOST_NAMED = 2
"""Defects of an evening that are told, the most frequent first."""
LOOK_BACK = 5
"""Days of practice from which the usual gap is taken."""


class Evening(Value):
    """One day: `good` of `settings` came out good, `parts_good` of `parts` part exercises.

    `defects` are those of the settings that failed, the most frequent first, with how often.
    `minutes_each` is the middle time from one begin to the next without the `pauses`, None where
    fewer than three such times are known.
    """

    day: date
    good: int
    settings: int
    parts_good: int = 0
    parts: int = 0
    defects: tuple[tuple[str, int], ...] = ()
    minutes_each: int | None = None
    pauses: int = 0

    @property
    def pace(self) -> str:
        """How long one took and how often there was a pause: about 14 minutes each, one pause."""
        if self.minutes_each is None:
            return ""
        each = f"about {count_of(self.minutes_each, 'minute')} each"
        paused = {0: "", 1: ", one pause"}.get(self.pauses, f", {self.pauses} pauses")
        return f"{each}{paused}"

    @property
    def words(self) -> str:
        """The counts and what failed most often: 4 of 6 good, 2 loose; 1 part exercise, missed."""
        said = []
        if self.settings:
            named = [f"{often} {defect}" for defect, often in self.defects[:MOST_NAMED]]
            others = " and others" if len(self.defects) > MOST_NAMED else ""
            said.append(", ".join([f"{self.good} of {self.settings} good", *named]) + others)
        if self.parts == 1:
            said.append(f"1 part exercise, {GOOD if self.parts_good else MISSED}")
        elif self.parts:
            said.append(f"{self.parts_good} of {self.parts} part exercises good")
        return "; ".join(said)


def evening_on(day: date, attempts: Iterable[Attempt], course: Course) -> Evening | None:
    """What was judged on this day; None where nothing was."""
    here = [a for a in attempts if a.began is not None and a.began.date() == day]
    log = attempt_log(here, course)
    failing: Counter[str] = Counter(
        {defect: int((bad & log.failed).sum()) for defect, bad in log.failing.items()}
    )
    parts = [a for a in here if a.kind == "part" and a.result in {(GOOD,), (MISSED,)}]
    if not len(log) and not parts:
        return None
    return Evening(
        day=day,
        good=len(log) - log.failures,
        settings=len(log),
        parts_good=sum(a.result == (GOOD,) for a in parts),
        parts=len(parts),
        defects=tuple((defect, often) for defect, often in failing.most_common() if often),
        **_pace(here),
    )


class _Pace(TypedDict, total=False):
    minutes_each: int
    pauses: int


def _pace(attempts: Iterable[Attempt]) -> _Pace:
    """The middle time from one begin to the next, and how many gaps were longer than work is."""
    begun = sorted(a.began for a in attempts if a.began is not None and not a.day_only)
    gaps = [later - earlier for earlier, later in itertools.pairwise(begun)]
    worked = [gap / A_MINUTE for gap in gaps if timedelta() < gap < A_PAUSE]
    if len(worked) < LEAST_GAPS:
        return {}
    return {
        "minutes_each": max(round(median(worked)), 1),
        "pauses": len([g for g in gaps if g >= A_PAUSE]),
    }


def last_evening_before(day: date, attempts: Sequence[Attempt], course: Course) -> Evening | None:
    """The last day before this one on which anything was judged; None for none."""
    earlier = {d for d in days_of(attempts) if d < day}
    for known in sorted(earlier, reverse=True):
        if (evening := evening_on(known, attempts, course)) is not None:
            return evening
    return None


def usual_gap(attempts: Sequence[Attempt]) -> int:
    """Days between two days of practice, the middle one of the last few; a week before there are.

    At least one day, at most a fortnight.
    """
    days = days_of(attempts)[-LOOK_BACK - 1 :]
    gaps = [(later - earlier).days for earlier, later in itertools.pairwise(days)]
    return min(max(round(median(gaps)), 1), MOST_DAYS) if gaps else A_WEEK


def days_since_practice(attempts: Iterable[Attempt], today: date) -> int | None:
    """Days from the last dated attempt to `today`, never below 0; None without a dated attempt."""
    days = days_of(attempts)
    return max((today - days[-1]).days, 0) if days else None


def days_of(attempts: Iterable[Attempt]) -> list[date]:
    """The days of practice, each once, in order."""
    return sorted({a.began.date() for a in attempts if a.began is not None})
