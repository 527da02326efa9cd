"""A second look of one's own: three positions of the last day of practice, judged again later.

The self-taught have no second eye. The positions are drawn at random and judged without seeing the
first verdict, so the setter's own eye can be compared with itself.
"""

from random import Random

from platebook.analysis.classes.agreement import agreement
from platebook.logbook import Logbook, setter_records
from platebook.logbook.attempts.attempt_queries import select_attempts
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.logbook.records import add_inspections
from platebook.practice.attempt import Attempt
from platebook.practice.records import Inspection
from platebook.services.classes.inspections import Inspected, read_look
from platebook.services.courses.followed import course_of
from platebook.services.session import Refused, Session, opened, setter_in_use, today_at
from platebook.values import Value

DRAWN = 3


class AgainRow(Value):
    """One position to be judged again; how it came out the first time is not told."""

    attempt_id: str
    grade: str
    plate: str
    position: str
    grade_title: str = ""


class SecondLook(Value):
    """What is still to be judged again, and how far the two looks agree so far, in a sentence."""

    rows: tuple[AgainRow, ...]
    agreement: str


def second_look(session: Session) -> SecondLook:
    """The positions drawn from the last day of practice before today that wait to be judged."""
    with opened(session) as book:
        setter = setter_in_use(session, book)
        setter_id, course = setter.setter_id or "", course_of(book, setter)
        attempts = book.ask(select_attempts, Wanted(setter_id=setter_id))
        looks = _own(book, setter_id)
    seen = {look.attempt_id for look in looks}
    titles = {grade.id: grade.title for grade in course.grades}
    rows = tuple(
        AgainRow(
            a.attempt_id or "",
            a.grade or "",
            a.plate or "",
            a.position or "",
            titles.get(a.grade or "", a.grade or ""),
        )
        for a in _drawn(session, attempts, setter_id)
        if a.attempt_id not in seen
    )
    eye = agreement(attempts, looks, failure_from=course.failure_from)
    return SecondLook(rows, eye.sentence if looks else "")


def judge_again(session: Session, attempt_id: str, result: str, severity: str = "") -> Inspected:
    """Record the second verdict; only then the first one is told. Refused for one not drawn."""
    read, weights, problems = read_look(result, severity)
    with opened(session, make=False) as book:
        setter_id = setter_in_use(session, book).setter_id or ""
        attempts = book.ask(select_attempts, Wanted(setter_id=setter_id))
        due = {a.attempt_id: a for a in _drawn(session, attempts, setter_id)}
        taken = {look.attempt_id for look in _own(book, setter_id)}
        attempt = due.get(attempt_id)
        if attempt is None or attempt_id in taken:
            problems.append("attempt: it is not one of those drawn, or was judged again already")
        if problems or attempt is None:
            raise Refused("; ".join(problems))
        look = Inspection(
            attempt_id=attempt_id,
            inspector=setter_id,
            result=read,
            severity=weights,
            drawn_at_random=True,
            looked=session.clock().astimezone(session.zone),
        )
        (made,) = book.tell(add_inspections, [look], session.stamp(book, "inspect"))
    return Inspected(made, attempt.setter or "", attempt.result or (), attempt.severity or ())


def _own(book: Logbook, setter_id: str) -> tuple[Inspection, ...]:
    return tuple(
        look
        for look in book.ask(setter_records.inspections, setter_id)
        if look.inspector == setter_id
    )


def _drawn(session: Session, attempts: tuple[Attempt, ...], setter_id: str) -> tuple[Attempt, ...]:
    """Three judged whole settings of that day, the same three however often they are asked for."""
    today = today_at(session)
    judged = [
        (a.began.astimezone(session.zone).date(), a)
        for a in attempts
        if a.began is not None and a.result and a.kind != "part"
    ]
    day = max((when for when, _ in judged if when < today), default=None)
    pool = [a for when, a in judged if when == day]
    seeded = Random(f"{setter_id} {day}")  # noqa: S311 - a draw that can be drawn again, no secret
    return tuple(seeded.sample(pool, min(DRAWN, len(pool))))
