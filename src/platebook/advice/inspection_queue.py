"""What an instructor looks at first, and why; and the position drawn at random.

| function | gives |
|---|---|
| `fresh` | the attempts that the next draw is made from |
| `pick` | which of them a seed picks |
| `open_draws` | the draws that still wait for a look |
| `next_draw` | the draw to be kept now, if one is due |
| `waiting`, `due_on` | what of one setter waits to be looked at, and what of that on a day |

The pool are the judged attempts of the setter's last two weeks of practice that nobody else has
looked at and that were in no earlier pool, so each attempt is drawn from once. The lowest SHA-256
of seed and id wins: each attempt is as likely as any other, and nobody can draw again until another
one comes out. A draw is kept with its pool, and waits until it is looked at; what is logged after
goes into the next pool. At 0 attempts nothing is drawn, of 1 that one is.

Assumption: ids say nothing of how an attempt came out (they are random, RFC 9562 version 7).
Source of the sampling: a random order by hash, as in Duffield, Lund & Thorup, J ACM 2007;54(6):32
(from memory).

Twelve plates in ten minutes: who is stuck comes before who may move up, then verdicts that do not
fit a reading, then what keeps coming back, then those nobody has looked at for two weeks. Beside
them stands the position that was drawn at random (`next_draw`): agreement of eyes is computed from
drawn ones alone, because what an instructor chooses to look at is no sample. A drawn one is never
given a reason that would tell how its setter judged it. Common practice, but for the draw.
"""

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from hashlib import sha256
from typing import Literal

from platebook.analysis.grades.points import good_ones
from platebook.analysis.grades.progress import Progress
from platebook.analysis.grades.states import TO_BE_PASSED
from platebook.analysis.grades.whole_settings import whole_settings
from platebook.practice.attempt import Attempt, in_order
from platebook.practice.course import Course
from platebook.practice.defects import GOOD, MISSED
from platebook.practice.records import Draw, Inspection

PERIOD = timedelta(days=14)
"""How far back from the last attempt a position is still likely to lie on the bench: judgement."""


def pick(seed: str, pool: Iterable[str]) -> str:
    """The one of these ids that the seed picks, whatever their order. ValueError for none."""
    return min(pool, key=lambda drawn: (sha256(f"{seed} {drawn}".encode()).digest(), drawn))


def open_draws(
    draws: Iterable[Draw], attempts: Iterable[Attempt], looked_at: Collection[str]
) -> tuple[Draw, ...]:
    """The draws whose attempt stands, is judged and has not been looked at yet."""
    waiting = {a.attempt_id for a in attempts if a.result} - set(looked_at)
    return tuple(draw for draw in draws if draw.attempt_id in waiting)


def fresh(
    draws: Iterable[Draw], attempts: Iterable[Attempt], looked_at: Collection[str]
) -> tuple[str, ...]:
    """Ids of the attempts that the next draw is made from, in the order they were made.

    The pool of a draw whose attempt is not in the log any more is drawn from again.
    """
    judged = [a for a in in_order(attempts) if a.result and a.attempt_id]
    stand = {a.attempt_id for a in judged}
    drawn_from = {
        attempt_id for draw in draws if draw.attempt_id in stand for attempt_id in draw.pool
    }
    dated = [a.began for a in judged if a.began is not None]
    since = max(dated) - PERIOD if dated else None
    return tuple(
        a.attempt_id
        for a in judged
        if a.attempt_id is not None
        and a.attempt_id not in drawn_from
        and a.attempt_id not in looked_at
        and (since is None or (a.began is not None and a.began >= since))
    )


def next_draw(
    setter_id: str,
    draws: Sequence[Draw],
    attempts: Sequence[Attempt],
    looked_at: Collection[str],
    *,
    now: datetime | None = None,
) -> Draw | None:
    """The draw that is due of this setter; None while one waits, or where nothing is fresh."""
    if open_draws(draws, attempts, looked_at):
        return None
    pool = fresh(draws, attempts, looked_at)
    if not pool:
        return None
    return Draw(
        setter_id=setter_id,
        attempt_id=pick(setter_id, pool),
        pool=pool,
        seed=setter_id,
        drawn=now,
    )


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
    """One attempt to be looked at, why, and in words; `drawn` says it is the random one.

    `sign_off` is the grade that waits to be signed off, empty for none.
    """

    attempt_id: str
    why: Why
    sentence: str
    drawn: bool = False
    sign_off: str = ""


@dataclass(frozen=True, slots=True)
class Waiting:
    """What of one setter waits to be looked at, whatever day it is.

    `found` has its reasons already. `last` is the newest attempt that nobody looked at, empty where
    all were, and `looked` the day of the last look, None for never.
    """

    found: tuple[Due, ...]
    last: str
    looked: date | None


