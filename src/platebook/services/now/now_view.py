"""Now: the next exercise and why, with the sizes, the set-up, the plate and what to mind."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING

from platebook.advice.exercise import NextExercise
from platebook.logbook import defaults
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Grade
from platebook.practice.fields import parts
from platebook.practice.reading.questions import Question
from platebook.practice.results import Outcome
from platebook.practice.set_up.plate_stock import PlateStock
from platebook.practice.text import as_text
from platebook.services.answers import Basis, basis_in, hand_of, sizes_at
from platebook.services.attempts.form import (
    READINGS,
    SetUpDiffers,
    own_asked,
    proposed_for,
    readings_for,
    set_up_differs,
    set_up_for,
    with_planned,
)
from platebook.services.cache import Cache, recall
from platebook.services.courses.followed import course_mark
from platebook.services.now.next_up import advise, lacking
from platebook.services.now.own_choice import choice_mark
from platebook.services.plates import PlateView, plate_view
from platebook.services.seeing import reference_plates, seeing_at
from platebook.services.session import Session, nobody_in_use, opened, setter_in_use, today_at
from platebook.trade import Drawer, Hand, SetUpSheet
from platebook.trade.cautions import AT_THE_END, BEFORE_A_PLATE, cautions, cautions_beside
from platebook.trade.measuring.tool_checks import refuse_inside, takes_insides
from platebook.values import Value, replace

if TYPE_CHECKING:
    from platebook.advice.replay import Replay

WHOLE_STEP = "start"
STEPS = "list of steps"
UNFOLDED = "unfolded"


class NowView(Value):
    """Everything the first screen shows, for one setter at one moment.

    `set_up` holds the values carried over, as text by field. `readings` are those the next attempt
    asks where `readings_asked`. Of the `attempts` so many are `whole` settings that were judged,
    and so many `parts`; the rest were made in blocks, or not judged. `days_since` is None before
    the first dated attempt. `steps_shown`
    says whether this logbook's setters want the list of steps, and `waits` that the grade has its
    points and an instructor's sign-off is missing. `seat_tools` are the tools of the drawer that
    may read this seat, by name, and `seat_tool` the one that read the last. `evening` says how this
    day went so far, before its first attempt how the last one did, `pace` how long each took
    today, and `next_time` what comes at
    the next evening. `wants` says which tools the grade ahead wants that the drawer does not hold.
    `proposed` are the fields of the set-up that come from the course, the sizes or a block's plan;
    the others are carried over. `differs` are the tools of the set-up that are not those the sizes
    say.
    `grades` are the course's, by which a stone of another grade is told. `seeing` says that it is
    time to judge a reference plate, empty where it is not. `last` says how the last eight whole
    settings at this grade counted, oldest first.
    """

    setter: str
    course_title: str
    grade_title: str
    exercise_title: str
    task: str
    criterion: str
    advice: NextExercise
    sizes: SetUpSheet | None
    set_up: Mapping[str, str]
    readings_asked: bool
    readings: tuple[Question, ...]
    points: int
    promote_at: int
    good_to_go: int
    plate: PlateView | None
    cautions: tuple[str, ...]
    attempts: int
    whole: int
    parts: int
    days_since: int | None
    invented: bool
    steps_shown: bool = False
    waits: bool = False
    seat_tools: tuple[str, ...] = ()
    seat_tool: str = ""
    own: tuple[Question, ...] = ()
    grades: tuple[Grade, ...] = ()
    seeing: str = ""
    evening: str = ""
    pace: str = ""
    next_time: str = ""
    wants: tuple[str, ...] = ()
    differs: tuple[SetUpDiffers, ...] = ()
    proposed: tuple[str, ...] = ()
    last: tuple[Outcome, ...] = ()


class WhatNext(Value):
    """What a saved attempt is answered with: what Now shows, and what to do about its result."""

    view: NowView
    remedies: tuple[str, ...]


def now(session: Session) -> NowView:
    """The next exercise of the setter in use with all that stands beside it.

    It is kept until something changes in the logbook, or another day begins. Refused where nobody
    is in use.
    """
    if not session.path.exists():
        raise nobody_in_use(session.path)
    with opened(session) as book:
        setter = setter_in_use(session, book)
        steps, today = book.ask(defaults.default, STEPS), today_at(session)
        rests_on = [
            today.isoformat(),
            f"{session.invented} {steps}",
            course_mark(book, setter),
            choice_mark(book, setter.setter_id or ""),
            *(
                f"{setter_id} {digest}"
                for setter_id, digest in sorted(book.ask(defaults.digests).items())
            ),
        ]

        def work_out() -> NowView:
            basis = basis_in(book, setter)
            hand = hand_of(session, basis, book)
            unfolded = steps == UNFOLDED
            view = now_at(basis, hand, today, invented=session.invented, steps_shown=unfolded)
            seeing = seeing_at(basis, reference_plates(book), today).sentence
            return replace(view, seeing=seeing)

        return recall(
            NowView,
            work_out,
            cache=Cache(session.path),
            setter_id=setter.setter_id or "",
            digest="\n".join(rests_on),
        )


def what_next(session: Session, result: str) -> WhatNext:
    """The next exercise after an attempt with this result, and a remedy for each of its defects."""
    # What records an attempt is loaded by then; Now by itself is painted without it.
    from platebook.services.attempts.recording import remedy_for

    return WhatNext(now(session), remedy_for(result))


def now_at(
    basis: Basis, hand: Hand, today: date, *, invented: bool = False, steps_shown: bool = False
) -> NowView:
    """What Now shows of a setter whose log was read and whose hand is known, on this day."""
    from platebook.analysis.grades.own_work import all_settings, not_whole
    from platebook.analysis.grades.points import good_to_go
    from platebook.analysis.periods.evenings import days_since_practice

    course, attempts = basis.course, basis.attempts
    whole = len(all_settings(course, attempts))
    replay = basis.replay()
    advice = advise(basis, today, replay)
    grade, so_far = replay.grades[advice.grade], replay.counters.so_far(advice.grade)
    sizes = sizes_at(basis, grade, hand)
    planned = _planned(advice, sizes, basis.drawer)
    set_up = {**set_up_for(grade, sizes, attempts, part=advice.part), **planned}
    plate = plate_view(attempts, basis.plates, course, wanted=PlateStock.of_set_up(set_up))
    days_since = days_since_practice(attempts, today)
    return NowView(
        setter=basis.setter.name,
        course_title=course.title,
        grade_title=advice.grade_title,
        exercise_title=advice.title,
        task=advice.task,
        criterion=advice.criterion,
        advice=advice,
        sizes=sizes,
        set_up=set_up,
        readings_asked=advice.readings_asked,
        readings=_readings(advice, grade, len(attempts)),
        points=so_far.points,
        promote_at=grade.points.up_at,
        good_to_go=good_to_go(grade.points, so_far),
        waits=so_far.waiting,
        plate=plate,
        cautions=(*cautions(_step_of(advice.part)), *_beside(set_up, plate, days_since)),
        attempts=len(attempts),
        whole=whole,
        parts=not_whole(attempts, whole).parts,
        days_since=days_since,
        invented=invented,
        steps_shown=steps_shown,
        own=own_asked(course),
        seat_tools=_seat_tools(basis.drawer, sizes),
        seat_tool=_last_seat_tool(attempts),
        grades=course.grades,
        evening=evening_words(basis, today),
        pace=pace_words(basis, today),
        next_time=_next_time(basis, today, replay) if attempts else "",
        wants=_wants(basis, hand, replay, advice, sizes),
        differs=set_up_differs(set_up, sizes, planned=planned),
        proposed=tuple(sorted({*proposed_for(grade, sizes, attempts), *planned})),
        last=_last_at(basis, advice.grade),
    )


def _last_at(basis: Basis, grade: str) -> tuple[Outcome, ...]:
    from platebook.analysis.grades.whole_settings import whole_settings
    from platebook.analysis.success.tally import last_outcomes

    own = [s for s in whole_settings(basis.course, basis.attempts) if s.grade.id == grade]
    return last_outcomes(own)


def evening_words(basis: Basis, today: date) -> str:
    """How today went so far; before today's first attempt how the last time went; else empty."""
    from platebook.analysis.periods.evenings import evening_on, last_evening_before
    from platebook.trade.phrases import day_words

    now_on = evening_on(today, basis.attempts, basis.course)
    if now_on is not None:
        return f"Today, {day_words(today, today)}: {now_on.words}."
    last = last_evening_before(today, basis.attempts, basis.course)
    return f"Last time, {day_words(last.day, today)}: {last.words}." if last is not None else ""


