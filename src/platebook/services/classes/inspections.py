"""An instructor's looks: what to look at first, a look recorded, a grade signed off."""

from collections.abc import Iterable, Mapping, Sequence
from concurrent.futures import Executor

from platebook.advice.class_standing import QueueReason, QueueRow, SetterLine
from platebook.advice.inspection_queue import Due, by_need, due_on, need, not_seen
from platebook.advice.reasons_to_look import Reason
from platebook.analysis.grades.points import good_ones
from platebook.analysis.grades.progress import GradeProgress, progress
from platebook.analysis.grades.whole_settings import whole_settings
from platebook.logbook import setter_records
from platebook.logbook.attempts.attempt_queries import count_attempts, select_attempts
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.logbook.history import undo_redo
from platebook.logbook.records import add_draws, add_inspections, add_sign_off
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course, Grade, at_grades_now, signed_now
from platebook.practice.defects import comment_of
from platebook.practice.records import Inspection, Setter, SignOff, name_key
from platebook.practice.results import read_result, read_severity
from platebook.practice.text import clean
from platebook.services.attempts.log import attempt_with
from platebook.services.classes.class_answers import class_lines, lines_of
from platebook.services.classes.class_roll import Pupil, enrol
from platebook.services.classes.register import registers
from platebook.services.classes.setter_work import Lies, Line
from platebook.services.classes.terms import find_term, roll_of
from platebook.services.classes.worker_pool import WorkerPool
from platebook.services.courses.followed import course_of
from platebook.services.now.choices import choice_to_take_back
from platebook.services.progress_callback import Watch, unwatched
from platebook.services.session import (
    NOBODYS,
    Refused,
    Session,
    find_setter,
    opened,
    own_entry_of,
    signer_of,
    today_at,
)
from platebook.trade.phrases import count_of
from platebook.values import Value

OF_A_CLASS = frozenset({"inspection", "sign_off", "message", "class", "membership"})
"""Kinds of record that somebody who teaches makes; what people set is none of them."""


class Inspected(Value):
    """An inspection that was recorded, with the setter's own look, which is told only now."""

    inspection: Inspection
    setter: str
    own_result: tuple[str, ...]
    own_severity: tuple[int, ...]


def queue(
    session: Session,
    group: str | None = None,
    *,
    executor: Executor | None = None,
    watch: Watch = unwatched,
) -> tuple[QueueRow, ...]:
    """What to look at in the class, most pressing first; each setter's drawn position is in it.

    A draw that is due is made and kept: it stays what it is, whoever asks again.
    """
    return rank_queue(session, class_lines(session, group, executor, watch), group)


def class_now(
    session: Session, group: str | None = None, *, watch: Watch = unwatched
) -> tuple[tuple[SetterLine, ...], tuple[QueueRow, ...]]:
    """A line a setter (`by_need`) and the queue at once, as the class's screen shows them."""
    lines, today = class_lines(session, group, None, watch), today_at(session)
    due = rank_queue(session, lines, group)
    standings = (line.standing_on(today, left=pupil.left) for pupil, line in lines)
    return by_need(standings, due), due


def can_take_back(session: Session) -> bool:
    """Whether what `undo` would take back now is about a class.

    It never is where somebody has only just been added: that is in their name too, and taken back
    it would leave nobody at the bench.
    """
    if choice_to_take_back(session):
        return False
    with opened(session, make=False) as book:
        return bool(book.ask(undo_redo.kinds_last_standing, session.author) & OF_A_CLASS)


def rank_queue(
    session: Session, lines: Sequence[tuple[Pupil, Line]], group: str | None
) -> tuple[QueueRow, ...]:
    """The queue of a class (or everyone) by its lines, most needed first; the draws are kept."""
    keep_draws(session, (line for _, line in lines))
    return due_in(session, lines, group)


def due_in(
    session: Session, lines: Sequence[tuple[Pupil, Line]], group: str | None
) -> tuple[QueueRow, ...]:
    """The queue as it stands, most pressing first; nothing is kept, no draw either.

    Among everyone nothing waits of who has left their class: they come no more to be looked at.
    """
    today, missed = today_at(session), _missed(session, lines, group)
    rows = [
        (need(standing, due.why), _queue_row(due, line.lies[due.attempt_id], pupil.setter))
        for pupil, line in lines
        if not pupil.left
        for standing in [line.standing_on(today)]
        for due in due_on(line.waits, today, missed.get(pupil.setter_id, ()))
    ]
    return tuple(row for _, row in sorted(rows, key=lambda item: item[0]))