def waiting(
    course: Course,
    attempts: Sequence[Attempt],
    inspections: Iterable[Inspection],
    progress: Progress,
    drawn: Collection[str] = (),
) -> Waiting:
    """What waits of one setter; `drawn` are the ids drawn at random that wait for a look.

    Attempts that were looked at already are left out, but where a grade waits to be signed off.
    Nothing for a setter without attempts.
    """
    looks = tuple(inspections)
    seen = {look.attempt_id for look in looks}
    every = in_order(attempts)
    judged = [a for a in every if a.result and a.attempt_id not in seen]
    shown = _Shown(judged, frozenset(drawn))
    due = [
        *_stuck(course, shown, progress),
        *(_to_sign(every, shown, progress) or _ready(shown, progress)),
        *_contradictions(shown),
        *_again(shown),
        *_drawn(shown),
    ]
    return Waiting(
        found=tuple(due),
        last=(judged[-1].attempt_id or "") if judged else "",
        looked=max((look.looked.date() for look in looks if look.looked), default=None),
    )


def due_on(waits: Waiting, today: date) -> tuple[Due, ...]:
    """What of that to look at on this day, most pressing first; one reason an attempt."""
    due = [*waits.found, *_forgotten(waits, today)]
    first: dict[str, Due] = {}
    for reason in sorted(due, key=lambda d: ORDER.index(d.why)):
        known = first.setdefault(reason.attempt_id, reason)
        if reason.drawn and not known.drawn:
            first[reason.attempt_id] = replace(known, drawn=True)
    return tuple(first.values())


@dataclass(frozen=True, slots=True)
class _Shown:
    """The attempts that wait, and those of them that no telling reason may point at."""

    judged: Sequence[Attempt]
    drawn: Collection[str]

    def last(self, fitting: Iterable[Attempt]) -> Attempt | None:
        """The last of these that may be pointed at; None where all of them are drawn."""
        return next((a for a in reversed(tuple(fitting)) if a.attempt_id not in self.drawn), None)


def _drawn(shown: _Shown) -> list[Due]:
    return [
        Due(a.attempt_id or "", "drawn", "drawn at random", drawn=True)
        for a in shown.judged
        if a.attempt_id in shown.drawn
    ]


def _stuck(course: Course, shown: _Shown, progress: Progress) -> list[Due]:
    judged = shown.judged
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
    sentence = f"stuck: {good} of the last {len(here)} at {grade.title} were good"
    meant = shown.last(s.attempt for s in here if s.failed)
    return [Due(meant.attempt_id or "", "stuck", sentence)] if meant is not None else []


def _to_sign(every: Sequence[Attempt], shown: _Shown, progress: Progress) -> list[Due]:
    """Grades that have their points, at the last attempt there, looked at or not."""
    due = []
    for grade in progress.grades:
        there = [a for a in shown.judged if a.grade == grade.grade]
        meant = shown.last(there) or next(
            (a for a in reversed(every) if a.grade == grade.grade), every[-1] if every else None
        )
        if grade.state == "to be signed off" and meant is not None:
            points = f"{grade.points} of {grade.promote_at} points"
            sentence = f"ready to move up: {points} at {grade.title}; waits for a sign-off"
            key = meant.attempt_id or ""
            due.append(Due(key, "ready to move up", sentence, sign_off=grade.grade))
    return due


def _ready(shown: _Shown, progress: Progress) -> list[Due]:
    for grade in progress.grades:
        if grade.state in TO_BE_PASSED and grade.attempts and grade.good_to_go <= NEARLY:
            here = [a for a in shown.judged if a.grade == grade.grade and a.result == (GOOD,)]
            last = shown.last(here)
            if last is not None:
                to_go = good_ones(grade.good_to_go)
                sentence = f"ready to move up: {to_go} to go at {grade.title}"
                return [Due(last.attempt_id or "", "ready to move up", sentence)]
    return []


def _contradictions(shown: _Shown) -> list[Due]:
    due = []
    for attempt in shown.judged[-LOOKED_BACK:]:
        if attempt.attempt_id in shown.drawn:
            continue
        for name, values in CONTRADICTS.items():
            value = getattr(attempt, name)
            if attempt.result == (GOOD,) and value in values:
                words = name.replace("_", " ")
                sentence = f"called good, though the {words} was {value}"
                due.append(Due(attempt.attempt_id or "", "verdict", sentence))
    return due


def _again(shown: _Shown) -> list[Due]:
    last = shown.judged[-LOOKED_BACK:]
    defects = Counter(d for a in last for d in a.result or () if d not in (GOOD, MISSED))
    clocks = Counter(a.clock for a in last if a.clock is not None and a.result != (GOOD,))
    due = []
    for defect, times in defects.most_common(1):
        attempt = shown.last(a for a in last if defect in (a.result or ()))
        if times >= TIMES and attempt is not None:
            sentence = f"{defect} {times} times in the last {len(last)}"
            due.append(Due(attempt.attempt_id or "", "again", sentence))
    for clock, times in clocks.most_common(1):
        attempt = shown.last(a for a in last if a.clock == clock and a.result != (GOOD,))
        if times >= TIMES and attempt is not None:
            sentence = f"at {clock} o'clock {times} times in the last {len(last)}: posture or light"
            due.append(Due(attempt.attempt_id or "", "again", sentence))
    return due


def _forgotten(waits: Waiting, today: date) -> list[Due]:
    last = waits.looked
    if not waits.last or (last is not None and today - last < TWO_WEEKS):
        return []
    sentence = "never looked at" if last is None else f"not looked at since {last:%d %B}"
    return [Due(waits.last, "not looked at", sentence)]