def pace_words(basis: Basis, today: date) -> str:
    """How long each took today, and how often there was a pause; empty where too few were made."""
    from platebook.analysis.periods.evenings import evening_on

    now_on = evening_on(today, basis.attempts, basis.course)
    pace = now_on.pace if now_on is not None else ""
    return f"{pace[:1].upper()}{pace[1:]}." if pace else ""


def _next_time(basis: Basis, today: date, replay: "Replay") -> str:
    """What comes at the next evening, as far ahead as the setter's evenings usually lie."""
    from platebook.analysis.periods.evenings import usual_gap

    then = advise(basis, today + timedelta(days=usual_gap(basis.attempts)), replay)
    return f"Next time: {then.title}, {then.grade_title}."


def _wants(
    basis: Basis, hand: Hand, replay: "Replay", advice: NextExercise, sizes: SetUpSheet | None
) -> tuple[str, ...]:
    """What is missing in the drawer for the grade on offer, and for the one the work moves to."""
    grade = replay.grades[advice.grade]
    ladder = replay.ladder(basis.track)
    harder = [p for p in replay.way.to_pass(ladder) if p > ladder.place]
    here = ladder.grade == grade.id and bool(harder)
    ahead = replay.grades.get(ladder.grades[harder[0]]) if here else None
    said = lacking(grade, sizes, basis.drawer)
    return said + (lacking(ahead, sizes_at(basis, ahead, hand), basis.drawer) if ahead else ())


