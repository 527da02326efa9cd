"""Everything that changes an attempt.

All three doors (the app, the command, a file) come through `read_attempts`, so they accept the same
and refuse the same, and `store` puts what they read into the logbook as one change.
"""

import difflib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Literal

from platebook.logbook import Logbook, defaults, records, setter_records
from platebook.logbook.attempts.attempt_queries import attempt_by_id, latest_set_ups
from platebook.logbook.history import undo_redo
from platebook.logbook.records import add_attempts
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.practice.defects import defects
from platebook.practice.fields import fields, steps_done
from platebook.practice.problem import Problem, only_problems
from platebook.practice.reading.attempt_rows import UNKNOWN_FIELD, read_attempts, write_row
from platebook.practice.records import Setter
from platebook.services.attempts.proposals import (
    Counted,
    Memory,
    Proposed,
    counted,
    filled_in,
    placed,
)
from platebook.services.attempts.whose_attempts import Assigned, assign_setters
from platebook.services.courses.followed import course_with_own
from platebook.services.drawer.tool_names import match_things, problems_about
from platebook.services.now.choices import (
    choice_to_take_back,
    logged_before,
    take_back,
    with_block_of,
)
from platebook.services.session import Refused, Session, opened
from platebook.trade.records import Tool
from platebook.values import Value, replace

FIXED = ("attempt_id", "setter_id", "setter")

Dates = Literal["dmy", "mdy"]


class Recorded(Value):
    """What was stored, or why nothing was; notices stand in `problems` either way.

    `proposed` is what nobody typed and was taken from the course or the last set-up, `counted`
    where the attempts count.
    """

    ids: tuple[str, ...]
    problems: tuple[Problem, ...]
    stored: bool
    proposed: tuple[Proposed, ...] = ()
    counted: tuple[Counted, ...] = ()

    @property
    def notices(self) -> tuple[str, ...]:
        """What is told and changes nothing, a sentence each."""
        return tuple(
            f"{p.field}: read {p.read}, expected {p.expected}."
            for p in self.problems
            if p.level == "notice"
        )


def record(
    session: Session,
    rows: Sequence[Mapping[str, object]],
    *,
    dates: Dates | None = None,
    dry_run: bool = False,
    as_typed: bool = False,
) -> Recorded:
    """Add attempts made now, unless they say when; all of them or none.

    A row that leaves out stone, metal or sheet takes them from the last set-up or the course, and
    one whose stone is another grade's goes there; `as_typed` leaves both as they are, as where a
    person saw them and was asked. A row of the kind block is the next setting of the block under
    way. With `dry_run` everything is checked and nothing is stored.
    """
    with opened(session, rehearsal=dry_run) as book:
        setter = book.ask(setter_records.setter_with_id, session.setter_id)
        course = course_with_own(book, setter)
        rows = with_block_of(book, session.setter_id, rows)
        attempts, told = read_attempts(rows, course=course, zone=session.zone, dates=dates)
        names = (*fields(), *(field.name for field in course.extra))
        problems = tuple(_not_dropped(problem, names) for problem in told)
        problems += logged_before(book, session.setter_id, attempts)
        if only_problems(problems):
            return Recorded((), problems, stored=False)
        now = session.clock().astimezone(session.zone)
        timed = [a if a.began else replace(a, began=now) for a in attempts]
        completing = None if as_typed else Completing(course, follows=True, moves=True)
        return store(
            session, book, timed, problems, what="record", dry_run=dry_run, completing=completing
        )


def _not_dropped(problem: Problem, names: Sequence[str]) -> Problem:
    """A field that nobody knows is a problem here: what was typed by hand is not just left out."""
    if problem.field in names or problem.expected != UNKNOWN_FIELD:
        return problem
    near = difflib.get_close_matches(problem.field, names, 1)
    hint = f"; the nearest is {near[0]}" if near else " or a column of your own"
    return replace(problem, expected=f"{UNKNOWN_FIELD}{hint}", level="problem")


