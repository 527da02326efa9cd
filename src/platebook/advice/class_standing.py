"""A class line by line: where each setter stands, and what waits to be looked at.

The values are what a screen, a command and a page show of a class; whatever is told of a setter
rests on their own attempts and on inspections by others.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Literal

from platebook.analysis.classes.agreement import Agreement
from platebook.analysis.grades.progress import GradeProgress, Reached
from platebook.analysis.grades.states import State
from platebook.analysis.periods.practice_by_week import Practice
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.practice.defects import GOOD, MISSED
from platebook.practice.records import Setter
from platebook.practice.results import LAST, Outcome, failed_in, outcome_of
from platebook.values import Value, replace

TOPIC_SHARE = 0.34
"""A topic is a defect that a third of the group has most of all."""


class GradeState(Value):
    """One grade of the setter's course by its id, and how it stands (as in `progress`)."""

    grade: str
    state: State


class SetterLine(Value):
    """One line about a setter: what they practise, how it went lately, their main defect and eye.

    `grade` and `state` are those of the grade practised on the track last worked at, and
    `grade_short` is what a narrow list calls it. `last` are the last eight whole settings at this
    grade, oldest first. `lately` is the share of them that comes out good now with its band
    (`share_good`), None where there is none yet. `sign_off` is the first grade that has its points
    and waits for an instructor's sign-off, empty for none. `practice` is how much was practised,
    and what it used up. `grades` are all of the course, easiest first. `last_day` is the day of the
    last practice as ISO text, empty where none is dated. `left` says, among everyone, that they
    have left the classes they were in.
    """

    setter_id: str
    name: str
    attempts: int
    grade: str
    state: State | Literal[""]
    good_to_go: int
    lately: float | None
    lately_low: float | None
    lately_high: float | None
    defect: str
    clock: int | None
    days_since: int | None
    eye: str
    sign_off: str = ""
    sign_off_title: str = ""
    practice: Practice | None = None
    grades: tuple[GradeState, ...] = ()
    last_day: str = ""
    last: tuple[Outcome, ...] = ()
    grade_short: str = ""
    left: bool = False

    @property
    def signs(self) -> str:
        """The last eight as signs: + good, a slight one too, and x failed."""
        return "".join("x" if outcome == "failed" else "+" for outcome in self.last)


class QueueReason(Value):
    """One reason to look: its kind, in words, and `what` came up again; empty for other kinds."""

    why: str
    sentence: str
    what: str = ""


class QueueRow(Value):
    """One attempt to be looked at, whose it is and where it lies; its verdict is not told.

    `reasons` are all there are, the weightiest first; `why` is the first of them and `sentence` all
    in words. `grade_title` is its grade in words. `sign_off` is the grade that waits to be signed
    off, empty for none. The attempt is the one of that number of its `day` (2026-03-12), from 1;
    empty and 0 where nobody wrote down when it was.
    """

    attempt_id: str
    setter: str
    grade: str
    plate: str
    position: str
    why: str
    sentence: str
    drawn: bool
    setter_id: str = ""
    sign_off: str = ""
    reasons: tuple[QueueReason, ...] = ()
    grade_title: str = ""
    day: str = ""
    number_of_day: int = 0


def standing_of(
    setter: Setter,
    course: Course,
    attempts: Sequence[Attempt],
    reached: Reached,
    seen: Agreement,
) -> SetterLine:
    """The line about one setter: where they stand, and how their eye agrees (`seen`).

    Empty without attempts.

    It says neither how long ago the last practice was nor how much there was: both rest on the day.
    """
    here = practised_grade(reached, attempts)
    recent = [a for a in attempts if a.result][-LAST:]
    defect = _main_defect(recent)
    line = SetterLine(
        setter_id=setter.setter_id or "",
        name=setter.name,
        attempts=len(attempts),
        grade="",
        state="",
        good_to_go=0,
        last=_last(course, attempts, here),
        lately=None,
        lately_low=None,
        lately_high=None,
        defect=defect,
        clock=_usual_clock(recent, defect),
        days_since=None,
        eye=_eye(seen),
        grades=tuple(GradeState(g.grade, g.state) for g in reached.grades),
        grade_short=next((g.short_title for g in course.grades if here and g.id == here.grade), ""),
    )
    return _with_sign_off(_with_grade(line, here), reached)


def _last(
    course: Course, attempts: Sequence[Attempt], here: GradeProgress | None
) -> tuple[Outcome, ...]:
    """The last whole settings at the grade, which Now and Progress count too.

    Where no work was at a grade of the course, the last that was judged of any kind.
    """
    if here is not None:
        return here.last
    judged = [a for a in attempts if a.result][-LAST:]
    return tuple(outcome_of(a, failed=failed_in(course, a)) for a in judged)


def practised_grade(reached: Reached, attempts: Sequence[Attempt]) -> GradeProgress | None:
    """The grade practised, of several tracks on the one last worked at; None without attempts."""
    by_id = {grade.grade: grade for grade in reached.grades}
    tracks = [by_id[a.grade].track for a in attempts if a.grade in by_id]
    practised = [grade for grade in reached.grades if grade.practised]
    if not tracks or not practised:
        return None
    return next((g for g in practised if g.track == tracks[-1]), practised[0])


def _with_grade(line: SetterLine, here: GradeProgress | None) -> SetterLine:
    """The line with the grade practised and how it goes there lately."""
    if here is None:
        return line
    return replace(
        line,
        grade=here.title,
        state=here.state,
        good_to_go=here.good_to_go,
        lately=here.now,
        lately_low=here.now_low,
        lately_high=here.now_high,
    )


def _with_sign_off(line: SetterLine, reached: Reached) -> SetterLine:
    """The line with the first grade that waits for an instructor's sign-off."""
    waiting = next((g for g in reached.grades if g.state == "to be signed off"), None)
    if waiting is None:
        return line
    return replace(line, sign_off=waiting.grade, sign_off_title=waiting.title)


def _main_defect(recent: Iterable[Attempt]) -> str:
    """The defect seen most often, of equal ones the first; empty for none."""
    defects = Counter(d for a in recent for d in a.result or () if d not in (GOOD, MISSED))
    return defects.most_common(1)[0][0] if defects else ""


def _usual_clock(recent: Iterable[Attempt], defect: str) -> int | None:
    """Where on the clock this defect was seen most often; None where no place was noted."""
    clocks = Counter(a.clock for a in recent if a.clock and defect in (a.result or ()))
    return clocks.most_common(1)[0][0] if clocks else None


def _eye(seen: Agreement) -> str:
    if not seen.looks:
        return "not looked at yet"
    if seen.not_enough is not None:
        return seen.not_enough
    if seen.bias is None or abs(seen.bias) < 0.2:
        return "as the teacher's"
    return "kinder than the teacher's" if seen.bias > 0 else "harder than the teacher's"


def topic(standings: Sequence[SetterLine]) -> str:
    """One thing to talk about with the whole group; a sentence, empty where nothing stands out."""
    with_defect = [s.defect for s in standings if s.defect]
    if not with_defect:
        return ""
    defect, count = Counter(with_defect).most_common(1)[0]
    practising = sum(bool(s.attempts) for s in standings)
    if count < 2 or count / max(practising, 1) < TOPIC_SHARE:
        return ""
    return f"For all: {defect} is what {count} of {practising} have most often."