def _missed(
    session: Session, lines: Sequence[tuple[Pupil, Line]], group: str | None
) -> Mapping[str, tuple[Reason, ...]]:
    """Who has not been seen while their class went on, by id; the first class says why.

    Without `group` each counts in the classes they are in today: who has left theirs is not missed.
    A logbook without any class is one class.
    """
    if not lines:
        return {}
    today = today_at(session)
    with opened(session, make=False) as book:
        roll = roll_of(book, today)
        term = None if group is None else find_term(roll, group, today)
        kept = registers(book, roll, term, today)
    waits = {pupil.setter_id: line.waits for pupil, line in lines}
    found: dict[str, tuple[Reason, ...]] = {}
    for register in kept:
        for row in register.coming:
            reasons = not_seen(waits[row.setter_id], row) if row.setter_id in waits else ()
            if reasons:
                found.setdefault(row.setter_id, reasons)
    return found


def keep_draws(session: Session, lines: Iterable[Line]) -> None:
    """Keep the draws that are due; what the lines say counts them already.

    In a logbook that cannot be written they are the same ones at every asking, and not kept.
    """
    now = session.clock().astimezone(session.zone)
    due = [line.draw.model_copy(update={"drawn": now}) for line in lines if line.draw is not None]
    if not due:
        return
    with opened(session, make=False) as book:
        if not book.read_only:
            book.tell(add_draws, due, session.stamp(book, "draw", author=NOBODYS, now=now))


