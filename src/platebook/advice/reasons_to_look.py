"""Why an instructor should look at one setter's work, whatever day it is.

| function | gives |
|---|---|
| `ORDER` | the reasons, the weightiest first |
| `waiting` | what of one setter waits to be looked at, and why |

Every reason is counted over all of the setter's settings, looked at or not: who is stuck, who makes
few good ones, what keeps coming back at one place of the rim, a verdict that does not fit a
reading, who may move up, what came up again lately.

A reason that counts several settings points at the newest of all it was counted among that nobody
has looked at, good or failed: which one it is tells a teacher nothing of its verdict.

A look settles the reasons: each comes again only with settings made since the last look that bear
it out. Three stand until they are dealt with themselves: a verdict that does not fit its reading
until that position is looked at, a grade that waits for its sign-off until it is signed, and who
has stayed low as long as their own Now calls for a teacher's look at the next one.
"""

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from datetime import date, datetime
from typing import Literal, get_args

from platebook.advice.class_standing import practised_grade
from platebook.analysis.grades.points import good_ones
from platebook.analysis.grades.progress import GradeProgress, Reached
from platebook.analysis.grades.states import TO_BE_PASSED
from platebook.analysis.grades.whole_settings import whole_settings
from platebook.analysis.success.share_good import share_words
from platebook.analysis.success.stuck import LONG, LOW, stuck_at
from platebook.practice.attempt import Attempt, in_order
from platebook.practice.courses.course import Course
from platebook.practice.defects import GOOD, MISSED
from platebook.practice.records import Inspection
from platebook.trade.phrases import count_of
from platebook.values import Value

Why = Literal[
    "stuck",
    "few good",
    "keeps coming back",
    "verdict",
    "ready to move up",
    "stayed low",
    "again",
    "not seen",
    "not looked at",
    "drawn",
]
ORDER: tuple[Why, ...] = get_args(Why)
"""The reasons by weight, the weightiest first, as they stand in `Why`: common practice."""

LOOKED_BACK = 8
NEARLY = 2
TIMES = 3
OFTEN = 8
"""So many times at one place of the rim, and at least half of those whose place is known, keep
coming back: where every place is as likely, at most one log in 5,000 has as many of 16 at any of
the twelve (binomial). Both numbers are judgement."""


CONTRADICTS = frozenset({("fit", "drops in and moves"), ("trial_height", "proud")})
"""Readings that a good verdict does not go with."""

ODD = "what was read does not go with how it was judged"
"""Neither reading nor verdict is told: each gives the other away before a teacher has judged."""


class Reason(Value):
    """One reason to look at a setter's work, in words, and the attempt that it points at.

    `sign_off` is the grade that waits to be signed off, empty for none. `what` is what came up
    again or keeps coming back, in a word or two (loose, 3 o'clock); empty for the other kinds.
    """

    why: Why
    sentence: str
    attempt_id: str
    sign_off: str = ""
    what: str = ""


class Waiting(Value):
    """What of one setter waits to be looked at, whatever day it is.

    `found` has its reasons already. `last` is the newest attempt made since the last look that may
    be pointed at, empty where there is none, and `looked` the day of the last look, None for never.
    `drawn` are the positions drawn at random that wait for a look. `newest` is the newest attempt
    of all, looked at or not.
    """

    found: tuple[Reason, ...]
    last: str
    looked: date | None
    drawn: tuple[str, ...] = ()
    newest: str = ""


def waiting(
    course: Course,
    attempts: Sequence[Attempt],
    inspections: Iterable[Inspection],
    progress: Reached,
    drawn: Collection[str] = (),
) -> Waiting:
    """What waits of one setter; `drawn` are the ids drawn at random that wait for a look.

    Nothing for a setter without attempts.
    """
    looks = tuple(inspections)
    work = _Work(
        [a for a in in_order(attempts) if a.result],
        frozenset(drawn),
        frozenset(look.attempt_id for look in looks),
        max((look.looked for look in looks if look.looked), default=None),
    )
    grade, kept = practised_grade(progress, work.judged), _keeps_coming_back(work)
    low = _low_for_long(course, work, grade)
    found = [
        *(_stuck(low) or _few_good(work, grade) or _stayed_low(low)),
        *(reason for reason, _, _ in kept),
        *_contradictions(work),
        *(_to_sign(work, progress) or _ready(work, progress)),
        *_again(work, {(defect, clock) for _, defect, clock in kept}),
    ]
    open_ones = work.drawn - work.looked_at
    waits = tuple(a.attempt_id or "" for a in work.judged if a.attempt_id in open_ones)
    new = [a.attempt_id or "" for a in work.judged if work.is_new(a)]
    return Waiting(
        found=tuple(found),
        last=next(iter(waits if new else ()), new[-1] if new else ""),
        looked=work.last_look.date() if work.last_look is not None else None,
        drawn=waits,
        newest=(work.judged[-1].attempt_id or "") if work.judged else "",
    )