class Completing(Value):
    """How sparse rows are completed by a course.

    `follows` says that the first row goes on from the logbook's last, `moves` that a stone of
    another grade is logged there.
    """

    course: Course
    follows: bool
    moves: bool

    def complete(
        self, book: Logbook, attempts: Iterable[Attempt]
    ) -> tuple[tuple[Attempt, ...], tuple[Proposed, ...], tuple[Problem, ...]]:
        """The attempts completed, what was taken from where, and what is doubtful."""
        memories: dict[str, Memory] = {}
        done: list[Attempt] = []
        proposed: list[Proposed] = []
        notices: list[Problem] = []
        for row, attempt in enumerate(attempts, 1):
            owner = attempt.setter_id or ""
            if owner not in memories:
                set_ups = book.ask(latest_set_ups, owner)
                memories[owner] = Memory.of(set_ups, follows=self.follows)
            filled, taken = filled_in(attempt, row, memories[owner], self.course)
            settled, told = placed(filled, row, self.course, move=self.moves)
            memories[owner].add(settled)
            done.append(settled)
            proposed += taken
            notices += told
        return tuple(done), tuple(proposed), tuple(notices)


def prepared(session: Session, book: Logbook, attempts: Iterable[Attempt]) -> Assigned:
    """The attempts with their setters and the tools as the drawer names them; nothing is stored."""
    whose = assign_setters(
        attempts,
        book.ask(setter_records.setters),
        in_use=session.setter_id,
        new_id=_new_ids(session, book),
    )
    if only_problems(whose.problems):
        return whose
    named, unknown = match_things(book, whose.attempts)
    return Assigned(named, whose.new_setters, (*whose.problems, *unknown))


def store(  # noqa: PLR0913 - what is stored and how, by keyword
    session: Session,
    book: Logbook,
    attempts: Iterable[Attempt],
    noticed: tuple[Problem, ...],
    *,
    what: str,
    dry_run: bool = False,
    completing: Completing | None = None,
) -> Recorded:
    """Give each attempt its setter and bur, and add all of them as one change, or none.

    With `completing` sparse rows are completed first. A setter who is new to a logbook that has
    nobody in use becomes the one in use.
    """
    ready = prepared(session, book, attempts)
    if only_problems((*noticed, *ready.problems)):
        return Recorded((), (*noticed, *ready.problems), stored=False)
    named = ready.attempts
    proposed: tuple[Proposed, ...] = ()
    doubtful: tuple[Problem, ...] = ()
    if completing is not None:
        named, proposed, doubtful = completing.complete(book, named)
    problems = (*noticed, *ready.problems, *doubtful)
    counting = with_seats(book, named)
    places = counted(counting, completing.course) if completing is not None else ()
    ids_given = [a.attempt_id for a in counting if a.attempt_id]
    known = book.ask(records.taken_ids, "attempt", ids_given) if ids_given else frozenset()
    taken = tuple(
        Problem(row, "attempt_id", a.attempt_id or "", "an attempt that is not in the logbook yet")
        for row, a in enumerate(counting, 1)
        if a.attempt_id in known
    )
    if taken:
        return Recorded((), (*problems, *taken), stored=False)
    if dry_run:
        return Recorded((), problems, stored=False, proposed=proposed, counted=places)
    ids = book.tell(
        add_attempts,
        counting,
        session.stamp(book, what),
        new_setters=ready.new_setters,
    )
    use_the_only_new(session, book, ready.new_setters)
    return Recorded(ids, problems, stored=True, proposed=proposed, counted=places)


def use_the_only_new(session: Session, book: Logbook, new: Sequence[Setter]) -> None:
    """Whoever is new by themselves to a logbook that has nobody in use becomes the one in use."""
    if session.setter_id is None and session.teacher_id is None and len(new) == 1:
        book.tell(defaults.set_default, defaults.IN_USE, new[0].setter_id)


def amend(session: Session, attempt_id: str, values: Mapping[str, object]) -> Recorded:
    """Correct these fields of one attempt; an empty value empties the field.

    Whose it is and its id are not fields to correct; `setter merge` moves a person's attempts.
    """
    with opened(session, make=False) as book:
        before = _attempt_in_log(book, attempt_id)
        setter = book.ask(setter_records.setter_with_id, before.setter_id)
        course = course_with_own(book, setter)
        extra = {*(name for name, _ in before.extra), *(field.name for field in course.extra)}
        wrong = _not_to_be_amended(values, before, extra)
        if wrong:
            return Recorded((), wrong, stored=False)
        row: dict[str, object] = {**write_row(before), **values}
        read, problems = read_attempts([row], course=course, zone=session.zone)
        if only_problems(problems):
            return Recorded((), problems, stored=False)
        after = replace(
            read[0],
            attempt_id=before.attempt_id,
            setter_id=before.setter_id,
            setter=before.setter,
            extra=tuple({**dict(before.extra), **dict(read[0].extra)}.items()),
        )
        (named,), unknown = match_things(book, [after])
        _, doubtful = placed(named, 0, course, move=False)
        noticed = (*problems, *problems_about((*unknown, *doubtful), values))
        if only_problems(noticed):
            return Recorded((), noticed, stored=False)
        book.tell(records.amend, "attempt", attempt_id, named, session.stamp(book, "amend"))
        return Recorded((attempt_id,), noticed, stored=True)


