"""The three answers for the setter in use: what goes with failure, progress, what next."""

from typing import TYPE_CHECKING

from platebook.practice.attempt import Attempt
from platebook.practice.course import Course
from platebook.practice.setter import Setter
from platebook.services.courses import course_of
from platebook.services.desk import Desk
from platebook.services.faults import Refused, opened
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
    found = next((s for s in book.setters() if s.setter_id == desk.setter_id), None)
    if found is None:
        raise Refused(NOBODY)
    return found


def _course_and_attempts(desk: Desk) -> tuple[Setter, Course, tuple[Attempt, ...]]:
    if not desk.path.exists():
        raise Refused(NOBODY)
    with opened(desk) as book:
        setter = setter_in_use(desk, book)
        return setter, course_of(book, setter), book.attempts(setter.setter_id)


def findings(desk: Desk) -> "Findings":
    """What goes with failure in this setter's log."""
    from platebook.analysis.find import find

    _, course, attempts = _course_and_attempts(desk)
    return find(attempts, course=course)


def progress(desk: Desk) -> "Progress":
    """Where this setter stands at each grade of their course."""
    from platebook.analysis.progress import progress as count

    _, course, attempts = _course_and_attempts(desk)
    return count(course, attempts, today=desk.clock().astimezone(desk.zone).date())


def next_with_sizes(desk: Desk) -> "tuple[NextExercise, SetUpSheet | None]":
    """What this setter practises next and why, with the sizes for it from their drawer."""
    from platebook.advice.next_exercise import next_exercise
    from platebook.services.bench_sizes import sizes_for_grade

    setter, course, attempts = _course_and_attempts(desk)
    today = desk.clock().astimezone(desk.zone).date()
    advice = next_exercise(course, attempts, today=today, track=setter.track)
    drawer, hand = tools_and_hand(desk)
    return advice, sizes_for_grade(course.grade(advice.grade), attempts, drawer, hand)


def tools_and_hand(desk: Desk) -> tuple[Drawer | None, Hand | None]:
    """The drawer and hand that sizes are chosen with; None for both where nobody is in use."""
    if desk.setter_id is None or not desk.path.exists():
        return None, None
    with opened(desk) as book:
        return Drawer(tools=book.tools(desk.setter_id)), None
