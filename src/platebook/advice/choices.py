"""What is done instead of the suggestion: by somebody's choice, for a lead, or for a plate's sake.

| name | is |
|---|---|
| `by_choice` | the exercise that a choice asks for |
| `effect_of` | what such a choice does to the way up, in sentences |
| `held_by_plate`, `on_this_plate` | the suggestion as it stands until a plate is full |

The suggestion is the rule's (`suggestion`); here it is only set aside, and what it would be is
always said.
"""

from collections.abc import Callable, Sequence
from datetime import date

from platebook.advice.blocks import block_reason, runs_left
from platebook.advice.exercise import RUNS, BlockAtWork, Choice, NextExercise
from platebook.advice.replay import Replay
from platebook.advice.suggestion import SEED, asks, slight_of, standing_at
from platebook.analysis.grades.whole_settings import WHOLE
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course, Exercise, Grade
from platebook.practice.defects import GOOD
from platebook.trade.phrases import count_of, day_words
from platebook.values import replace

PlayAgain = Callable[[Sequence[Attempt]], Replay]
"""Plays a log as if it were the setter's own, with what else the rule knows of them."""

AFTER_ALL_OTHERS = "~"
"""An id that sorts behind every other one."""

A_ROW = 5
"""Settings of an own choice after which it is good to look again."""

_GO_ON_BY_THEMSELVES = frozenset({"settings", "next track", "begin", "remedial"})
"""Purposes without a number of settings that was told beforehand."""


def by_choice(replay: Replay, choice: Choice, suggested: NextExercise) -> NextExercise | None:
    """What this choice asks for; None where the course has it no more, or the block is done."""
    if choice.block is not None:
        return _setting_of_block(replay, choice.block, choice.by, suggested)
    course = replay.course
    grade = course.grade(choice.grade or suggested.grade)
    exercise = exercise_meant(course, choice.exercise)
    if grade is None or exercise is None:
        return None
    day = date.fromisoformat(choice.day)
    same = (exercise.id, grade.id) == (suggested.exercise, suggested.grade)
    instead = f"Suggested instead: {suggested.title}, {suggested.grade_title}."
    return replace(
        suggested,
        **_what(replay, grade, exercise),
        repeat=exercise.row or A_ROW,
        purpose="chosen",
        chosen_by=choice.by,
        why=(f"Chosen by {choice.by} on {day_words(day, day)}.",),
        changes=("It is what is suggested too.",) if same else (instead,),
        readings_asked=_asks(replay, grade.id, exercise.kind),
    )


def exercise_meant(course: Course, exercise_id: str | None) -> Exercise | None:
    """The exercise of this id, by default the course's whole setting; None for one unknown."""
    if exercise_id is not None:
        return course.exercise(exercise_id)
    return next((e for e in course.exercises if e.kind == WHOLE), None)


def effect_of(
    replay: Replay, grade: Grade, exercise: Exercise, *, again: PlayAgain
) -> tuple[str, ...]:
    """What practising this by choice does to points and to the grade worked at.

    Asked of the rule itself: one good setting there is played, and where the work stands then told.
    `again` plays another log as if it were this setter's.
    """
    here = replay.ladder().grade
    if exercise.kind != WHOLE:
        return ("A part exercise moves no points, and the work stays at its grade.",)
    if grade.id == here:
        return ("It is the grade the work is at: settings count as always.",)
    last = replay.attempts[-1] if replay.attempts else None
    tried = Attempt(
        attempt_id=AFTER_ALL_OTHERS,
        kind=WHOLE,
        grade=grade.id,
        result=(GOOD,),
        began=last.began if last else None,
    )
    after = again([*replay.attempts, tried])
    sentences = [f"Whole settings at {grade.title} count for its points."]
    if after.ladder().grade == grade.id:
        sentences.append("From the first one on the work is there, until it moves or you go back.")
    else:
        stays = replay.course.grade(after.ladder().grade)
        sentences.append(f"The work itself stays at {stays.title if stays else here}.")
    below = replay.course.easier(grade.id)
    open_ones = [g.title for g in below if not replay.counters.is_passed(g.id)]
    if open_ones:
        sentences.append(f"Not passed yet before it: {', '.join(reversed(open_ones))}.")
    return tuple(sentences)