def _planned(advice: NextExercise, sizes: SetUpSheet | None, drawer: Drawer) -> dict[str, str]:
    """The set-up that a setting of a block is planned with; the bur by its name in the drawer.

    What is read at the bench is asked, never taken from the plan.
    """
    if advice.run is None:
        return {}
    values = advice.run.values.items()
    planned = {name: as_text(value) or "" for name, value in values if name not in READINGS}
    if sizes is None or "seat_bur_mm" not in planned:
        return planned
    shape = sizes.seat_bur.shape
    burs = (t for t in drawer.of_kind("bur", shape) if as_text(t.size_mm) == planned["seat_bur_mm"])
    bur = next(burs, None)
    named = {"seat_bur": bur.name} if bur is not None and bur.name else {"seat_bur": ""}
    return {**planned, **named, **({"seat_bur_shape": shape} if shape else {})}


def _readings(advice: NextExercise, grade: Grade, attempts: int) -> tuple[Question, ...]:
    """The readings asked; in a block those of its choices that are readings as well."""
    if not advice.readings_asked:
        return ()
    asked = readings_for(advice.kind, advice.part, grade, attempts=attempts)
    varied = advice.run.values if advice.run is not None else {}
    return with_planned(asked, {name: as_text(value) or "" for name, value in varied.items()})


ANNEALED = "annealed today"


def _beside(set_up: Mapping[str, str], plate: PlateView, days_since: int | None) -> tuple[str, ...]:
    """What to mind beside the setting: before a fresh plate is annealed, and where one stops."""
    fresh = set_up.get("metal_state") == ANNEALED and not any(c.sign for c in plate.cells)
    return (
        *(cautions_beside(*BEFORE_A_PLATE) if fresh else ()),
        *(cautions_beside(*AT_THE_END) if days_since == 0 else ()),
    )


def _step_of(part: str | None) -> str:
    known = parts().get(part or "")
    return known.cautions if known is not None else WHOLE_STEP


def _last_seat_tool(attempts: Sequence[Attempt]) -> str:
    for attempt in reversed(attempts):
        if attempt.seat_measured_with:
            return attempt.seat_measured_with
    return ""


def _seat_tools(drawer: Drawer, sizes: SetUpSheet | None) -> tuple[str, ...]:
    """What a seat of this size may be read with; a caliper only where it is large enough."""
    seat_mm = sizes.seat.diameter_high_mm if sizes is not None else 0.0
    fit = (tool for tool in drawer.tools if takes_insides(tool))
    return tuple(tool.name for tool in fit if refuse_inside(seat_mm, tool) is None)


def show_steps(session: Session, *, shown: bool) -> None:
    """Remember whether the list of steps is unfolded."""
    with opened(session, make=False) as book:
        book.tell(defaults.set_default, STEPS, UNFOLDED if shown else None)
