"""The class for its instructor: who needs a look, what all share, whose eye is kind."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from platebook.advice.standing import Standing
from platebook.services.answers import today_at
from platebook.services.desk import Desk
from platebook.services.faults import opened
from platebook.services.members import Member, members
from platebook.services.remembering import remembered

if TYPE_CHECKING:
    from platebook.analysis.agreement import Agreement
    from platebook.analysis.class_findings import ClassFindings
    from platebook.analysis.practising import Practice


def class_progress(
    desk: Desk, group: str | None = None, *, some: Sequence[Member] | None = None
) -> tuple[Standing, ...]:
    """A line a setter, in the order of the roster; `some` are the members where taken already."""
    from platebook.advice.standing import standing_of
    from platebook.analysis.agreement import agreement

    today = today_at(desk)
    return tuple(
        standing_of(
            m.setter,
            m.course,
            m.attempts,
            m.sign_offs,
            agreement(m.as_judged_then, m.others_looks),
            today=today,
        )
        for m in (members(desk, group) if some is None else some)
    )


def class_practice(desk: Desk, some: Iterable[Member]) -> "Practice":
    """How much these members practised by week, and what it used, all together."""
    from platebook.analysis.practising import practised

    return practised((a for m in some for a in m.attempts), today=today_at(desk))


def class_findings(desk: Desk, group: str | None = None) -> "ClassFindings":
    """What goes with failure across the class, kept until one of them logs something."""
    from platebook.analysis.class_findings import ClassFindings
    from platebook.analysis.find_class import find_class

    some = members(desk, group)
    told_apart = tuple(_told_apart(some))
    logs = {m.setter.name: m.attempts for m in told_apart if m.attempts}
    courses = {m.setter.name: m.course for m in told_apart}
    with opened(desk) as book:
        digests = [
            f"{m.setter.setter_id} {book.digest(m.setter.setter_id or '')} {m.course.id}"
            for m in some
        ]
    return remembered(
        ClassFindings,
        lambda: find_class(logs, course=courses),
        logbook=desk.path,
        setter_id=f"class-of-{len(some)}",
        digest="\n".join((*digests, *sorted({m.course.model_dump_json() for m in some}))),
    )


def eyes(desk: Desk, group: str | None = None) -> "dict[str, Agreement]":
    """How far each setter's eye agrees with the inspections of their drawn positions, by name."""
    from platebook.analysis.agreement import agreement

    return {
        m.setter.name: agreement(m.as_judged_then, m.others_looks)
        for m in _told_apart(members(desk, group))
    }


def _told_apart(some: Iterable[Member]) -> Iterator[Member]:
    """The members with names that nobody else of them has."""
    taken: Counter[str] = Counter()
    for member in some:
        taken[member.setter.name] += 1
        number = taken[member.setter.name]
        name = member.setter.name if number == 1 else f"{member.setter.name} ({number})"
        setter = member.setter.model_copy(update={"name": name})
        yield replace(member, setter=setter)
