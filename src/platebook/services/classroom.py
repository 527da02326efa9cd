"""The class for its instructor: who needs a look, what all share, whose eye is kind."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from platebook.advice.standing import QueueRow, Standing
from platebook.practice.inspection import Inspection
from platebook.practice.looks import read_result, read_severity
from platebook.practice.setter import Setter
from platebook.practice.text import clean
from platebook.services.answers import today_at
from platebook.services.class_roll import Pupil, pupils, roster_of
from platebook.services.crew import Crew
from platebook.services.desk import Desk
from platebook.services.faults import Refused, opened
from platebook.services.log import attempt_with
from platebook.services.remembering import OF_A_CLASS, remembered
from platebook.services.watching import Watch, unwatched

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from platebook.advice.inspection_queue import Due
    from platebook.analysis.agreement import Agreement
    from platebook.analysis.class_findings import ClassFindings
    from platebook.services.class_work import Lies, Line

__all__ = [
    "Inspected",
    "class_findings",
    "class_now",
    "class_progress",
    "eyes",
    "inspect",
    "queue",
    "roster_of",
]


@dataclass(frozen=True)
class Inspected:
    """An inspection that was recorded, with the setter's own look, which is told only now."""

    inspection: Inspection
    setter: str
    own_result: tuple[str, ...]
    own_severity: tuple[int, ...]


def class_progress(
    desk: Desk,
    group: str | None = None,
    *,
    executor: "Executor | None" = None,
    watch: Watch = unwatched,
) -> tuple[Standing, ...]:
    """A line a setter, in the order of the roster."""
    today = today_at(desk)
    return tuple(line.standing_on(today) for _, line in _lines(desk, group, executor, watch))


def queue(
    desk: Desk,
    group: str | None = None,
    *,
    executor: "Executor | None" = None,
    watch: Watch = unwatched,
) -> tuple[QueueRow, ...]:
    """What to look at in the class, most pressing first; each setter's drawn position is in it."""
    return _queue(_lines(desk, group, executor, watch), today_at(desk))


def class_now(
    desk: Desk, group: str | None = None, *, watch: Watch = unwatched
) -> tuple[tuple[Standing, ...], tuple[QueueRow, ...]]:
    """The lines and the queue at once."""
    found, today = _lines(desk, group, None, watch), today_at(desk)
    return tuple(line.standing_on(today) for _, line in found), _queue(found, today)


def inspect(  # noqa: PLR0913 - all that a look may say, by keyword
    desk: Desk,
    named: str,
    result: str,
    *,
    severity: str = "",
    clock: int | None = None,
    comment: str = "",
    by: str = "",
) -> Inspected:
    """Record an inspector's own look at an attempt; only then the setter's verdict is told.

    Refused with what was read and expected. Whether the position was drawn at random follows from
    the queue, not from who looks.
    """
    from platebook.advice.inspection_queue import due_on
    from platebook.services.class_lines import lines

    attempt = attempt_with(desk, named)
    part = attempt.kind == "part"
    read, expected = read_result(result, part=part)
    faults = [f"result: read {clean(result)!r}, expected {expected}"] if read is None else []
    weights, wrong = read_severity(severity) if severity.strip() else (None, "")
    if wrong:
        faults.append(f"severity: read {clean(severity)!r}, expected {wrong}")
    if clock is not None and not 1 <= clock <= 12:
        faults.append(f"clock: read {clock}, expected 1 to 12, the notch being 12")
    inspector = clean(by) or desk.setter_id or desk.author
    if inspector in {attempt.setter_id, attempt.setter}:
        faults.append("inspector: an inspection is someone else's look; choose who with --by")
    if faults:
        raise Refused("; ".join(faults))
    with Crew() as crew:
        theirs = [one for one in pupils(desk) if one.setter_id == attempt.setter_id]
        waits = [line.waits for line in lines(desk, theirs, crew=crew)]
    drawn = any(
        one.drawn and one.attempt_id == attempt.attempt_id
        for one in due_on(waits[0] if waits else None, today_at(desk))
    )
    look = Inspection(
        attempt_id=attempt.attempt_id or "",
        inspector=inspector,
        result=read,
        severity=weights,
        clock=clock,
        comment=clean(comment),
        drawn_at_random=drawn,
        looked=desk.clock().astimezone(desk.zone),
    )
    with opened(desk, make=False) as book:
        (made,) = book.add_inspections([look], author=desk.author, now=desk.clock())
    return Inspected(made, attempt.setter or "", attempt.result or (), attempt.severity or ())


def class_findings(
    desk: Desk,
    group: str | None = None,
    *,
    executor: "Executor | None" = None,
    watch: Watch = unwatched,
) -> "ClassFindings":
    """What goes with failure across the class, kept until one of them logs something."""
    from platebook.analysis.class_findings import ClassFindings
    from platebook.analysis.find_class import find_class, found_in

    some = pupils(desk, group)
    logs = [one for one in some if one.attempts]
    if not logs:
        return find_class({})
    course = some[0].course

    def work_out() -> ClassFindings:
        from platebook.services.class_asking import AskedSetters

        with Crew(executor) as crew:
            return found_in(AskedSetters(desk, logs, course, crew=crew, watch=watch))

    return remembered(
        ClassFindings,
        work_out,
        logbook=desk.path,
        setter_id=f"{OF_A_CLASS}-of-{len(some)}",
        digest="\n".join(f"{one.setter_id} {one.called} {one.rests_on}" for one in logs),
        course=course,
    )


def eyes(
    desk: Desk,
    group: str | None = None,
    *,
    executor: "Executor | None" = None,
    watch: Watch = unwatched,
) -> "dict[str, Agreement]":
    """How far each setter's eye agrees with the inspections of their drawn positions, by name."""
    return {one.called: line.eye for one, line in _lines(desk, group, executor, watch)}


def _lines(
    desk: Desk, group: str | None, executor: "Executor | None", watch: Watch
) -> "list[tuple[Pupil, Line]]":
    from platebook.services.class_lines import lines

    some = pupils(desk, group)
    with Crew(executor) as crew:
        return list(zip(some, lines(desk, some, crew=crew, watch=watch), strict=True))


def _queue(found: "Iterable[tuple[Pupil, Line]]", today: date) -> tuple[QueueRow, ...]:
    from platebook.advice.inspection_queue import ORDER, due_on

    rows = [
        (ORDER.index(one.why), place, _queue_row(one, line.lies[one.attempt_id], pupil.setter))
        for place, (pupil, line) in enumerate(found)
        for one in due_on(line.waits, today)
    ]
    return tuple(row for _, _, row in sorted(rows, key=lambda item: item[:2]))


def _queue_row(one: "Due", lies: "Lies", setter: Setter) -> QueueRow:
    return QueueRow(
        attempt_id=one.attempt_id,
        setter=setter.name,
        grade=lies.grade,
        plate=lies.plate,
        position=lies.position,
        why=one.why,
        sentence=one.sentence,
        drawn=one.drawn,
    )