class _Work(Value):
    """The judged attempts in order, those drawn, those looked at, and when the last look was."""

    judged: Sequence[Attempt]
    drawn: frozenset[str]
    looked_at: frozenset[str | None]
    last_look: datetime | None

    @property
    def lately(self) -> Sequence[Attempt]:
        """The last attempts, looked at or not."""
        return self.judged[-LOOKED_BACK:]

    def is_new(self, attempt: Attempt) -> bool:
        """Whether it was made since the last look; where that is not known, if nobody looked."""
        if attempt.attempt_id in self.looked_at:
            return False
        if self.last_look is None or attempt.began is None:
            return True
        return attempt.began > self.last_look

    def pointed_at(self, known: Sequence[Attempt]) -> Attempt | None:
        """The newest of these to look at, whether or not a look settled them.

        Neither a drawn one is pointed at nor one that was looked at: the newest other one stands
        for it, else the newest other one of all. Where all others were looked at, one of those.
        """
        settled = self.drawn | self.looked_at
        choices = (
            [a for a in among if a.attempt_id not in but]
            for but in (settled, self.drawn)
            for among in (known, self.judged)
        )
        return next((free[-1] for free in choices if free), None)

    def reason(
        self,
        why: Why,
        sentence: str,
        fitting: Iterable[Attempt],
        *,
        among: Sequence[Attempt],
        what: str = "",
    ) -> list[Reason]:
        """The reason that these bear out, at the newest they were counted `among`.

        Nothing where none of them is new since the last look, or all are drawn.
        """
        meant = self.pointed_at(among) if any(map(self.is_new, fitting)) else None
        if meant is None:
            return []
        return [Reason(why, sentence, meant.attempt_id or "", what=what)]


class _Low(Value):
    """A share that has stayed low: at which grade, for how long, in words, its settings there."""

    work: _Work
    title: str
    long: str
    words: str
    settings: tuple[Attempt, ...]
    failures: tuple[Attempt, ...]


def _low_for_long(course: Course, work: _Work, grade: GradeProgress | None) -> _Low | None:
    """The state that the setter's own Now speaks of (`stuck_at`), and no other."""
    if grade is None or grade.now is None or grade.now >= LOW:
        return None
    here = [s for s in whole_settings(course, work.judged) if s.grade.id == grade.grade]
    stuck = stuck_at(here)
    if stuck is None:
        return None
    share, long = stuck.share, count_of(stuck.settings, "setting")
    words = share_words(share.share, share.low, share.high)
    failures = tuple(s.attempt for s in here if s.failed)
    return _Low(work, grade.title, long, words, tuple(s.attempt for s in here), failures)


def _stuck(low: _Low | None) -> list[Reason]:
    """Low for long, with failures since the last look."""
    if low is None:
        return []
    sentence = f"stuck at {low.title}: low for {low.long}, {low.words}"
    return low.work.reason("stuck", sentence, low.failures, among=low.settings)


def _stayed_low(low: _Low | None) -> list[Reason]:
    """The same where a look settled it: their own Now still calls for a look at the next one.

    It points at the newest setting there, good or failed, that nobody has looked at.
    """
    meant = low.work.pointed_at(low.settings) if low is not None else None
    if low is None or meant is None:
        return []
    sentence = f"has stayed low at {low.title} for {low.long}: {low.words}"
    return [Reason("stayed low", sentence, meant.attempt_id or "")]


