"""The next exercise and why, and whether its readings are asked.

A reading skipped only when things went wrong cannot be analysed, so neither the setter nor the
result decides: while a grade is being learned and in a block readings are always asked, after that
at a random third of the attempts. The draw follows from the seed and the number of attempts logged,
so it is the same however often it is asked.

The rule: whole settings at one of the first two grades that are not passed (`way_up`); the part
exercise of a skill that stands out in the failures (`skill_traces`), then whole settings again.
Before a first whole setting a prepared seat is burnished; an evening begins with a short row where
a passed grade is to be tested again, an easier one to be passed, or the hand to be found again
after a pause. What this was measured against is in docs/methods/next-exercise.md.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import TypedDict

from platebook.advice.defect_skills import SKILLS
from platebook.advice.exercise import RUNS, BlockPlan, Factor, Kind, NextExercise, block_plan
from platebook.advice.reasons import Case
from platebook.advice.replay import Offer, Replay
from platebook.analysis.grades.outlook import Forecast, outlook_at
from platebook.analysis.grades.points import count_points
from platebook.analysis.grades.states import State, grade_states
from platebook.analysis.grades.whole_settings import WHOLE, signed, whole_settings
from platebook.analysis.success.share_good import share_good_now
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course, Exercise
from platebook.practice.records import SignOff
from platebook.practice.results import slight_words

SEED = 20260101
"""What the draws follow from where nobody gives another number."""

SHARE = 1 / 3
"""Share of attempts at a passed grade whose readings are asked."""


def drawn(seed: int, attempts: int) -> bool:
    """Whether the attempt after this many is among the random third."""
    import numpy as np

    return bool(np.random.default_rng((seed, attempts)).random() < SHARE)


def asks(*, passed: bool, kind: str, seed: int, attempts: int) -> bool:
    """The same from what is known: the grade passed or not, and how many attempts are logged."""
    return not passed or kind != WHOLE or drawn(seed, attempts)


def readings_asked(
    course: Course,
    attempts: Sequence[Attempt],
    *,
    grade: str | None,
    kind: str = WHOLE,
    seed: int = SEED,
    sign_offs: Iterable[SignOff] = (),
) -> bool:
    """Whether the next attempt's readings are asked, for this grade and kind of exercise.

    A grade that is not the course's, or none, counts as being learned.
    """
    settings = whole_settings(course, attempts)
    points = count_points(course, settings, signed(course, settings, sign_offs))
    standing = points.get(grade or "")
    passed = standing is not None and standing.passed
    return asks(passed=passed, kind=kind, seed=seed, attempts=len(attempts))


def _exercise(course: Course, offer: Offer) -> Exercise | None:
    for exercise in course.exercises:
        if exercise.kind == offer.kind and exercise.part in (None, offer.part):
            return exercise
    return None


def _block(
    factors: Sequence[Factor], attempts: Sequence[Attempt], grade: str, seed: int
) -> tuple[Offer, BlockPlan, str]:
    done = len({a.block for a in attempts if a.block})
    plan = block_plan(factors, number=done + 1, seed=seed)
    names = ", ".join(f.name for f in factors)
    reason = (
        f"A lead is to be settled: block {plan.number} varies {names} at once over {RUNS} settings "
        f"in a random order (seed {plan.seed}); at least five blocks are needed to state a "
        "difference."
    )
    return Offer("block", grade, RUNS, "block"), plan, reason


def next_exercise(  # noqa: PLR0913 - what one may ask for, by keyword
    course: Course,
    attempts: Iterable[Attempt],
    *,
    today: date,
    seed: int = SEED,
    track: str | None = None,
    lead_to_settle: Sequence[Factor] = (),
    sign_offs: Iterable[SignOff] = (),
    seats: str | None = None,
) -> NextExercise:
    """What one setter does next at a course, on this day.

    `track` asks for another track than the one last worked at. `lead_to_settle` holds the choices
    of a block, and offers one. `sign_offs` are an instructor's, where the course asks for them, and
    `seats` says who prepares seats for the setter.
    Raises ValueError where the attempts are of several setters or the course has no such track.
    """
    replay = Replay.of(course, attempts, sign_offs, seats=seats)
    return exercise_after(
        replay, today=today, seed=seed, track=track, lead_to_settle=lead_to_settle
    )


def exercise_after(
    replay: Replay,
    *,
    today: date,
    seed: int = SEED,
    track: str | None = None,
    lead_to_settle: Sequence[Factor] = (),
) -> NextExercise:
    """The same from a log that was played again already."""
    course, ladder = replay.course, replay.ladder(track)
    plan: BlockPlan | None = None
    reason: str | None = None
    if lead_to_settle:
        offer, plan, reason = _block(lead_to_settle, replay.attempts, ladder.grade, seed)
    else:
        offer = replay.offer(today, track)
    case = Case(replay, offer, ladder, today)
    exercise = _exercise(course, offer)
    grade = course.grade(offer.grade)
    asked = asks(
        passed=replay.counters.is_passed(offer.grade),
        kind=offer.kind,
        seed=seed,
        attempts=len(replay.attempts),
    )
    return NextExercise(
        course=course.id,
        course_version=course.version,
        grade=offer.grade,
        grade_title=grade.title if grade else offer.grade,
        exercise=exercise.id if exercise else None,
        title=exercise.title if exercise else "A whole setting",
        task=exercise.task if exercise else "",
        criterion=exercise.criterion if exercise else "",
        slight=slight_of(course, offer.kind),
        kind=offer.kind,
        part=offer.part,
        repeat=offer.repeat,
        purpose=offer.purpose,
        why=case.why() if reason is None else (reason,),
        changes=case.changes(),
        readings_asked=asked,
        success=ladder.success,
        trouble=dict(zip(SKILLS, replay.traces.trouble, strict=True)),
        practised=offer.grade if offer.purpose == "next track" else ladder.grade,
        block=plan,
        **standing_at(replay, offer.grade),
    )


def slight_of(course: Course, kind: Kind) -> str:
    """How a slight fault counts in such an exercise; empty for a part, whose criterion is all."""
    return "" if kind == "part" else slight_words(failure_from=course.failure_from)


class Standing(TypedDict):
    """How a grade stands: its state, the share good now with its band, how soon it is passed."""

    state: State
    good_now: float | None
    good_now_low: float | None
    good_now_high: float | None
    forecast: Forecast | None


def standing_at(replay: Replay, grade_id: str) -> Standing:
    """How this grade stands in a log that was played again."""
    grade = replay.course.grade(grade_id)
    share = share_good_now([s for s in replay.settings if s.grade.id == grade_id])
    so_far = replay.counters.so_far(grade_id)
    return Standing(
        state=grade_states(replay.way)[grade_id],
        good_now=share.share if share else None,
        good_now_low=share.low if share else None,
        good_now_high=share.high if share else None,
        forecast=outlook_at(grade.points, so_far, share) if grade else None,
    )