def inspect(  # noqa: PLR0913 - all that a look may say, by keyword
    session: Session,
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
    expected. Whether the position was drawn at random follows from the queue, not from who looks.
    """
    attempt = attempt_with(session, named)
    read, weights, problems = read_look(result, severity, part=attempt.kind == "part")
    if clock is not None and not 1 <= clock <= 12:
        problems.append(f"clock: read {clock}, expected 1 to 12, the notch being 12")
    words, wanted = comment_of(read or (), clean(comment))
    if words is None:
        problems.append(f"comment: read {clean(comment)!r}, expected {wanted}")
    with opened(session, make=False) as book:
        inspector = signer_of(session, book, clean(by))
        own_entry = own_entry_of(book, inspector)
    if {inspector, own_entry} & {attempt.setter_id, attempt.setter}:
        problems.append("inspector: an inspection is someone else's look; choose who with --by")
    if problems:
        raise Refused("; ".join(problems))
    drawn = _counts_as_drawn(session, attempt)
    look = Inspection(
        attempt_id=attempt.attempt_id or "",
        inspector=inspector,
        result=read,
        severity=weights,
        clock=clock,
        comment=words or "",
        drawn_at_random=drawn,
        looked=session.clock().astimezone(session.zone),
    )
    with opened(session, make=False) as book:
        (made,) = book.tell(add_inspections, [look], session.stamp(book, "inspect"))
    return Inspected(made, attempt.setter or "", attempt.result or (), attempt.severity or ())


def read_look(
    result: str, severity: str, *, part: bool = False
) -> tuple[tuple[str, ...] | None, tuple[int, ...] | None, list[str]]:
    """The result and severity of a look as typed, and what is wrong with them, a sentence each."""
    read, expected = read_result(result, part=part)
    problems = [f"result: read {clean(result)!r}, expected {expected}"] if read is None else []
    weights, wrong = read_severity(severity) if severity.strip() else (None, "")
    if wrong:
        problems.append(f"severity: read {clean(severity)!r}, expected {wrong}")
    return read, weights, problems


def draws_of(session: Session, setter: Setter) -> frozenset[str]:
    """The attempts of a setter that were drawn at random; a draw that is due is made before."""
    with opened(session, make=False) as book:
        attempts = book.ask(count_attempts, Wanted(setter_id=setter.setter_id))
        members = tuple(enrol(book, [(setter, attempts)]))
    with WorkerPool() as pool:
        keep_draws(session, lines_of(session, members, pool))
    with opened(session, make=False) as book:
        draws = book.ask(setter_records.draws, setter.setter_id or "")
    return frozenset(draw.attempt_id for draw in draws)


def _counts_as_drawn(session: Session, attempt: Attempt) -> bool:
    """Whether a look at this attempt is one of a sample; a draw that is due is made before it.

    It is none where a look was taken back: the setter's own verdict has been told since.
    """
    with opened(session, make=False) as book:
        setter = book.ask(setter_records.setter_with_id, attempt.setter_id)
    if attempt.attempt_id is None or setter is None:
        return False
    if attempt.attempt_id not in draws_of(session, setter):
        return False
    own = [name for name in (attempt.setter_id, attempt.setter) if name]
    with opened(session, make=False) as book:
        return not book.ask(setter_records.was_told, attempt.attempt_id, besides=own)


def _queue_row(due: Due, lies: Lies, setter: Setter) -> QueueRow:
    return QueueRow(
        attempt_id=due.attempt_id,
        setter=setter.name,
        grade=lies.grade,
        plate=lies.plate,
        position=lies.position,
        why=due.why,
        sentence=due.sentence,
        drawn=due.drawn,
        setter_id=setter.setter_id or "",
        sign_off=due.sign_off,
        reasons=tuple(QueueReason(r.why, r.sentence, r.what) for r in due.reasons),
        grade_title=lies.title,
        day=lies.day.isoformat() if lies.day is not None else "",
        number_of_day=lies.number,
    )


class Signed(Value):
    """A sign-off that was recorded, and what was done in a sentence."""

    sign_off: SignOff
    setter: str
    sentence: str


def sign_off(
    session: Session, wanted: str, grade: str, *, by: str = "", comment: str = ""
) -> Signed:
    """Sign a grade off for a setter; it can be taken back.

    Refused, with the reason, where the course asks for none, where points are missing, where it is
    passed already, and where the setter would sign for themselves.
    """
    with opened(session, make=False) as book:
        setter = find_setter(book.ask(setter_records.setters), wanted)
        setter_id = setter.setter_id or ""
        course = course_of(book, setter)
        log = book.ask(select_attempts, Wanted(setter_id=setter_id))
        attempts = at_grades_now(course, log)
        sign_offs = signed_now(course, book.ask(setter_records.sign_offs, setter_id))
        signer = signer_of(session, book, clean(by))
        own_entry = own_entry_of(book, signer)
    meant = _grade(course, grade)
    so_far = progress(course, attempts, today=today_at(session), sign_offs=sign_offs, curves=False)
    standing = so_far.grade(meant.id)
    wrong = _why_not(course, meant, standing)
    if own_entry == setter_id or name_key(signer) in {name_key(setter_id), name_key(setter.name)}:
        wrong = "by: nobody signs a grade off for themselves; say who does with --by"
    if wrong:
        raise Refused(wrong)
    settings = whole_settings(course, attempts)
    now = session.clock()
    made = SignOff(
        setter_id=setter_id,
        course=course.id,
        grade=meant.id,
        signed_by=signer,
        attempt_id=(settings[-1].attempt.attempt_id or "") if settings else "",
        comment=clean(comment),
        signed=now.astimezone(session.zone),
    )
    with opened(session, make=False) as book:
        kept = book.tell(add_sign_off, made, session.stamp(book, "add", now=now))
    return Signed(kept, setter.name, _sentence(setter, meant))


def _sentence(setter: Setter, grade: Grade) -> str:
    return f"{grade.title} is signed off for {setter.name}; undo takes it back."


def _grade(course: Course, wanted: str) -> Grade:
    """The grade of this id or title; Refused, with those there are, for another one."""
    for grade in course.grades:
        if name_key(wanted) in {name_key(grade.id), name_key(grade.title)}:
            return grade
    known = ", ".join(grade.id for grade in course.grades)
    raise Refused(f"grade: read {clean(wanted)!r}, expected one of: {known}")


def _why_not(course: Course, grade: Grade, standing: GradeProgress | None) -> str:
    """Why this grade cannot be signed off now; empty where it can."""
    if not course.asks_sign_off(grade.id):
        return f"grade: {grade.title} asks for no sign-off; {course.title} passes it by its points"
    if standing is None or standing.state == "to be signed off":
        return ""
    if standing.state == "passed":
        return f"grade: {grade.title} is signed off already"
    points = f"{standing.points} of {count_of(standing.promote_at, 'point')}"
    to_go = f"{good_ones(standing.good_to_go)} to go"
    return f"grade: {grade.title} has {points}, {to_go}; it can be signed off then"
