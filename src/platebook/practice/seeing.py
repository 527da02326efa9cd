"""Seeing: a reference plate is judged blind; the agreement with its known verdicts is the result.

A reference plate is a `Plate` with verdicts, known for sure (pushed, measured, cut open) and kept
once. Each position judged is an attempt of the part seeing: `seen` holds the verdict given,
`result` whether it agrees. A plate judged at one time is one try.

| function | gives |
|---|---|
| `read_verdict`, `verdict_text` | a verdict from what is typed, and as the record keeps it |
| `agrees` | whether what was seen is what is known |
| `seeing_tries`, `seeing_standing` | the tries of a log, and when it is time again |
"""

import math
import re
from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta
from typing import Final

from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course, Exercise
from platebook.practice.defects import GOOD
from platebook.practice.results import DEFAULT_SEVERITY, as_typed, fails, read_result
from platebook.trade.phrases import full_day
from platebook.values import Value

SEEING: Final = "seeing"
AGAIN_AFTER_DAYS = 30
"""Once a month (common practice)."""

_ONE = re.compile(r"^(?P<word>.*?)(?:\s+(?P<severity>[123]))?$")


class Verdict(Value):
    """What is seen at one position: good, or defects with a severity each, the worst first."""

    result: tuple[str, ...]
    severity: tuple[int, ...] = ()

    @property
    def failing(self) -> tuple[str, ...]:
        """The defects that make a failure: a slight one is a remark, and counts as good."""
        pairs = zip(self.result, self.severity, strict=True) if self.severity else ()
        return tuple(defect for defect, severity in pairs if fails(defect, severity))


def read_verdict(text: str) -> tuple[Verdict | None, str]:
    """The verdict as typed ("good", "loose 2; gap 1", "4 2"), or None and what was expected."""
    words = [match for part in text.split(";") if (match := _ONE.match(part.strip()))]
    result, expected = read_result(";".join(match["word"] for match in words))
    if expected or result is None:
        return None, expected or "good, or a defect with its severity, such as loose 2"
    if result == (GOOD,):
        return Verdict(result), ""
    sizes = tuple(int(match["severity"] or DEFAULT_SEVERITY) for match in words)
    return Verdict(result, sizes), ""


def verdict_text(verdict: Verdict) -> str:
    """The verdict as the record keeps it: "loose 2; gap 1"."""
    return as_typed(verdict.result, verdict.severity)


def agrees(known: Verdict, seen: Verdict) -> bool:
    """Whether a position was judged right: good seen as good, a failure by its worst defect.

    Slight defects are told apart too poorly to count either way, and so are degrees (judgement).
    """
    if not known.failing:
        return not seen.failing
    return known.failing[0] in seen.failing


def needed(exercise: Exercise | None, positions: int) -> int:
    """How many of so many positions have to be right to pass, in the course's proportion."""
    row, pass_at = (exercise.row, exercise.pass_at) if exercise is not None else (None, None)
    share = (pass_at or 10) / (row or 12)
    return math.ceil(round(share * positions, 9))


def seeing_exercise(course: Course) -> Exercise | None:
    """The course's exercise in seeing, or None where it has none."""
    return next((e for e in course.exercises if e.part == SEEING), None)


class SeeingTry(Value):
    """One plate judged once: when, which, and how many of its positions were judged right."""

    began: datetime | None
    plate: str
    right: int
    of: int


class SeeingStanding(Value):
    """Where a setter stands in seeing.

    `last` is the newest try, None before the first; `passed` whether it was enough; `due` the day
    from which it is time again, None where it is time now and always was.
    """

    last: SeeingTry | None
    passed: bool
    due: date | None
    tries: int

    def is_due(self, today: date) -> bool:
        """Whether it is time to judge a plate."""
        return self.due is None or today >= self.due

    def sentence(self) -> str:
        """The standing in one sentence."""
        if self.last is None:
            return "Seeing: no reference plate judged yet."
        when = f" on {full_day(self.last.began)}" if self.last.began else ""
        verdict = "enough" if self.passed else "not enough yet"
        again = f"; again from {full_day(self.due)}" if self.due else ""
        return f"Seeing: {self.last.right} of {self.last.of} right{when}, {verdict}{again}."


def seeing_tries(attempts: Iterable[Attempt]) -> tuple[SeeingTry, ...]:
    """The tries of one setter's log, in its order."""
    tries: dict[tuple[datetime | None, str], list[bool]] = {}
    for attempt in attempts:
        if attempt.part == SEEING and attempt.result is not None:
            place = (attempt.began, attempt.plate or "")
            tries.setdefault(place, []).append(attempt.result == (GOOD,))
    return tuple(
        SeeingTry(began, plate, sum(right), len(right)) for (began, plate), right in tries.items()
    )


def seeing_standing(attempts: Sequence[Attempt], course: Course) -> SeeingStanding:
    """Where the setter stands by the newest try; one that was not enough is due the next day.

    Not before: what is known was just told, and the same day would ask the memory, not the eye.
    """
    tries = seeing_tries(attempts)
    if not tries:
        return SeeingStanding(None, passed=False, due=None, tries=0)
    last = tries[-1]
    passed = last.right >= needed(seeing_exercise(course), last.of)
    day = last.began.date() if last.began is not None else None
    apart = timedelta(days=AGAIN_AFTER_DAYS if passed else 1)
    due = day + apart if day is not None else None
    return SeeingStanding(last, passed, due, len(tries))
