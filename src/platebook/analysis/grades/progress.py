"""Progress: where a setter stands at each grade of a course.

| function | gives |
|---|---|
| `progress` | every grade's rate, curve, points and state, easiest first, and work of one's own |
| `grades_reached` | the grades of it alone, for whoever needs no more: a line of a class |

Only judged whole settings at grades of the course move points (`whole_settings`); others have lines
of their own (`own_work`). At 0 settings the rate and the curve are empty, the points 0; below `FEW`
no forecast is made and `not_enough` says so.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Literal, Protocol

from platebook.analysis.grades.exercise_rows import ExerciseRow, exercise_rows
from platebook.analysis.grades.outlook import FEW, Forecast, outlook_at
from platebook.analysis.grades.own_work import NotWhole, OwnWork, all_settings, not_whole, own_work
from platebook.analysis.grades.points import (
    GradePoints,
    false_promotion,
    good_to_go,
    slipping_watch,
)
from platebook.analysis.grades.states import TO_BE_PASSED, State, grade_states
from platebook.analysis.grades.way_up import WayUp
from platebook.analysis.grades.whole_settings import WholeSetting
from platebook.analysis.periods.evenings import days_since_practice
from platebook.analysis.success.tally import Tally, tally
from platebook.practice.attempt import Attempt, in_order
from platebook.practice.courses.course import Course, Grade
from platebook.practice.records import SignOff
from platebook.values import Value, fields_of

TOGETHER = "all whole settings"
"""What the line over everything is called."""


class PointStep(Value):
    """One whole setting's effect on a counter, for the chart.

    `setting` counts the setter's whole settings from 1; `own` is false where points enough at a
    harder grade were enough for this one. `moved` says which counter: `points`, or the `watch` of a
    passed grade.
    """

    setting: int
    attempt_id: str | None
    moved: Literal["points", "watch"]
    value: int
    own: bool
    event: Literal["passed", "to be signed off", "slipping"] | None = None


class GradeProgress(Tally, kw_only=True):
    """One grade: what was counted, where the curve stands, and the points.

    `good_to_go` is the number of good ones in a row that pass the grade. `counted` is the number of
    settings that moved its points, or those of the harder grade that passed it, and `luck` the
    chance that a setter at the course's `p1` would have passed in as many. `watch` and `watch_at`
    are the slipping-back counter of a passed grade. The state is how the grade stands (`states`);
    `practised` says that the work is at it, whatever its state. `signed_by` is the instructor who
    signed it off.
    """

    grade: str
    track: str
    points: int
    promote_at: int
    good_to_go: int
    watch: int
    watch_at: int
    state: State
    practised: bool
    signed_by: str | None
    counted: int
    luck: float
    forecast: Forecast | None
    not_enough: str | None
    path: tuple[PointStep, ...]


class Reached(Protocol):
    """Where a setter stands at each grade of a course: a whole `Progress`, or its grades alone."""

    @property
    def grades(self) -> tuple[GradeProgress, ...]:
        """Every grade of the course, easiest first."""


class GradesReached(Value):
    """The grades of a `Progress` alone."""

    grades: tuple[GradeProgress, ...]


class Progress(Value):
    """A setter's progress through one course.

    `settings` counts the whole settings at grades of the course, which move points. `own_work` are
    those outside it, `together` all of both. `not_whole` says what the other attempts were, and
    `left_out` how many: parts, blocks, and what was not judged. `rows` says where the exercises in
    rows stand, parts and seeing among them. `days_since_practice` is None
    without `today` or without a dated attempt.
    """

    course: str
    course_version: int
    settings: int
    left_out: int
    not_whole: NotWhole
    days_since_practice: int | None
    grades: tuple[GradeProgress, ...]
    own_work: tuple[OwnWork, ...]
    together: Tally
    rows: tuple[ExerciseRow, ...] = ()

    def grade(self, grade_id: str) -> GradeProgress | None:
        """The grade with this id, or None."""
        return next((g for g in self.grades if g.grade == grade_id), None)


def _grade_progress(
    grade: Grade, state: State, way: WayUp, *, signed_by: str | None, curves: bool
) -> GradeProgress:
    so_far = way.counters.so_far(grade.id)
    own = [s for s in way.settings if s.grade.id == grade.id]
    share, counts = tally(grade.title, own, curves=curves)
    counted, luck = _luck(grade, so_far, way)
    open_still = state in TO_BE_PASSED
    return GradeProgress(
        grade=grade.id,
        track=grade.track,
        points=so_far.points,
        promote_at=grade.points.up_at,
        good_to_go=good_to_go(grade.points, so_far),
        watch=so_far.watch,
        watch_at=int(slipping_watch(grade.points).up_at),
        state=state,
        practised=grade.id in way.practised(),
        signed_by=signed_by if so_far.passed else None,
        counted=counted,
        luck=luck,
        forecast=outlook_at(grade.points, so_far, share),
        not_enough=_not_enough(len(own)) if open_still else None,
        path=_path(so_far, way.settings),
        **fields_of(counts),
    )


def _luck(grade: Grade, so_far: GradePoints, way: WayUp) -> tuple[int, float]:
    """How many settings moved the points that passed it, and the chance of as much by luck."""
    harder = way.course.grade(so_far.through)
    if harder is not None:
        return _luck(harder, way.counters.so_far(harder.id), way)
    counted = sum([step.moved == "points" and step.own for step in so_far.steps])
    return counted, false_promotion(grade.points, counted)


def _not_enough(attempts: int) -> str | None:
    return f"not enough yet: {attempts} of {FEW} settings" if attempts < FEW else None


def _path(so_far: GradePoints, settings: Sequence[WholeSetting]) -> tuple[PointStep, ...]:
    return tuple(
        PointStep(
            setting=step.setting,
            attempt_id=settings[step.setting - 1].attempt.attempt_id,
            moved=step.moved,
            value=step.value,
            own=step.own,
            event=step.event,
        )
        for step in so_far.steps
    )


def _grades(way: WayUp, sign_offs: Sequence[SignOff], *, curves: bool) -> tuple[GradeProgress, ...]:
    course, states = way.course, grade_states(way)
    signers = {s.grade: s.signed_by for s in sign_offs if s.course == course.id}
    return tuple(
        _grade_progress(
            grade,
            states[grade.id],
            way,
            signed_by=signers.get(grade.id) if course.asks_sign_off(grade.id) else None,
            curves=curves,
        )
        for grade in course.grades
    )


def grades_reached(
    course: Course, attempts: Iterable[Attempt], *, sign_offs: Iterable[SignOff] = ()
) -> GradesReached:
    """Where one setter stands at each grade, as `progress` says it without curves.

    Raises ValueError where the attempts are of several setters.
    """
    all_sign_offs = tuple(sign_offs)
    way = WayUp.of(course, attempts, all_sign_offs)
    return GradesReached(_grades(way, all_sign_offs, curves=False))


def progress(
    course: Course,
    attempts: Iterable[Attempt],
    *,
    today: date | None = None,
    sign_offs: Iterable[SignOff] = (),
    curves: bool = True,
) -> Progress:
    """Where one setter stands at each grade of the course.

    `sign_offs` are an instructor's, where the course asks for them. Without `curves` every number
    stands, but each curve is empty and no change is known, for less than half the work.
    Raises ValueError where the attempts are of several setters.
    """
    ordered, all_sign_offs = in_order(attempts), tuple(sign_offs)
    way = WayUp.of(course, ordered, all_sign_offs)
    every = all_settings(course, ordered)
    others = not_whole(ordered, len(every))
    return Progress(
        course=course.id,
        course_version=course.version,
        settings=len(way.settings),
        left_out=others.total,
        not_whole=others,
        days_since_practice=days_since_practice(ordered, today) if today else None,
        grades=_grades(way, all_sign_offs, curves=curves),
        own_work=own_work(course, every, curves=curves),
        together=tally(TOGETHER, every, curves=curves)[1],
        rows=exercise_rows(course, ordered),
    )
