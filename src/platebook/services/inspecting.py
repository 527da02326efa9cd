"""An instructor's looks: what to look at first, the position drawn at random, a look recorded."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from platebook.advice.comments import comment_of
from platebook.advice.standing import QueueRow, Standing
from platebook.practice.attempt import Attempt
from platebook.practice.inspection import Inspection
from platebook.practice.looks import read_result, read_severity
from platebook.practice.setter import Setter
from platebook.practice.text import clean
from platebook.services.answers import today_at
from platebook.services.classroom import lines_for, lines_of
from platebook.services.desk import Desk
from platebook.services.faults import Refused, opened
from platebook.services.log import attempt_with
from platebook.services.members import Member, members
from platebook.services.watching import Watch, unwatched

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from platebook.advice.inspection_queue import Due
    from platebook.services.class_work import Lies, Line


@dataclass(frozen=True)
class Inspected:
    """An inspection that was recorded, with the setter's own look, which is told only now."""

    inspection: Inspection
    setter: str
    own_result: tuple[str, ...]
    own_severity: tuple[int, ...]


def queue(
    desk: Desk,
    group: str | None = None,
    *,
    executor: "Executor | None" = None,
    watch: Watch = unwatched,
) -> tuple[QueueRow, ...]:
    """What to look at in the class, most pressing first; each setter's drawn position is in it.

    A draw that is due is made and kept: it stays what it is, whoever asks again.
    """
    return rows_of(desk, lines_of(desk, group, executor=executor, watch=watch))


def class_now(
    desk: Desk, group: str | None = None, *, watch: Watch = unwatched
) -> tuple[tuple[Standing, ...], tuple[QueueRow, ...]]:
    """A line a setter in the order of the roster, and the queue."""
    found, today = lines_of(desk, group, watch=watch), today_at(desk)
    return tuple(line.standing_on(today) for _, line in found), rows_of(desk, found)


def rows_of(desk: Desk, found: "Sequence[tuple[Member, Line]]") -> tuple[QueueRow, ...]:
    """The queue of the setters with these lines; draws that are due are kept."""
    from platebook.advice.inspection_queue import ORDER, due_on
    from platebook.services.class_lines import keep_draws

    keep_draws(desk, found)
    today = today_at(desk)
    rows = [
        (ORDER.index(one.why), place, _queue_row(one, line.lies[one.attempt_id], member.setter))
        for place, (member, line) in enumerate(found)
        for one in due_on(today, line.waits)
    ]
    return tuple(row for _, _, row in sorted(rows, key=lambda item: item[:2]))


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


def _counts_as_drawn(desk: Desk, attempt: Attempt) -> bool:
    """Whether a look at this attempt is one of a sample; a draw that is due is made before it.

    It is none where a look was taken back: the setter's own verdict has been told since.
    """
    from platebook.services.class_lines import keep_draws

    theirs = [m for m in members(desk) if m.setter_id == attempt.setter_id]
    found = lines_for(desk, theirs)
    keep_draws(desk, found)
    own = [name for name in (attempt.setter_id, attempt.setter) if name]
    with opened(desk, make=False) as book:
        drawn = {draw.attempt_id for m in theirs for draw in book.draws(m.setter_id)}
        drawn |= {line.draw.attempt_id for _, line in found if line.draw is not None}
        if attempt.attempt_id is None or attempt.attempt_id not in drawn:
            return False
        return not book.was_told(attempt.attempt_id, besides=own)


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
        setter_id=setter.setter_id or "",
        sign_off=one.sign_off,
    )