def _few_good(work: _Work, grade: GradeProgress | None) -> list[Reason]:
    """Where the whole band of the share good now lies below what `stuck_at` calls low."""
    if grade is None or grade.now_high is None or grade.now_high >= LOW:
        return []
    words = share_words(grade.now, grade.now_low, grade.now_high)
    here = [a for a in work.judged if a.grade == grade.grade]
    failed = (a for a in here if a.result != (GOOD,))
    return work.reason("few good", f"few good at {grade.title}: {words}", failed, among=here)


def _keeps_coming_back(work: _Work) -> list[tuple[Reason, str, int]]:
    """A defect that keeps to one place of the rim, over the whole log and still among the last."""
    placed = [
        (defect, a.clock, a)
        for a in work.judged
        if a.clock is not None
        for defect in a.result or ()
        if defect not in (GOOD, MISSED)
    ]
    of_defect = Counter(defect for defect, _, _ in placed)
    long = work.judged[-LONG:]
    known = {a.attempt_id for a in long}
    found = []
    for (defect, clock), times in Counter((d, c) for d, c, _ in placed).most_common():
        here = [a for d, c, a in placed if (d, c) == (defect, clock)]
        lately = [a for a in here if a.attempt_id in known]
        if times < OFTEN or 2 * times < of_defect[defect] or len(lately) < TIMES:
            continue
        sentence = (
            f"{defect} at {clock} o'clock {times} times in {len(work.judged)} attempts, "
            f"{len(lately)} of the last {len(long)}"
        )
        reasons = work.reason("keeps coming back", sentence, lately, among=long, what=defect)
        found += [(reason, defect, clock) for reason in reasons]
    return found


def _contradictions(work: _Work) -> list[Reason]:
    return [
        Reason("verdict", ODD, attempt.attempt_id or "")
        for attempt in work.lately
        if attempt.attempt_id not in {*work.drawn, *work.looked_at}
        if attempt.result == (GOOD,)
        and any(getattr(attempt, name) == value for name, value in CONTRADICTS)
    ]


def _to_sign(work: _Work, progress: Reached) -> list[Reason]:
    """Grades that have their points, at the last attempt there, looked at or not."""
    due = []
    for grade in progress.grades:
        if grade.state != "to be signed off" or not work.judged:
            continue
        there = [a for a in work.judged if a.grade == grade.grade] or list(work.judged)
        unseen = [a for a in there if a.attempt_id not in {*work.drawn, *work.looked_at}]
        points = f"{grade.points} of {count_of(grade.promote_at, 'point')} at {grade.title}"
        lately = share_words(grade.now, grade.now_low, grade.now_high)
        sentence = f"ready to move up: {points}, waits for a sign-off"
        due.append(
            Reason(
                "ready to move up",
                f"{sentence}, {lately}" if lately else sentence,
                (unseen or there)[-1].attempt_id or "",
                sign_off=grade.grade,
            )
        )
    return due


def _ready(work: _Work, progress: Reached) -> list[Reason]:
    for grade in progress.grades:
        if grade.state in TO_BE_PASSED and grade.attempts and grade.good_to_go <= NEARLY:
            here = [a for a in work.judged if a.grade == grade.grade]
            good = (a for a in here if a.result == (GOOD,))
            sentence = f"ready to move up: {good_ones(grade.good_to_go)} to go at {grade.title}"
            if reasons := work.reason("ready to move up", sentence, good, among=here):
                return reasons
    return []


def _again(work: _Work, told: Collection[tuple[str, int]]) -> list[Reason]:
    """What came up again among the last attempts, but for what keeps coming back anyway."""
    last = work.lately
    defects = Counter(d for a in last for d in a.result or () if d not in (GOOD, MISSED))
    clocks = Counter(a.clock for a in last if a.clock is not None and a.result != (GOOD,))
    due: list[Reason] = []
    for defect, times in defects.most_common(1):
        if times >= TIMES and defect not in {known for known, _ in told}:
            here = (a for a in last if defect in (a.result or ()))
            sentence = f"{defect} {times} times in the last {len(last)}"
            due += work.reason("again", sentence, here, among=last, what=defect)
    for clock, times in clocks.most_common(1):
        if times >= TIMES and clock not in {known for _, known in told}:
            here = (a for a in last if a.clock == clock and a.result != (GOOD,))
            sentence = f"at {clock} o'clock {times} times in the last {len(last)}: posture or light"
            what = f"{clock} o'clock"
            due += work.reason("again", sentence, here, among=last, what=what)
    return due
