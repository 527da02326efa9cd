"""Taking a sheet in: all of it or nothing, only what is new, as one change that undo takes back.

`preview` says what would come of it; `take_in` does the same and stores it.
"""

import itertools
from collections.abc import Callable, Iterable, Iterator, Sequence

from platebook.exchange.sheets.answers import LEAVE_OUT, NO_ANSWERS
from platebook.exchange.sheets.questions import FIRST_ROWS, ROW_OPTIONS, Question
from platebook.exchange.sheets.table import Table, attempts_in, rows_of
from platebook.logbook import Logbook
from platebook.logbook.attempts.attempt_queries import attempts_by_id, imported_attempts
from platebook.logbook.history.changes import ROUNDS
from platebook.logbook.records import add_attempts
from platebook.practice.attempt import Attempt
from platebook.practice.people.own_records import OwnField, SheetAnswers
from platebook.practice.problem import Problem, only_problems
from platebook.practice.records import Setter
from platebook.services.attempts.proposals import Counted, Proposed, counted
from platebook.services.attempts.recording import Completing, prepared, use_the_only_new, with_seats
from platebook.services.backups import copy_before
from platebook.services.courses.followed import own_fields
from platebook.services.progress_callback import Watch, unwatched, within
from platebook.services.session import Session, opened
from platebook.services.sheets.faults import grouped
from platebook.services.sheets.known_rows import (
    NOTHING_SORTED,
    Alike,
    SortedRows,
    alike_rows,
    sort_rows,
)
from platebook.services.sheets.looking import SheetLook, remember, remembered_by
from platebook.values import Value, replace


class Preview(Value):
    """What would be stored of a sheet, and everything to be told.

    `attempts` counts the rows read. `problems` are grouped: one fault of many rows is one.
    `proposed` is what no row says and was taken from the course or an earlier set-up, `counted`
    where the new attempts count. `alike` are lines of which one may have been typed twice.
    """

    attempts: int
    problems: tuple[Problem, ...]
    rows: SortedRows = NOTHING_SORTED
    lines: tuple[int, ...] = ()
    new_setters: tuple[Setter, ...] = ()
    proposed: tuple[Proposed, ...] = ()
    counted: tuple[Counted, ...] = ()
    alike: tuple[Alike, ...] = ()

    @property
    def wrong(self) -> tuple[Problem, ...]:
        """The problems that keep all of it out."""
        return only_problems(self.problems)

    @property
    def summary(self) -> str:
        """In few words: "12 new, 3 corrected, 225 known"."""
        counts = (
            (len(self.rows.new), "new"),
            (len(self.rows.corrected), "corrected"),
            (self.rows.known, "known"),
            (self.rows.taken_out, "taken out before"),
        )
        return ", ".join(f"{n} {word}" for n, word in counts if n) or "no attempts"

    def question(self) -> Question | None:
        """What to do with rows that cannot be read as they are; None where there are none."""
        wrong = [p for p in self.wrong if p.row]
        if not wrong or len(wrong) < len(self.wrong):
            return None
        return Question(
            about="rows",
            heading="",
            count=sum(p.times for p in wrong),
            lines=tuple(p.line or 0 for p in wrong[:FIRST_ROWS]),
            samples=tuple(str(p) for p in wrong[:FIRST_ROWS]),
            expected="rows that fit together",
            options=ROW_OPTIONS,
            must=True,
        )


def preview(
    session: Session,
    book: Logbook,
    look: SheetLook,
    *,
    watch: Watch = unwatched,
    noticed: Iterable[Problem] = (),
) -> Preview:
    """Read every row and sort it by what the logbook knows; nothing is stored."""
    table = rows_of(look.understood, look.read[1])
    reading = replace(look.understood.reading, watch=within(watch, 0, 1, 2))
    attempts, problems = attempts_in(table, reading)
    broken = {p.line for p in problems if p.level == "problem" and p.row}
    if broken and look.answers.broken_rows == LEAVE_OUT:
        problems = tuple(replace(p, level="notice") if p.line in broken else p for p in problems)
        table = _without(table, broken)
    told = (*noticed, *problems)
    if only_problems(told):
        return Preview(len(attempts), grouped(told))
    ready = prepared(session, book, _named(attempts, look))
    # Whose the rows are was asked a moment ago: that the person is new is no news.
    said = () if not look.whose else ("setter",)
    told = (*told, *(_located(p, table) for p in ready.problems if p.field not in said))
    if only_problems(told):
        return Preview(len(attempts), grouped(told))
    rows = _sorted(book, ready.attempts, table)
    course, alike = reading.course, alike_rows(table, rows.new_places)
    if course is None:
        return Preview(
            len(attempts), grouped(told), rows, table.lines, ready.new_setters, alike=alike
        )
    # Only what is new is completed: what is known is compared as the sheet has it.
    completing = Completing(course, follows=False, moves=False)
    new_rows = _told(rows.new, len(attempts), within(watch, 1, 1, 2))
    filled, proposed, doubtful = completing.complete(book, new_rows)
    places = rows.new_places
    told = (*told, *(_located(replace(p, row=places[p.row - 1] + 1), table) for p in doubtful))
    new = with_seats(book, filled)
    return Preview(
        attempts=len(attempts),
        problems=grouped(told),
        rows=replace(rows, new=new),
        lines=table.lines,
        new_setters=ready.new_setters,
        proposed=tuple(replace(p, row=places[p.row - 1] + 1) for p in proposed),
        counted=counted(new, course),
        alike=alike,
    )


