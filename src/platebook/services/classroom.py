"""The class for its instructor: who needs a look, what all share, whose eye is kind."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from platebook.advice.standing import QueueRow, Standing
from platebook.practice.attempt import Attempt
from platebook.practice.course import Course
from platebook.practice.inspection import Inspection
from platebook.practice.looks import read_result, read_severity
from platebook.practice.setter import Setter, name_key
from platebook.practice.text import clean
from platebook.services.answers import today_at
from platebook.services.courses import course_of
from platebook.services.desk import Desk
from platebook.services.faults import Refused, opened
from platebook.services.log import attempt_with
from platebook.services.remembering import remembered
from platebook.services.roster import Listed, listed

if TYPE_CHECKING:
    from platebook.advice.inspection_queue import Due
    from platebook.analysis.agreement import Agreement
    from platebook.analysis.class_findings import ClassFindings


@dataclass(frozen=True)
class Member:
    """One setter of the class with what an instructor's answers rest on."""

    setter: Setter
    course: Course
    attempts: tuple[Attempt, ...]
    inspections: tuple[Inspection, ...]


@dataclass(frozen=True)
class Inspected:
    """An inspection that was recorded, with the setter's own look, which is told only now."""

    inspection: Inspection
    setter: str
    own_result: tuple[str, ...]
    own_severity: tuple[int, ...]


def members(desk: Desk, group: str | None = None) -> tuple[Member, ...]:
    """The active setters of a group, or of the whole logbook; Refused for a group nobody is in."""
    chosen = [one.setter for one in roster_of(desk, group) if one.setter.active]
    if not chosen:
        return ()
    with opened(desk) as book:
        return tuple(
            Member(
                setter=setter,
                course=course_of(book, setter),
                attempts=book.attempts(setter.setter_id),
                inspections=book.inspections(setter.setter_id),
            )
            for setter in chosen
        )


def roster_of(desk: Desk, group: str | None = None) -> tuple[Listed, ...]:
    """Everyone of a group, those who no longer come too; Refused for a group nobody is in."""
    everyone = listed(desk)
    groups = {name_key(one.setter.group): one.setter.group for one in everyone if one.setter.group}
    if group is None:
        return everyone
    if name_key(group) not in groups:
        known = ", ".join(groups.values()) or "none yet (setter add --group)"
        raise Refused(f"group: read {clean(group)!r}, expected one of: {known}")
    return tuple(one for one in everyone if name_key(one.setter.group) == name_key(group))


def class_progress(desk: Desk, group: str | None = None) -> tuple[Standing, ...]:
    """A line a setter, in the order of the roster."""
    from platebook.advice.standing import standing_of

    today = today_at(desk)
    return tuple(
        standing_of(m.setter, m.course, m.attempts, _by_others(m), today=today)
        for m in members(desk, group)
    )


def queue(desk: Desk, group: str | None = None) -> tuple[QueueRow, ...]:
    """What to look at in the class, most pressing first; each setter's drawn position is in it."""
    from platebook.advice.inspection_queue import ORDER

    found: list[tuple[int, int, QueueRow]] = []
    for place, member in enumerate(members(desk, group)):
        by_id = {a.attempt_id: a for a in member.attempts}
        for one in _due(desk, member):
            row = _queue_row(one, by_id[one.attempt_id], member.setter)
            found.append((ORDER.index(one.why), place, row))
    return tuple(row for _, _, row in sorted(found, key=lambda item: item[:2]))


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
    drawn = any(
        one.drawn and one.attempt_id == attempt.attempt_id
        for member in members(desk)
        if member.setter.setter_id == attempt.setter_id
        for one in _due(desk, member)
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


def class_findings(desk: Desk, group: str | None = None) -> "ClassFindings":
    """What goes with failure across the class, kept until one of them logs something."""
    from platebook.analysis.class_findings import ClassFindings
    from platebook.analysis.find_class import find_class

    some = members(desk, group)
    logs = {m.setter.name: m.attempts for m in _told_apart(some) if m.attempts}
    course = some[0].course if some else None
    with opened(desk) as book:
        digests = [f"{m.setter.setter_id} {book.digest(m.setter.setter_id or '')}" for m in some]
    return remembered(
        ClassFindings,
        lambda: find_class(logs, course=course),
        logbook=desk.path,
        setter_id=f"class-of-{len(some)}",
        digest="\n".join(digests),
        course=course,
    )


def eyes(desk: Desk, group: str | None = None) -> "dict[str, Agreement]":
    """How far each setter's eye agrees with the inspections of their drawn positions, by name."""
    from platebook.analysis.agreement import agreement

    return {
        m.setter.name: agreement(m.attempts, _by_others(m))
        for m in _told_apart(members(desk, group))
    }


def _due(desk: Desk, member: Member) -> "tuple[Due, ...]":
    from platebook.advice.inspection_queue import due
    from platebook.analysis.progress import progress

    today = today_at(desk)
    standing = progress(member.course, member.attempts, today=today)
    return due(member.course, member.attempts, _by_others(member), standing, today=today)


def _by_others(member: Member) -> tuple[Inspection, ...]:
    """Looks by someone else; a setter's own second look is their own affair."""
    mine = {member.setter.setter_id, member.setter.name}
    return tuple(look for look in member.inspections if look.inspector not in mine)


def _told_apart(some: Iterable[Member]) -> Iterator[Member]:
    """The members with names that nobody else of them has."""
    taken: Counter[str] = Counter()
    for member in some:
        taken[member.setter.name] += 1
        number = taken[member.setter.name]
        name = member.setter.name if number == 1 else f"{member.setter.name} ({number})"
        setter = member.setter.model_copy(update={"name": name})
        yield Member(setter, member.course, member.attempts, member.inspections)


def _queue_row(one: "Due", attempt: Attempt, setter: Setter) -> QueueRow:
    return QueueRow(
        attempt_id=one.attempt_id,
        setter=setter.name,
        grade=attempt.grade or "",
        plate=attempt.plate or "",
        position=attempt.position or "",
        why=one.why,
        sentence=one.sentence,
        drawn=one.drawn,
    )
