"""Now: the next exercise and why, with the sizes, the set-up, the plate and what to mind."""

from collections.abc import Mapping
from dataclasses import dataclass

from pydantic import BaseModel, ConfigDict

from platebook.advice.exercise import NextExercise
from platebook.services.answers import bench_of, next_with_sizes, setter_in_use, today_at
from platebook.services.courses import course_mark
from platebook.services.desk import Desk
from platebook.services.faults import opened
from platebook.services.plates import PlateView, plate_view
from platebook.services.readings import Reading, readings_for
from platebook.services.remembering import remembered
from platebook.trade import Drawer, SetUpSheet
from platebook.trade.measuring_kinds import refuse_inside, takes_insides

STEP_OF_PART = {
    "seeing": "start",
    "burnishing no stone": "burnish",
    "burnishing": "burnish",
    "levelling": "level",
    "depth": "seat",
    "width": "seat",
    "pilot": "drill",
    "opening": "open",
    "clean-up": "clean",
}
WHOLE_STEP = "start"
STEPS = "list of steps"
UNFOLDED = "unfolded"


@dataclass(frozen=True)
class NowView:
    """Everything the first screen shows, for one setter at one moment.

    `set_up` holds the values carried over, as text by field. `readings` are those the next attempt
    asks where `readings_asked`. `days_since` is None before the first dated attempt. `steps_shown`
    says whether this logbook's setters want the list of steps, and `waits` that the grade has its
    points and an instructor's sign-off is missing. `seat_tools` are the tools of the drawer that
    may read this seat, by name, and `seat_tool` the one that read the last.
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
    readings: tuple[Reading, ...]
    points: int
    promote_at: int
    good_to_go: int
    plate: PlateView | None
    cautions: tuple[str, ...]
    attempts: int
    days_since: int | None
    invented: bool
    steps_shown: bool = False
    waits: bool = False
    seat_tools: tuple[str, ...] = ()
    seat_tool: str = ""


class KeptNow(BaseModel):
    """What Now shows, as it is kept beside the logbook to be there at once."""

    model_config = ConfigDict(frozen=True)

    view: NowView


def now(desk: Desk) -> NowView:
    """The next exercise of the desk's setter with all that stands beside it.

    It is kept until something changes in the logbook, or another day begins.
    """
    from platebook.logbook import keeping

    if not desk.path.exists():
        return _worked_out(desk)
    with opened(desk) as book:
        setter = setter_in_use(desk, book)
        rests_on = [
            today_at(desk).isoformat(),
            f"{desk.invented} {book.ask(keeping.default, STEPS)}",
            course_mark(book, setter),
            *(
                f"{setter_id} {digest}"
                for setter_id, digest in sorted(book.ask(keeping.digests).items())
            ),
        ]
    return remembered(
        KeptNow,
        lambda: KeptNow(view=_worked_out(desk)),
        logbook=desk.path,
        setter_id=setter.setter_id or "",
        digest="\n".join(rests_on),
    ).view


def _worked_out(desk: Desk) -> NowView:
    from platebook.analysis.progress import progress
    from platebook.services.set_up import set_up_for
    from platebook.trade.cautions import cautions

    bench = bench_of(desk)
    course, attempts = bench.course, bench.attempts
    advice, sizes = next_with_sizes(desk, bench)
    standing = progress(course, attempts, today=today_at(desk), sign_offs=bench.sign_offs)
    here = standing.grade(advice.grade)
    grade = course.grade(advice.grade)
    set_up = set_up_for(grade, sizes, attempts) if grade is not None else {}
    return NowView(
        setter=bench.setter.name,
        course_title=course.title,
        grade_title=advice.grade_title,
        exercise_title=advice.title,
        task=advice.task,
        criterion=advice.criterion,
        advice=advice,
        sizes=sizes,
        set_up=set_up,
        readings_asked=advice.readings_asked,
        readings=readings_for(advice.kind, advice.part, grade, attempts=len(attempts))
        if advice.readings_asked
        else (),
        points=here.points if here else 0,
        promote_at=here.promote_at if here else 0,
        good_to_go=here.good_to_go if here else 0,
        waits=here is not None and here.state == "waiting",
        plate=plate_view(attempts, bench.plates),
        cautions=cautions(STEP_OF_PART.get(advice.part or "", WHOLE_STEP)),
        attempts=len(attempts),
        days_since=standing.days_since_practice,
        invented=desk.invented,
        steps_shown=steps_shown(desk),
        seat_tools=_seat_tools(bench.drawer, sizes),
        seat_tool=next(
            (a.seat_measured_with for a in reversed(attempts) if a.seat_measured_with), ""
        ),
    )


def _seat_tools(drawer: Drawer, sizes: SetUpSheet | None) -> tuple[str, ...]:
    """What a seat of this size may be read with; a caliper only where it is large enough."""
    seat_mm = sizes.seat.diameter_high_mm if sizes is not None else 0.0
    fit = (tool for tool in drawer.tools if takes_insides(tool))
    return tuple(tool.name for tool in fit if refuse_inside(seat_mm, tool) is None)


def steps_shown(desk: Desk) -> bool:
    """Whether the list of steps was unfolded when it was last looked at."""
    from platebook.logbook import keeping

    with opened(desk) as book:
        return book.ask(keeping.default, STEPS) == UNFOLDED


def show_steps(desk: Desk, *, shown: bool) -> None:
    """Remember whether the list of steps is unfolded."""
    from platebook.logbook import keeping

    with opened(desk, make=False) as book:
        book.tell(keeping.set_default, STEPS, UNFOLDED if shown else None)
