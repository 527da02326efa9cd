"""Which positions an instructor looks at first, and why; and the one that is drawn at random.

Twelve plates in ten minutes: who is stuck comes before who may move up, then verdicts that do not
fit a reading, then what keeps coming back, then those nobody has looked at for two weeks. Beside
them one position a setter is drawn at random: agreement of eyes is computed from those alone,
because what an instructor chooses to look at is no sample. Common practice, but for the draw.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal
from zlib import crc32

from platebook.analysis.progress import Progress
from platebook.analysis.whole_settings import whole_settings
from platebook.practice.attempt import Attempt, in_order
from platebook.practice.course import Course
from platebook.practice.inspection import Inspection
from platebook.practice.look import GOOD, MISSED

Why = Literal["stuck", "ready to move up", "verdict", "again", "not looked at", "drawn"]
ORDER: tuple[Why, ...] = (
    "stuck",
    "ready to move up",
    "verdict",
    "again",
    "not looked at",
    "drawn",
)
LOOKED_BACK = 8
FEW_GOOD = 2
NEARLY = 2
TIMES = 3
TWO_WEEKS = timedelta(days=14)
CONTRADICTS = {"fit": ("drops in and moves",), "trial_height": ("proud",)}
"""Readings that a good verdict does not go with."""


@dataclass(frozen=True, slots=True)
class Due:
    """One attempt to be looked at, why, and in words; `drawn` says it is the random one."""

    attempt_id: str
    why: Why
    sentence: str
    drawn: bool = False


@dataclass(frozen=True, slots=True)
class Waiting:
    """What of one setter nobody has looked at yet, whatever day it is.

    `found` has its reasons already. `last` is the newest attempt and `looked` the day of the last
    look, None for never; `pool` are the attempts of the latest day of practice, one of which is
    drawn by the setter's id.
    """

    found: tuple[Due, ...]
    last: str
    looked: date | None
    pool: tuple[str, ...]
    setter_id: str | None


def waiting(
    course: Course,
    attempts: Sequence[Attempt],
    inspections: Iterable[Inspection],
    progress: Progress,
) -> Waiting | None:
    """What waits to be looked at; None where there is nothing, as without attempts."""
    looks = tuple(inspections)
    seen = {look.attempt_id for look in looks}
    judged = [a for a in in_order(attempts) if a.result and a.attempt_id not in seen]
    if not judged:
        return None
    latest = max((a.began.date() for a in judged if a.began), default=None)
    pool = [a for a in judged if latest is None or (a.began and a.began.date() == latest)]
    return Waiting(
        found=(
            *_stuck(course, judged, progress),
            *_ready(judged, progress),
            *_contradictions(judged),
            *_again(judged),
        ),
        last=judged[-1].attempt_id or "",
        looked=max((look.looked.date() for look in looks if look.looked), default=None),
        pool=tuple(a.attempt_id or "" for a in pool),
        setter_id=pool[0].setter_id,
    )


def due(
    course: Course,
    attempts: Sequence[Attempt],
    inspections: Iterable[Inspection],
    progress: Progress,
    *,
    today: date,
) -> tuple[Due, ...]:
    """What to look at of one setter, most pressing first; one reason an attempt.

    Attempts that were looked at already are left out. Nothing for a setter without attempts.
    """
    return due_on(waiting(course, attempts, inspections, progress), today)


def due_on(waits: Waiting | None, today: date) -> tuple[Due, ...]:
    """What of that to look at on this day, most pressing first; one reason an attempt."""
    if waits is None:
        return ()
    found = [*waits.found, *_forgotten(waits, today), _drawn_at_random(waits, today)]
    first: dict[str, Due] = {}
    for one in sorted(found, key=lambda d: ORDER.index(d.why)):
        known = first.get(one.attempt_id)
        if known is None:
            first[one.attempt_id] = one
        elif one.drawn:
            first[one.attempt_id] = Due(known.attempt_id, known.why, known.sentence, drawn=True)
    return tuple(first.values())


def _drawn_at_random(waits: Waiting, today: date) -> Due:
    """One of the latest day's attempts, the same all week however often it is asked."""
    week = today.isocalendar()
    seed = f"{waits.setter_id} {week.year} {week.week} {len(waits.pool)}"
    one = waits.pool[crc32(seed.encode()) % len(waits.pool)]
    return Due(one, "drawn", "drawn at random", drawn=True)


def _stuck(course: Course, judged: Sequence[Attempt], progress: Progress) -> list[Due]:
    settings = whole_settings(course, judged)
    if not settings:
        return []
    grade = settings[-1].grade
    here = [s for s in settings if s.grade.id == grade.id][-LOOKED_BACK:]
    good = sum(not s.failed for s in here)
    standing = progress.grade(grade.id)
    passed = standing is not None and standing.state == "passed"
    if len(here) < LOOKED_BACK or good > FEW_GOOD or passed:
        return []
    told = f"stuck: {good} of the last {len(here)} at {grade.title} were good"
    failing = next((s for s in reversed(here) if s.failed), here[-1])
    return [Due(failing.attempt.attempt_id or "", "stuck", told)]


def _ready(judged: Sequence[Attempt], progress: Progress) -> list[Due]:
    for grade in progress.grades:
        if grade.state == "working" and grade.attempts and grade.good_to_go <= NEARLY:
            last = [a for a in judged if a.grade == grade.grade and a.result == (GOOD,)]
            if last:
                ones = "one good one" if grade.good_to_go == 1 else f"{grade.good_to_go} good ones"
                told = f"ready to move up: {ones} to go at {grade.title}"
                return [Due(last[-1].attempt_id or "", "ready to move up", told)]
    return []


def _contradictions(judged: Sequence[Attempt]) -> list[Due]:
    found = []
    for attempt in judged[-LOOKED_BACK:]:
        for name, values in CONTRADICTS.items():
            value = getattr(attempt, name)
            if attempt.result == (GOOD,) and value in values:
                words = name.replace("_", " ")
                told = f"called good, though the {words} was {value}"
                found.append(Due(attempt.attempt_id or "", "verdict", told))
    return found


def _again(judged: Sequence[Attempt]) -> list[Due]:
    last = judged[-LOOKED_BACK:]
    defects = Counter(d for a in last for d in a.result or () if d not in (GOOD, MISSED))
    clocks = Counter(a.clock for a in last if a.clock is not None and a.result != (GOOD,))
    found = []
    for defect, times in defects.most_common(1):
        if times >= TIMES:
            attempt = next(a for a in reversed(last) if defect in (a.result or ()))
            told = f"{defect} {times} times in the last {len(last)}"
            found.append(Due(attempt.attempt_id or "", "again", told))
    for clock, times in clocks.most_common(1):
        if times >= TIMES:
            attempt = next(a for a in reversed(last) if a.clock == clock)
            told = f"at {clock} o'clock {times} times in the last {len(last)}: posture or light"
            found.append(Due(attempt.attempt_id or "", "again", told))
    return found


def _forgotten(waits: Waiting, today: date) -> list[Due]:
    last = waits.looked
    if last is not None and today - last < TWO_WEEKS:
        return []
    told = "never looked at" if last is None else f"not looked at since {last:%d %B}"
    return [Due(waits.last, "not looked at", told)]
