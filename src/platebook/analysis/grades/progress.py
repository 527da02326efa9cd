"""Progress: where a setter stands at each grade of a course.

| function | gives |
|---|---|
| `progress` | every grade's rate, curve, points and state, easiest first |

Only judged whole settings at grades of the course count (`whole_settings`). At 0 settings the rate
and the curve are empty, the points 0; below `FEW` no forecast is made and `not_enough` says so.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Literal

from pydantic import BaseModel, ConfigDict

from platebook.analysis.grades.outlook import Forecast, outlook
from platebook.analysis.grades.points import (
    GradePoints,
    count_points,
    false_promotion,
    good_to_go,
    slipping_watch,
)
from platebook.analysis.grades.share_good import share_good_now, share_good_over
from platebook.analysis.grades.success_curve import Curve
from platebook.analysis.grades.whole_settings import (
    WholeSetting,
    one_setter,
    signed,
    whole_settings,
)
from platebook.analysis.models.intervals import wilson
from platebook.practice.attempt import Attempt, in_order
from platebook.practice.course import Course, Grade
from platebook.practice.records import SignOff

FEW = 5
"""Settings at a grade below which nothing is forecast: one row of a plate."""

State = Literal["ahead", "working", "waiting", "passed", "slipping"]


class _Value(BaseModel):
    """Base of the values here: frozen, and no key that nobody reads."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class PointStep(_Value):
    """One whole setting's effect on a counter, for the chart.

    `setting` counts the setter's whole settings from 1; `own` is false where a setting at a harder
    grade moved this one. `moved` says which counter: `points`, or the `watch` of a passed grade.
    """

    setting: int
    attempt_id: str | None
    moved: Literal["points", "watch"]
    value: int
    own: bool
    event: Literal["passed", "waiting", "slipping"] | None = None


class CurveStep(_Value):
    """The success curve at one setting of the grade, counted from 1 in the grade."""

    number: int
    attempt_id: str | None
    good: bool
    rate: float
    low: float
    high: float


class GradeProgress(_Value):
    """One grade: what was counted, where the curve stands, and the points.

    `rate` with `low` and `high` is over all settings at this grade (Wilson, 95 %); `now` with its
    band is the end of the curve. `good_to_go` is the number of good ones in a row that pass the
    grade. `counted` is the number of settings that moved its points, harder grades included, and
    `luck` the chance that a setter at the course's `p1` would have passed in as many. `watch` and
    `watch_at` are the slipping-back counter of a passed grade. The state is `waiting` where
    there are enough points and no instructor has signed the grade off yet; `signed_by` is who did.
    """

    grade: str
    title: str
    track: str
    attempts: int
    good: int
    rate: float | None
    low: float | None
    high: float | None
    now: float | None
    now_low: float | None
    now_high: float | None
    points: int
    promote_at: int
    good_to_go: int
    watch: int
    watch_at: int
    state: State
    signed_by: str | None
    counted: int
    luck: float
    forecast: Forecast | None
    not_enough: str | None
    path: tuple[PointStep, ...]
    curve: tuple[CurveStep, ...]


class Progress(_Value):
    """A setter's progress through one course.

    `settings` counts the whole settings that count; `left_out` the other attempts, such as parts,
    blocks, what was not judged and what has no grade of this course. `days_since_practice` is None
    without `today` or without a dated attempt.
    """

    course: str
    course_version: int
    settings: int
    left_out: int
    days_since_practice: int | None
    grades: tuple[GradeProgress, ...]

    def grade(self, grade_id: str) -> GradeProgress | None:
        """The grade with this id, or None."""
        return next((g for g in self.grades if g.grade == grade_id), None)


def days_since_practice(attempts: Iterable[Attempt], today: date) -> int | None:
    """Days from the last dated attempt to `today`, never below 0; None without a dated attempt."""
    days = [a.began.date() for a in attempts if a.began is not None]
    return max((today - max(days)).days, 0) if days else None


