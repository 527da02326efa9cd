"""An instructor's looks: what to look at first, the position drawn at random, a look recorded."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from platebook.advice.comments import comment_of
from platebook.advice.standing import QueueRow
from platebook.practice.attempt import Attempt
from platebook.practice.inspection import Inspection
from platebook.practice.looks import read_result, read_severity
from platebook.practice.setter import Setter
from platebook.practice.text import clean
from platebook.services.answers import today_at
from platebook.services.desk import Desk
from platebook.services.faults import Refused, opened
from platebook.services.log import attempt_with
from platebook.services.members import Member, members

if TYPE_CHECKING:
    from platebook.advice.inspection_queue import Due

NOBODYS = "the draw"
"""Signs the changes that keep a draw, so that nobody's undo takes one back."""


@dataclass(frozen=True)
class Inspected:
    """An inspection that was recorded, with the setter's own look, which is told only now."""

    inspection: Inspection
    setter: str
    own_result: tuple[str, ...]
    own_severity: tuple[int, ...]


def queue(desk: Desk, group: str | None = None) -> tuple[QueueRow, ...]:
    """What to look at in the class, most pressing first; each setter's drawn position is in it.

    A draw that is due is made and kept: it stays what it is, whoever asks again.
    """
    from platebook.advice.inspection_queue import ORDER

    found: list[tuple[int, int, QueueRow]] = []
    for place, member in enumerate(drawn_for(desk, members(desk, group))):
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

    A digit as the comment picks a stock comment on the result. Refused with what was read and
    expected. Whether the position was drawn at random follows from
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
    said, wanted = comment_of(read or (), clean(comment))
    if said is None:
        faults.append(f"comment: read {clean(comment)!r}, expected {wanted}")
    inspector = clean(by) or desk.setter_id or desk.author
    if inspector in {attempt.setter_id, attempt.setter}:
        faults.append("inspector: an inspection is someone else's look; choose who with --by")
    if faults:
        raise Refused("; ".join(faults))
    drawn = _counts_as_drawn(desk, attempt)
    look = Inspection(
        attempt_id=attempt.attempt_id or "",
        inspector=inspector,
        result=read,
        severity=weights,
        clock=clock,
        comment=said or "",
        drawn_at_random=drawn,
        looked=desk.clock().astimezone(desk.zone),
    )
    with opened(desk, make=False) as book:
        (made,) = book.add_inspections([look], author=desk.author, now=desk.clock())
    return Inspected(made, attempt.setter or "", attempt.result or (), attempt.severity or ())


def drawn_for(desk: Desk, some: Iterable[Member]) -> tuple[Member, ...]:
    """These members with the draws that are due, which are kept from now on.

    In a logbook that cannot be written they are the same ones at every asking, and not kept.
    """
    from platebook.advice.drawing import next_draw

    now = desk.clock().astimezone(desk.zone)
    these = tuple(some)
    due = {
        m.setter.setter_id: draw
        for m in these
        if (draw := next_draw(m.setter.setter_id or "", m.draws, m.attempts, m.looked_at, now=now))
    }
    if not due:
        return these
    with opened(desk, make=False) as book:
        if not book.read_only:
            book.add_draws(tuple(due.values()), author=NOBODYS, now=now)
    return tuple(
        replace(m, draws=(*m.draws, due[m.setter.setter_id])) if m.setter.setter_id in due else m
        for m in these
    )


def _counts_as_drawn(desk: Desk, attempt: Attempt) -> bool:
    """Whether a look at this attempt is one of a sample; a draw that is due is made before it.

    It is none where a look was taken back: the setter's own verdict has been told since.
    """
    whose = [m for m in members(desk) if m.setter.setter_id == attempt.setter_id]
    drawn = {draw.attempt_id for m in drawn_for(desk, whose) for draw in m.draws}
    if attempt.attempt_id is None or attempt.attempt_id not in drawn:
        return False
    own = [name for name in (attempt.setter_id, attempt.setter) if name]
    with opened(desk, make=False) as book:
        return not book.was_told(attempt.attempt_id, besides=own)


def _due(desk: Desk, member: Member) -> "tuple[Due, ...]":
    from platebook.advice.drawing import open_draws
    from platebook.advice.inspection_queue import due
    from platebook.analysis.progress import progress

    today = today_at(desk)
    standing = progress(member.course, member.attempts, today=today, sign_offs=member.sign_offs)
    waiting = open_draws(member.draws, member.attempts, member.looked_at)
    drawn = {draw.attempt_id for draw in waiting}
    looks = member.others_looks
    return due(member.course, member.attempts, looks, standing, today=today, drawn=drawn)


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
        setter_id=setter.setter_id or "",
        sign_off=one.sign_off,
    )