def take_in(
    session: Session,
    book: Logbook,
    look: SheetLook,
    seen: Preview,
    *,
    new_only: bool = False,
    watch: Watch = unwatched,
) -> tuple[str, ...]:
    """Store what the preview saw as one change, and remember the answers; gives the new ids."""
    copy_before(session, book, "import")
    corrected = () if new_only else seen.rows.corrected
    concerned = (*seen.rows.new, *(correction.attempt for correction in corrected))
    setter_ids = sorted({a.setter_id for a in concerned if a.setter_id})
    owners = setter_ids or [s for s in (session.setter_id,) if s]
    beside: list[OwnField | SheetAnswers] = [*_new_columns(book, look, setter_ids)]
    worth_keeping = concerned or look.answers != NO_ANSWERS
    if worth_keeping and len(owners) == 1:
        beside += remembered_by(book, look, owners[0])
    elif worth_keeping:
        remember(book, look)
    ids: tuple[str, ...] = ()
    if concerned or beside:
        ids = book.tell(
            add_attempts,
            seen.rows.new,
            replace(
                session.stamp(book, "import"),
                each_row=_row_by_row(len(concerned), seen.attempts, watch),
            ),
            _needed(seen.new_setters, seen.rows.new),
            corrected=tuple(correction.attempt for correction in corrected),
            beside=beside,
        )
    use_the_only_new(session, book, seen.new_setters)
    return ids


def _row_by_row(rows: int, of: int, watch: Watch) -> Callable[[], None]:
    """Counts what is stored of so many rows, and tells it as a share of all that were read."""
    stored = itertools.count(1)

    def told() -> None:
        watch(min(next(stored) * of // (ROUNDS * rows), of), of)

    return told if rows else lambda: None


def _told(new: Sequence[Attempt], of: int, watch: Watch) -> Iterator[Attempt]:
    """The new attempts one after the other, told as a share of all that were read."""
    for done, attempt in enumerate(new, 1):
        yield attempt
        watch(done * of // len(new), of)


def _new_columns(book: Logbook, look: SheetLook, setter_ids: Iterable[str]) -> tuple[OwnField, ...]:
    """The columns of the sheet that are own fields and that these setters do not have yet."""
    own = [c.own for c in look.understood.columns if c.own is not None]
    new: list[OwnField] = []
    for setter_id in setter_ids if own else ():
        names = {field.name for field in own_fields(book, setter_id)}
        new += [
            OwnField.model_validate(
                {
                    "setter_id": setter_id,
                    **field.model_dump(include={"name", "type", "meaning", "choices"}),
                }
            )
            for field in own
            if field.name not in names
        ]
    return tuple(new)


def preview_of(session: Session, look: SheetLook, *, watch: Watch = unwatched) -> Preview:
    """`preview` in a logbook opened for it."""
    with opened(session) as book:
        return preview(session, book, look, watch=watch)


def take_in_seen(
    session: Session,
    look: SheetLook,
    seen: Preview,
    *,
    new_only: bool = False,
    watch: Watch = unwatched,
) -> str:
    """`take_in` in a logbook opened for it; says what was done."""
    with opened(session) as book:
        take_in(session, book, look, seen, new_only=new_only, watch=watch)
    return f"{look.file.name}: {seen.summary}; u takes it back."


def _needed(setters: Iterable[Setter], attempts: Iterable[Attempt]) -> tuple[Setter, ...]:
    owners = {attempt.setter_id for attempt in attempts}
    return tuple(setter for setter in setters if setter.setter_id in owners)


def _sorted(book: Logbook, attempts: tuple[Attempt, ...], table: Table) -> SortedRows:
    present = [frozenset(row) for row in table.rows]
    columns = frozenset(table.headings).union(*present) if present else frozenset()
    named = [a.attempt_id for a in attempts if a.attempt_id]
    return sort_rows(
        attempts,
        present,
        columns,
        imported=book.ask(imported_attempts) if len(named) < len(attempts) else (),
        standing=book.ask(attempts_by_id, named) if named else (),
    )


def _without(table: Table, lines: set[int | None]) -> Table:
    kept = [n for n, line in enumerate(table.lines) if line not in lines]
    return replace(
        table,
        rows=tuple(table.rows[n] for n in kept),
        lines=tuple(table.lines[n] for n in kept),
        numbers=tuple(table.numbers[n] for n in kept),
        sheets=tuple(table.sheets[n] for n in kept) if table.sheets else (),
    )


def _named(attempts: tuple[Attempt, ...], look: SheetLook) -> tuple[Attempt, ...]:
    """The attempts with whose they are, where that was asked; those that say it stay."""
    if not look.whose:
        return attempts
    known = {setter.setter_id for setter in look.setters}
    owner = {"setter_id" if look.whose in known else "setter": look.whose}
    return tuple(a if a.setter or a.setter_id else a.with_values(**owner) for a in attempts)


def _located(problem: Problem, table: Table) -> Problem:
    """A problem of an attempt at the row it came from."""
    if not 0 < problem.row <= len(table.lines):
        return problem
    place = problem.row - 1
    heading = table.headings.get(problem.field, problem.field)
    return replace(problem, row=table.numbers[place], line=table.lines[place], field=heading)
