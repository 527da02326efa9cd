"""Where a setter stands in the exercises that come in rows: parts, seeing, rows and patterns.

A row is as many judged tries as the course says, in the order made; it is passed with as many good
ones as the course says. At 0 tries an exercise is absent. A row that is not full yet is told beside
the last full one and passes nothing. Of seeing a row is one plate judged at one time.
"""

from collections.abc import Iterable, Sequence
from datetime import date

from platebook.practice.attempt import Attempt, in_order
from platebook.practice.courses.course import Course, Exercise
from platebook.practice.results import failed_in
from platebook.practice.seeing import SEEING, needed, seeing_tries
from platebook.values import Value


class ExerciseRow(Value):
    """One exercise: all judged `tries`, the last full row and the one under way.

    `good` of `of` is the last full row, both None before it; `passed` says whether it had the
    `pass_at` good ones wanted. `now_good` of `now_of` is the row under way, 0 of 0 at its start.
    """

    exercise: str
    title: str
    part: str | None
    tries: int
    good: int | None
    of: int | None
    pass_at: int
    passed: bool
    now_good: int
    now_of: int
    last: date | None

    @property
    def sentence(self) -> str:
        """The same in words."""
        told = []
        if self.of is not None:
            verdict = "passed" if self.passed else f"{self.pass_at} are needed"
            word = "right on the last plate" if self.part == SEEING else "good in the last row"
            told.append(f"{self.good} of {self.of} {word}, {verdict}")
        if self.now_of:
            told.append(f"{self.now_good} of {self.now_of} so far in this one")
        return f"{self.title}: {'; '.join(told)}."


def exercise_rows(course: Course, attempts: Iterable[Attempt]) -> tuple[ExerciseRow, ...]:
    """The rows of one setter's log, in the order of the course's exercises."""
    made = in_order(attempts)
    rows = (_of_exercise(course, exercise, made) for exercise in course.exercises if exercise.row)
    return tuple(row for row in rows if row is not None)


def _of_exercise(
    course: Course, exercise: Exercise, attempts: Sequence[Attempt]
) -> ExerciseRow | None:
    mine = [a for a in attempts if _is(exercise, a) and a.result is not None]
    if not mine:
        return None
    good = [not failed_in(course, a) for a in mine]
    if exercise.part == SEEING:
        plate = seeing_tries(mine)[-1]
        last, under_way, wanted = [True] * plate.right, [], needed(exercise, plate.of)
        last += [False] * (plate.of - plate.right)
    else:
        length, wanted = exercise.row or 1, exercise.pass_at or 1
        full = len(good) // length * length
        last, under_way = good[max(full - length, 0) : full], good[full:]
    began = mine[-1].began
    return ExerciseRow(
        exercise=exercise.id,
        title=exercise.title,
        part=exercise.part,
        tries=len(mine),
        good=sum(last) if last else None,
        of=len(last) or None,
        pass_at=wanted,
        passed=bool(last) and sum(last) >= wanted,
        now_good=sum(under_way),
        now_of=len(under_way),
        last=began.date() if began is not None else None,
    )


def _is(exercise: Exercise, attempt: Attempt) -> bool:
    """Whether an attempt was at this exercise: by its id, or a part by its name."""
    if attempt.exercise is not None:
        return attempt.exercise == exercise.id
    return exercise.part is not None and attempt.part == exercise.part