def held_by_plate(  # noqa: PLR0913 - what a plate is held by, by keyword
    replay: Replay,
    *,
    kind: str,
    grade: str,
    plate: str,
    free: int,
    today: date,
    again: PlayAgain,
) -> Grade | None:
    """The grade that a plate under way stays at, where this kind and grade would turn from it.

    Its positions are drilled and opened together, so the work neither moves nor turns to a part in
    the middle of it. Only this evening's settings hold it, and rows that were told with their
    number (a refresher, a re-test) end as they were told.
    """
    attempts = replay.attempts
    here = [a for a in attempts if a.plate == plate and a.began and a.began.date() == today]
    last = attempts[-1] if attempts else None
    stays = replay.grades.get((last.grade if last else None) or "")
    if not free or last is None or last not in here or stays is None or not _whole(last):
        return None
    if (kind, grade) == (WHOLE, stays.id):
        return None
    first = len(attempts)
    while first and attempts[first - 1] in here and _same_work(attempts[first - 1], stays.id):
        first -= 1
    offer = again(attempts[:first]).offer(today)
    told = offer.grade == stays.id and offer.purpose not in _GO_ON_BY_THEMSELVES
    return None if told else stays


def on_this_plate(
    replay: Replay,
    suggested: NextExercise,
    *,
    plate: str,
    free: int,
    today: date,
    again: PlayAgain,
) -> NextExercise:
    """The suggestion, which keeps to whole settings of one grade until this plate is full."""
    grade = held_by_plate(
        replay,
        kind=suggested.kind,
        grade=suggested.grade,
        plate=plate,
        free=free,
        today=today,
        again=again,
    )
    exercise = exercise_meant(replay.course, None)
    if grade is None or exercise is None:
        return suggested
    then = f"{suggested.title}, {suggested.grade_title}"
    places = count_of(free, "position")
    return replace(
        suggested,
        **_what(replay, grade, exercise),
        repeat=free,
        purpose="plate",
        why=(f"Plate {plate} goes on as it was begun: {places} left. Then {then}.",),
        changes=suggested.why,
        readings_asked=_asks(replay, grade.id, WHOLE),
    )


def _setting_of_block(
    replay: Replay, block: BlockAtWork, by: str, suggested: NextExercise
) -> NextExercise | None:
    left = runs_left(block, replay.attempts)
    grade = replay.course.grade(block.grade)
    exercise = exercise_meant(replay.course, None)
    if not left or grade is None or exercise is None:
        return None
    blocks = (e for e in replay.course.exercises if e.kind == "block")
    own = next(blocks, None)
    of_a_block = {
        "exercise": own.id if own is not None else None,
        "kind": "block",
        "title": f"Block {block.plan.number}, setting {left[0].run} of {RUNS}",
    }
    return replace(
        suggested,
        **_what(replay, grade, exercise) | of_a_block,
        repeat=len(left),
        purpose="block",
        chosen_by=by,
        why=block_reason(block, left[0]),
        changes=(
            "A block moves neither points nor the working grade.",
            f"Suggested after it: {suggested.title}, {suggested.grade_title}.",
        ),
        readings_asked=True,
        block=block.plan,
        block_name=block.name,
        block_levels=block.levels_of(left[0]),
        run=left[0],
    )


def _what(replay: Replay, grade: Grade, exercise: Exercise) -> dict[str, object]:
    return {
        "grade": grade.id,
        "grade_title": grade.title,
        **standing_at(replay, grade.id),
        "exercise": exercise.id,
        "title": exercise.title,
        "task": exercise.task,
        "criterion": exercise.criterion,
        "slight": slight_of(replay.course, exercise.kind),
        "kind": exercise.kind,
        "part": exercise.part,
    }


def _asks(replay: Replay, grade: str, kind: str) -> bool:
    passed = replay.counters.is_passed(grade)
    return asks(passed=passed, kind=kind, seed=SEED, attempts=len(replay.attempts))


def _whole(attempt: Attempt) -> bool:
    return (attempt.kind or WHOLE) == WHOLE


def _same_work(attempt: Attempt, grade: str) -> bool:
    return _whole(attempt) and attempt.grade == grade