def _grade_progress(
    grade: Grade,
    state: State,
    so_far: GradePoints,
    settings: Sequence[WholeSetting],
    *,
    signed_by: str | None,
    curves: bool,
) -> GradeProgress:
    own = [s for s in settings if s.grade.id == grade.id]
    outcomes = [not s.failed for s in own]
    share, curve = share_good_over(own) if curves else (share_good_now(own), Curve())
    rate, low, high = _rate(sum(outcomes), len(own))
    counted = sum([step.moved == "points" for step in so_far.steps])
    open_still = not so_far.passed and not so_far.waiting
    return GradeProgress(
        grade=grade.id,
        title=grade.title,
        track=grade.track,
        attempts=len(own),
        good=sum(outcomes),
        rate=rate,
        low=low,
        high=high,
        now=share.share if share else None,
        now_low=share.low if share else None,
        now_high=share.high if share else None,
        points=so_far.points,
        promote_at=grade.points.up_at,
        good_to_go=good_to_go(grade.points, so_far),
        watch=so_far.watch,
        watch_at=int(slipping_watch(grade.points).up_at),
        state=state,
        signed_by=signed_by if so_far.passed else None,
        counted=counted,
        luck=false_promotion(grade.points, counted),
        forecast=outlook(grade.points, so_far.points, share)
        if share and open_still and len(own) >= FEW
        else None,
        not_enough=_not_enough(len(own)) if open_still and state != "ahead" else None,
        path=_path(so_far, settings),
        curve=_curve_steps(curve, own) if curves else (),
    )


def _rate(good: int, of: int) -> tuple[float | None, float | None, float | None]:
    """The share of good ones with its interval; all None where nothing was counted."""
    if not of:
        return None, None, None
    limits = wilson(good, of)
    return good / of, limits.low, limits.high


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


def _curve_steps(curve: Curve, own: Sequence[WholeSetting]) -> tuple[CurveStep, ...]:
    return tuple(
        CurveStep(
            number=point.number,
            attempt_id=setting.attempt.attempt_id,
            good=not setting.failed,
            rate=point.rate,
            low=point.low,
            high=point.high,
        )
        for point, setting in zip(curve.points, own, strict=True)
    )


def _states(
    course: Course, points_by_grade: Mapping[str, GradePoints], settings: Sequence[WholeSetting]
) -> dict[str, State]:
    """State by grade; where no grade is begun and open, the easiest open one is being worked.

    None is opened while another one waits for a sign-off.
    """
    begun = {s.grade.id for s in settings}
    states = {g.id: _state(points_by_grade[g.id], begun=g.id in begun) for g in course.grades}
    if {"working", "waiting"}.isdisjoint(states.values()):
        first = next((g for g in course.ladder() if states[g.id] == "ahead"), None)
        if first is not None:
            states[first.id] = "working"
    return states


def _state(so_far: GradePoints, *, begun: bool) -> State:
    """How a grade stands by its own settings and points."""
    if so_far.slipped:
        return "slipping"
    if so_far.passed:
        return "passed"
    if so_far.waiting:
        return "waiting"
    return "working" if begun else "ahead"


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
    stands and each curve is empty, for less than half the work.
    Raises ValueError where the attempts are of several setters.
    """
    ordered = in_order(attempts)
    one_setter(ordered)
    settings = whole_settings(course, ordered)
    all_sign_offs = tuple(sign_offs)
    points_by_grade = count_points(course, settings, signed(course, settings, all_sign_offs))
    signers = {s.grade: s.signed_by for s in all_sign_offs if s.course == course.id}
    states = _states(course, points_by_grade, settings)
    return Progress(
        course=course.id,
        course_version=course.version,
        settings=len(settings),
        left_out=len(ordered) - len(settings),
        days_since_practice=days_since_practice(ordered, today) if today else None,
        grades=tuple(
            _grade_progress(
                grade,
                states[grade.id],
                points_by_grade[grade.id],
                settings,
                signed_by=signers.get(grade.id) if course.asks_sign_off(grade.id) else None,
                curves=curves,
            )
            for grade in course.grades
        ),
    )