def hide(session: Session, *attempt_ids: str) -> str:
    """Take attempts out of everything, as one change that can be taken back."""
    with opened(session, make=False) as book:
        for attempt_id in attempt_ids:
            _attempt_in_log(book, attempt_id)
        book.tell(records.hide, "attempt", attempt_ids, session.stamp(book, "hide"))
    if len(attempt_ids) == 1:
        return "The attempt is hidden and counts nowhere; undo brings it back."
    return f"{len(attempt_ids)} attempts are hidden and count nowhere; undo brings them back."


def undo(session: Session) -> str:
    """Take back this author's last change, or a choice made after it, and say what it was."""
    return take_back(session) or _step(session, back=True)


def undo_mark(session: Session) -> str:
    """Another text whenever `undo` would take back something else; empty where it has nothing.

    Whoever remembers it can tell whether anything was done since.
    """
    if not session.path.exists():
        return ""
    with opened(session, make=False) as book:
        standing = book.ask(undo_redo.last_standing, session.author)
    return f"{choice_to_take_back(session)}{standing}"


def redo(session: Session) -> str:
    """Put back what this author took back last, and say what it was."""
    return _step(session, back=False)


def remedy_for(result: str) -> tuple[str, ...]:
    """What now: a sentence or two a defect of this result, and whether it can be saved."""
    judged = (defects().get(word.strip()) for word in result.split(";"))
    saved = {"yes": "can be saved", "sometimes": "can sometimes be saved", "no": "cannot be saved"}
    return tuple(
        f"{r.name[0].upper()}{r.name[1:]} ({saved[r.saved]}): {' '.join(r.do)}"
        for r in judged
        if r is not None
    )


def _attempt_in_log(book: Logbook, attempt_id: str) -> Attempt:
    attempt = book.ask(attempt_by_id, attempt_id)
    if attempt is None:
        raise Refused(f"id: read {attempt_id!r}, expected the id of an attempt in the log")
    return attempt


def _not_to_be_amended(
    values: Mapping[str, object], before: Attempt, extra: set[str]
) -> tuple[Problem, ...]:
    known = {*fields(), *extra}
    return tuple(
        Problem(0, name, str(value), "the field's value as it is; this field is not for correcting")
        if name in known
        else Problem(0, name, str(value), "a field of the record (docs/fields.md lists them)")
        for name, value in values.items()
        if name not in known
        or (name in FIXED and str(value or "") != str(getattr(before, name) or ""))
    )


def _step(session: Session, *, back: bool) -> str:
    with opened(session, make=False) as book:
        if back:
            step = book.tell(undo_redo.undo, session.stamp(book, "undo"))
        else:
            step = book.tell(undo_redo.redo, session.stamp(book, "redo"))
    if not step.done:
        raise Refused(step.words)
    return step.words


def _new_ids(session: Session, book: Logbook) -> Iterator[str]:
    while True:
        yield from book.new_ids(1, session.clock())


def with_seats(book: Logbook, attempts: tuple[Attempt, ...]) -> tuple[Attempt, ...]:
    """Attempts with the seats their bur had cut before, as the drawer counts them.

    An attempt that already says a count, such as an imported one, is left as it is, and so is one
    in a seat that was prepared for the setter.
    """
    done: list[Attempt] = []
    used: Counter[str] = Counter()
    drawers: dict[str, dict[str, Tool]] = {}
    for attempt in attempts:
        cuts = "seat" in steps_done(attempt.kind, attempt.part)
        if attempt.seat_bur is None or attempt.seat_bur_uses is not None or not cuts:
            done.append(attempt)
            continue
        owner = attempt.setter_id or ""
        if owner not in drawers:
            burs = (t for t in book.ask(setter_records.tools, owner) if t.kind == "bur")
            drawers[owner] = {key: t for t in burs for key in (t.name, t.tool_id) if key}
        bur = drawers[owner].get(attempt.seat_bur)
        if bur is None or bur.tool_id is None:
            done.append(attempt)
            continue
        uses = bur.seats_cut + used[bur.tool_id]
        done.append(attempt.with_values(seat_bur_uses=uses))
        used[bur.tool_id] += 1
    return tuple(done)
