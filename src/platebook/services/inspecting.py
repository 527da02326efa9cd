"""An instructor's looks: what to look at first, the position drawn at random, a look recorded."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from platebook.advice.comments import comment_of
from platebook.advice.standing import QueueRow, Standing
from platebook.logbook.attempts import count_attempts
from platebook.logbook.wanted import Wanted
from platebook.practice.attempt import Attempt
from platebook.practice.inspection import Inspection
from platebook.practice.looks import read_result, read_severity
from platebook.practice.setter import Setter
from platebook.practice.text import clean
from platebook.services.class_answers import class_lines, lines_of
from platebook.services.class_roll import Pupil, enrolled
from platebook.services.desk import Desk, today_at
from platebook.services.faults import Refused, opened
from platebook.services.log import attempt_with
from platebook.services.people import with_id
from platebook.services.progress_callback import Watch, unwatched
from platebook.services.setter_work import Lies, Line
from platebook.services.worker_pool import WorkerPool

if TYPE_CHECKING:
    from concurrent.futures import Executor

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
    return queued(desk, class_lines(desk, group, executor, watch))


def class_now(
    desk: Desk, group: str | None = None, *, watch: Watch = unwatched
) -> tuple[tuple[Standing, ...], tuple[QueueRow, ...]]:
    """A line a setter and the queue at once, as the class's screen shows them."""
    lines, today = class_lines(desk, group, None, watch), today_at(desk)
    return tuple(line.standing_on(today) for _, line in lines), queued(desk, lines)


def queued(desk: Desk, found: Sequence[tuple[Pupil, Line]]) -> tuple[QueueRow, ...]:
    """The queue of setters with their lines, most pressing first; the draws are kept."""
    from platebook.advice.inspection_queue import ORDER, due_on

    keep_draws(desk, (line for _, line in found))
    today = today_at(desk)
    rows = [
        (ORDER.index(one.why), place, _queue_row(one, line.lies[one.attempt_id], pupil.setter))
        for place, (pupil, line) in enumerate(found)
        for one in due_on(line.waits, today)
    ]
    return tuple(row for _, _, row in sorted(rows, key=lambda item: item[:2]))


def keep_draws(desk: Desk, some: Iterable[Line]) -> None:
    """Keep the draws that are due; what the lines say counts them already.

    In a logbook that cannot be written they are the same ones at every asking, and not kept.
    """
    from platebook.logbook.adding import add_draws

    now = desk.clock().astimezone(desk.zone)
    due = [line.draw.model_copy(update={"drawn": now}) for line in some if line.draw is not None]
    if not due:
        return
    with opened(desk, make=False) as book:
        if not book.read_only:
            book.tell(add_draws, due, book.stamp(NOBODYS, now, "draw"))


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
    from platebook.logbook.adding import add_inspections

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
        (made,) = book.tell(
            add_inspections, [look], book.stamp(desk.author, desk.clock(), "inspect")
        )
    return Inspected(made, attempt.setter or "", attempt.result or (), attempt.severity or ())


def _counts_as_drawn(desk: Desk, attempt: Attempt) -> bool:
    """Whether a look at this attempt is one of a sample; a draw that is due is made before it.

    It is none where a look was taken back: the setter's own verdict has been told since.
    """
    from platebook.logbook import belongings

    with opened(desk, make=False) as book:
        whose = with_id(book.ask(belongings.setters), attempt.setter_id)
        if attempt.attempt_id is None or whose is None:
            return False
        some = tuple(
            enrolled(book, [(whose, book.ask(count_attempts, Wanted(setter_id=whose.setter_id)))])
        )
    with WorkerPool() as pool:
        keep_draws(desk, lines_of(desk, some, pool))
    own = [name for name in (attempt.setter_id, attempt.setter) if name]
    with opened(desk, make=False) as book:
        drawn = {draw.attempt_id for draw in book.ask(belongings.draws, whose.setter_id or "")}
        return attempt.attempt_id in drawn and not book.ask(
            belongings.was_told, attempt.attempt_id, besides=own
        )


def _queue_row(one: "Due", lies: Lies, setter: Setter) -> QueueRow:
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
