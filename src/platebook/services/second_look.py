"""A second look of one's own: three positions of the last day of practice, judged again later.

The self-taught have no second eye. The positions are drawn at random and judged without seeing the
first verdict, so the setter's own eye can be compared with itself.
"""

from dataclasses import dataclass
from random import Random
from typing import TYPE_CHECKING

from platebook.practice.attempt import Attempt
from platebook.practice.inspection import Inspection
from platebook.practice.looks import read_result, read_severity
from platebook.practice.text import clean
from platebook.services.desk import Desk, today_at
from platebook.services.faults import Refused, opened
from platebook.services.inspecting import Inspected
from platebook.services.people import setter_in_use

if TYPE_CHECKING:
    from platebook.logbook import Logbook

DRAWN = 3


@dataclass(frozen=True)
class AgainRow:
    """One position to be judged again; how it came out the first time is not told."""

    attempt_id: str
    grade: str
    plate: str
    position: str


@dataclass(frozen=True)
class SecondLook:
    """What is still to be judged again, and how far the two looks agree so far, in a sentence."""

    rows: tuple[AgainRow, ...]
    agreement: str


def second_look(desk: Desk) -> SecondLook:
    """The positions drawn from the last day of practice before today that wait to be judged."""
    from platebook.analysis.agreement import agreement
    from platebook.logbook.attempts import select_attempts
    from platebook.logbook.wanted import Wanted

    with opened(desk) as book:
        setter_id = setter_in_use(desk, book).setter_id or ""
        attempts = book.ask(select_attempts, Wanted(setter_id=setter_id))
        looks = _own(book, setter_id)
    seen = {look.attempt_id for look in looks}
    rows = tuple(
        AgainRow(a.attempt_id or "", a.grade or "", a.plate or "", a.position or "")
        for a in _drawn(desk, attempts, setter_id)
        if a.attempt_id not in seen
    )
    return SecondLook(rows, agreement(attempts, looks).sentence)


def judge_again(desk: Desk, attempt_id: str, result: str, severity: str = "") -> Inspected:
    """Record the second verdict; only then the first one is told. Refused for one not drawn."""
    from platebook.logbook.adding import add_inspections
    from platebook.logbook.attempts import select_attempts
    from platebook.logbook.wanted import Wanted

    read, expected = read_result(result)
    weights, wrong = read_severity(severity) if severity.strip() else (None, "")
    faults = [f"result: read {clean(result)!r}, expected {expected}"] if read is None else []
    if wrong:
        faults.append(f"severity: read {clean(severity)!r}, expected {wrong}")
    with opened(desk, make=False) as book:
        setter_id = setter_in_use(desk, book).setter_id or ""
        due = {
            a.attempt_id: a
            for a in _drawn(desk, book.ask(select_attempts, Wanted(setter_id=setter_id)), setter_id)
        }
        taken = {look.attempt_id for look in _own(book, setter_id)}
        attempt = due.get(attempt_id)
        if attempt is None or attempt_id in taken:
            faults.append("attempt: it is not one of those drawn, or was judged again already")
        if faults or attempt is None:
            raise Refused("; ".join(faults))
        look = Inspection(
            attempt_id=attempt_id,
            inspector=setter_id,
            result=read,
            severity=weights,
            drawn_at_random=True,
            looked=desk.clock().astimezone(desk.zone),
        )
        (made,) = book.tell(
            add_inspections, [look], book.stamp(desk.author, desk.clock(), "inspect")
        )
    return Inspected(made, attempt.setter or "", attempt.result or (), attempt.severity or ())


def _own(book: "Logbook", setter_id: str) -> tuple[Inspection, ...]:
    from platebook.logbook import belongings

    return tuple(
        look for look in book.ask(belongings.inspections, setter_id) if look.inspector == setter_id
    )


def _drawn(desk: Desk, attempts: tuple[Attempt, ...], setter_id: str) -> tuple[Attempt, ...]:
    """Three judged whole settings of that day, the same three however often they are asked for."""
    today = today_at(desk)
    judged = [
        (a.began.astimezone(desk.zone).date(), a)
        for a in attempts
        if a.began is not None and a.result and a.kind != "part"
    ]
    day = max((when for when, _ in judged if when < today), default=None)
    pool = [a for when, a in judged if when == day]
    seeded = Random(f"{setter_id} {day}")  # noqa: S311 - a draw that can be drawn again, no secret
    return tuple(seeded.sample(pool, min(DRAWN, len(pool))))
