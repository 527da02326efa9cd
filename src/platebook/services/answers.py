"""The three answers for the setter in use: what goes with failure, progress, what next."""

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from platebook.practice.attempt import Attempt
from platebook.practice.course import Course
from platebook.practice.plate import Plate
from platebook.practice.setter import Setter
from platebook.services.bench_sizes import sizes_for_grade
from platebook.services.courses import course_of
from platebook.services.desk import Desk
from platebook.services.faults import Refused, opened
from platebook.services.people import with_id
from platebook.services.priors import prior_in, sums_for
from platebook.services.remembering import remembered
from platebook.trade import Drawer, Hand, SetUpSheet

if TYPE_CHECKING:
    from platebook.advice.next_exercise import NextExercise
    from platebook.analysis.findings import Findings
    from platebook.analysis.progress import Progress
    from platebook.logbook import Logbook

NOBODY = (
    "setter: nobody is in use. Add one with `platebook setter add NAME`, "
    "or choose one with `platebook setter use NAME` or --setter NAME."
)


def setter_in_use(desk: Desk, book: "Logbook") -> Setter:
    """The desk's setter; Refused, with what to do, where there is none."""
    found = with_id(book.setters(), desk.setter_id)
    if found is None:
        raise Refused(NOBODY)
    return found


@dataclass(frozen=True)
class Bench:
    """What every answer about a setter starts from; `digest` is new after each change of it.

    `class_sums` is what the setter's class has shown, as a bundle brought it; empty for nothing.
    """

    setter: Setter
    course: Course
    attempts: tuple[Attempt, ...]
    drawer: Drawer
    plates: tuple[Plate, ...]
    digest: str
    class_sums: str = ""

    @property
    def track(self) -> str | None:
        """The track the setter chose, where their course still has it."""
        track = self.setter.track
        return track if track in self.course.tracks() else None


def bench_of(desk: Desk) -> Bench:
    """The setter in use with course, attempts, tools and plates; Refused where nobody is in use."""
    if not desk.path.exists():
        raise Refused(NOBODY)
    with opened(desk) as book:
        setter = setter_in_use(desk, book)
        setter_id = setter.setter_id or ""
        return Bench(
            setter=setter,
            course=course_of(book, setter),
            attempts=book.attempts(setter_id),
            drawer=Drawer(tools=book.tools(setter_id)),
            plates=book.plates(setter_id),
            digest=book.digest(setter_id),
            class_sums=sums_for(book, setter_id),
        )


def findings(desk: Desk) -> "Findings":
    """What goes with failure in this setter's log."""
    from platebook.analysis.find import find
    from platebook.analysis.findings import Findings

    bench = bench_of(desk)
    return remembered(
        Findings,
        lambda: find(bench.attempts, course=bench.course, prior=prior_in(bench.class_sums)),
        logbook=desk.path,
        setter_id=bench.setter.setter_id or "",
        digest=bench.digest + bench.class_sums,
        course=bench.course,
    )


def hand_of(desk: Desk, bench: Bench) -> Hand:
    """How wide this setter cuts with each bur shape, from their own seats."""
    from platebook.analysis.hand import hand

    return remembered(
        Hand,
        lambda: hand(bench.attempts),
        logbook=desk.path,
        setter_id=bench.setter.setter_id or "",
        digest=bench.digest,
    )


def progress(desk: Desk) -> "Progress":
    """Where this setter stands at each grade of their course."""
    from platebook.analysis.progress import progress as count

    bench = bench_of(desk)
    return count(bench.course, bench.attempts, today=today_at(desk))


def next_with_sizes(
    desk: Desk, bench: Bench | None = None
) -> "tuple[NextExercise, SetUpSheet | None]":
    """What this setter practises next and why, with the sizes for it from their drawer.

    `bench` is the desk's, where it was taken already.
    """
    from platebook.advice.next_exercise import next_exercise

    bench = bench or bench_of(desk)
    advice = next_exercise(bench.course, bench.attempts, today=today_at(desk), track=bench.track)
    grade = bench.course.grade(advice.grade)
    sizes = sizes_for_grade(grade, bench.attempts, bench.drawer, hand_of(desk, bench))
    return advice, sizes


def tools_and_hand(desk: Desk) -> tuple[Drawer | None, Hand | None]:
    """The drawer and hand that sizes are chosen with; None for both where nobody is in use."""
    if desk.setter_id is None or not desk.path.exists():
        return None, None
    bench = bench_of(desk)
    return bench.drawer, hand_of(desk, bench)


def today_at(desk: Desk) -> date:
    """The day it is at the bench."""
    return desk.clock().astimezone(desk.zone).date()
