"""The log: attempts newest first, filtered by words, a page at a time; one attempt's past."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Literal

from platebook.analysis.grades.whole_settings import WHOLE
from platebook.logbook import Logbook, setter_records
from platebook.logbook.attempts.attempt_queries import (
    attempt_by_id,
    attempt_ids_ending,
    attempts_by_id,
    count_attempts,
    select_attempts,
)
from platebook.logbook.attempts.wanted_attempts import Order, Titled, Wanted
from platebook.logbook.history.revisions import History, Version, clashing, history_of
from platebook.logbook.signing.known_keys import known_keys
from platebook.logbook.signing.signatures import NOBODY_IN_USE, anything_signed, signatures_of
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import SHEET_ROW, Course
from platebook.practice.fields import fields
from platebook.practice.reading.attempt_rows import write_row
from platebook.practice.records import Inspection, name_key
from platebook.practice.results import Outcome, failed_in, outcome_of, result_or_reason
from platebook.reports.text.figures import place_on_plate
from platebook.reports.text.log_text import inspection_lines
from platebook.services.courses.followed import course_of
from platebook.services.from_others import read_ids
from platebook.services.session import Refused, Session, opened, signed_name, signers
from platebook.trade.phrases import moment_words
from platebook.values import Value, field

PAGE = 200
_DONE = {
    "record": "logged",
    "amend": "corrected",
    "hide": "hidden",
    "undo": "taken back",
    "redo": "put back",
    "import": "brought in",
}
"""What a change did to an attempt, in the words of its past."""
_TAKES_OUT = frozenset({"hide", "undo"})
SHORTEST_ENDING = 4
TWO_VERSIONS = "two versions"
WHOLE_SETTING = "whole setting"


class Cursor(Value):
    """Where the next page begins: before this attempt."""

    before: Attempt


Looked = Literal["", "read", "new"]


class LogRow(Value):
    """One attempt as the log shows it; `own` are its fields beside the record, by name.

    `looked` says whether somebody else looked at it: "new" where its setter has not read that yet.
    `grade_title` is what its setter's course calls the grade, short, and `exercise_title` the
    exercise; the id where it has none so.
    `result` says in one word why it was not judged where it was not.
    `outcome` is how it counts in its setter's course, `place` where it lies on its plate.
    """

    attempt_id: str
    began_text: str
    grade: str
    exercise: str
    stone_text: str
    bur_text: str
    result: tuple[str, ...]
    severity: tuple[int, ...]
    note: str
    setter: str
    own: Mapping[str, str] = field(default_factory=dict)
    looked: Looked = ""
    outcome: Outcome = ""
    place: str = ""
    grade_title: str = ""
    exercise_title: str = ""


class LogPage(Value):
    """Some attempts, newest first; `total` counts all that match, `older` is the next page.

    With words to look for `total` is None until the last page: nothing is counted that was not
    looked at.
    """

    rows: tuple[LogRow, ...]
    total: int | None
    older: Cursor | None


def log_page(
    session: Session,
    *,
    words: str = "",
    before: Cursor | None = None,
    limit: int = PAGE,
    everyone: bool = False,
    order: Order = "time",
) -> LogPage:
    """The next page of attempts in which all these words stand, newest (or largest) first."""
    if not session.path.exists():
        return LogPage((), 0, None)
    with opened(session) as book:
        whose = None if everyone else session.setter_id
        matching = book.ask(
            select_attempts,
            Wanted(
                setter_id=whose,
                words=tuple(words.split()),
                titles=_titles(book, whose) if words.split() else (),
                order=order,
                before=before.before if before is not None else None,
            ),
            newest_first=True,
            limit=limit + 1,
        )
        shown, more = matching[:limit], len(matching) > limit
        total = None if words.split() and more else len(shown)
        if not words.split():
            total = book.ask(count_attempts, Wanted(setter_id=whose))
        in_clash = book.ask(clashing, "attempt", (str(a.attempt_id) for a in shown))
        looked = looked_in(book, session.setter_id, shown)
        courses = _courses(book, shown)
    older = Cursor(shown[-1]) if more else None
    rows = tuple(
        log_row(
            a,
            courses[a.setter_id],
            clash=a.attempt_id in in_clash,
            looked=looked.get(a.attempt_id or "", ""),
        )
        for a in shown
    )
    return LogPage(rows, total, older)


def attempts_of(
    session: Session, *, words: str = "", last: int | None = None, everyone: bool = False
) -> tuple[Attempt, ...]:
    """The newest attempts, newest first; without `last` all of them, oldest first."""
    if not session.path.exists():
        return ()
    whose = None if everyone else session.setter_id
    with opened(session) as book:
        return book.ask(
            select_attempts,
            Wanted(
                setter_id=whose,
                words=tuple(words.split()),
                titles=_titles(book, whose) if words.split() else (),
            ),
            newest_first=last is not None,
            limit=last,
        )


def looked_at(session: Session, attempts: Sequence[Attempt]) -> Mapping[str, Looked]:
    """Those of these attempts that somebody else looked at, by id."""
    if not attempts:
        return {}
    with opened(session) as book:
        return looked_in(book, session.setter_id, attempts)


def looked_in(
    book: Logbook, reader: str | None, attempts: Iterable[Attempt]
) -> Mapping[str, Looked]:
    """Those of these attempts that somebody but their setter looked at, by id.

    `reader` is whose attempts may have looks that are not read yet.
    """
    owned = {a.attempt_id or "": a for a in attempts}
    read = read_ids(book, reader) if reader is not None else frozenset()
    found: dict[str, Looked] = {}
    for attempt_id, looks in book.ask(setter_records.looks_at, owned).items():
        attempt = owned[attempt_id]
        others = [i for i, who in looks if who not in {attempt.setter_id, attempt.setter}]
        if others:
            new = attempt.setter_id == reader and not read.issuperset(others)
            found[attempt_id] = "new" if new else "read"
    return found


def two_versions_of(session: Session, attempts: Iterable[Attempt]) -> tuple[str, ...]:
    """The ids of those attempts of which two versions stand side by side, in their order."""
    ids = [str(attempt.attempt_id) for attempt in attempts]
    if not ids:
        return ()
    with opened(session) as book:
        in_clash = book.ask(clashing, "attempt", ids)
    return tuple(attempt_id for attempt_id in ids if attempt_id in in_clash)


def attempts_with_ids(session: Session, attempt_ids: Iterable[str]) -> tuple[Attempt, ...]:
    """The attempts of these ids that stand, oldest first."""
    with opened(session, make=False) as book:
        return book.ask(attempts_by_id, attempt_ids)


def attempt_with(session: Session, named: str) -> Attempt:
    """The attempt of this id, or of the one id that ends so; Refused where that is unclear."""
    with opened(session, make=False) as book:
        exact = book.ask(attempt_by_id, named)
        if exact is not None:
            return exact
        ending = book.ask(attempt_ids_ending, named) if len(named) >= SHORTEST_ENDING else ()
        if len(ending) > 1:
            raise Refused(f"id: read {named!r}, which {len(ending)} attempts end with")
        for attempt in book.ask(attempts_by_id, ending):
            return attempt
    raise Refused(f"id: read {named!r}, expected the id of an attempt (platebook log shows them)")


def attempt_values(session: Session, attempt_id: str) -> Mapping[str, str]:
    """All fields of one attempt as text, its time as the log has it: by the clock of that bench."""
    return write_row(attempt_with(session, attempt_id))


def attempt_history(session: Session, attempt_id: str) -> tuple[str, ...]:
    """Every change of one attempt, oldest first, each with who made it and what it changed."""
    with opened(session, make=False) as book:
        past = book.ask(history_of, "attempt", attempt_id)
        attempt = book.ask(attempt_by_id, attempt_id)
        signatures = _signature_words(book, past)
    lines: list[str] = []
    before: Attempt | None = None
    for version in past.versions:
        record = version.record if isinstance(version.record, Attempt) else None
        line = _version_line(session, version, before, record)
        lines.append(line + signatures.get(version.revision.revision_id, ""))
        before = record or before
    if past.clash:
        lines.append("Two versions stand side by side; the last one counts until you amend it.")
    looks = inspections_of(session, attempt) if attempt is not None else ()
    lines += [f"Looked at: {look}" for look in inspection_lines(looks)]
    return tuple(lines)


def _signature_words(book: Logbook, past: History) -> dict[str, str]:
    """What is said of a version that nobody signed, or another than it names; by revision.

    Nothing of a logbook that signs nothing, such as the invented class.
    """
    ids = [version.revision.revision_id for version in past.versions]
    signed = book.ask(signatures_of, ids)
    if not signed and not book.ask(anything_signed):
        return {}
    names = {each.key: each.card.name for each in book.ask(known_keys)}
    words = {}
    for version in past.versions:
        revision = version.revision
        signature = signed.get(revision.revision_id)
        if signature is None:
            words[revision.revision_id] = " (not signed)"
        else:
            signer = names.get(signature.key, "a key that is not known here")
            if name_key(signer) not in {name_key(revision.change.author), NOBODY_IN_USE}:
                words[revision.revision_id] = f" (signed by {signer})"
    return words


def inspections_of(session: Session, attempt: Attempt) -> tuple[Inspection, ...]:
    """What others saw of one attempt, first look first; an inspector's id gives way to a name."""
    with opened(session, make=False) as book:
        known = signers(book)
        looks = [
            i
            for i in book.ask(setter_records.inspections, attempt.setter_id)
            if i.attempt_id == attempt.attempt_id
        ]
    return tuple(i.model_copy(update={"inspector": signed_name(known, i.inspector)}) for i in looks)


def _courses(book: Logbook, attempts: Sequence[Attempt]) -> dict[str | None, Course]:
    """The course that each setter of these attempts follows, by the setter's id."""
    known = {s.setter_id: s for s in book.ask(setter_records.setters)}
    whose = {attempt.setter_id for attempt in attempts}
    return {setter_id: course_of(book, known.get(setter_id)) for setter_id in whose}


def _titles(book: Logbook, setter_id: str | None) -> tuple[Titled, ...]:
    """What the course of this setter calls its grades and exercises; without one, of everybody."""
    setters = book.ask(setter_records.setters)
    following = {s.course: s for s in setters if setter_id in {None, s.setter_id}}
    titles: dict[Titled, None] = {Titled("kind", WHOLE, WHOLE_SETTING): None}
    for setter in following.values():
        course = course_of(book, setter)
        for grade in course.grades:
            titles |= dict.fromkeys(
                Titled("grade", name, title)
                for name in (grade.id, *grade.was)
                for title in (grade.title, grade.short_title)
            )
        titles |= dict.fromkeys(Titled("exercise", e.id, e.title) for e in course.exercises)
    return tuple(titles)


def grade_titles(session: Session, attempts: Sequence[Attempt]) -> Mapping[str, str]:
    """What each attempt's grade is called in its setter's course, short, by the attempt's id."""
    if not attempts:
        return {}
    with opened(session) as book:
        courses = _courses(book, attempts)
    return {a.attempt_id or "": _grade_title(courses[a.setter_id], a.grade or "") for a in attempts}


def _grade_title(course: Course, grade_id: str) -> str:
    grade = course.grade(grade_id)
    return grade.short_title if grade is not None else grade_id


def log_row(
    attempt: Attempt, course: Course, *, clash: bool = False, looked: Looked = ""
) -> LogRow:
    """How the log shows an attempt in its setter's course; a `clash` is told before the note."""
    text = write_row(attempt)
    note = text["note"].replace("\n", " ")
    if clash:
        note = f"{TWO_VERSIONS}: {note}" if note else TWO_VERSIONS
    exercise_id = text["exercise"] or text["part"] or text["kind"]
    exercise = course.exercise(exercise_id)
    called = WHOLE_SETTING if exercise_id == WHOLE else exercise.title if exercise else exercise_id
    began = text["began"].replace("T", " ")[:16]
    return LogRow(
        attempt_id=text["attempt_id"],
        began_text=began,
        grade=text["grade"],
        exercise=exercise_id,
        stone_text=text["stone_diameter_mm"],
        bur_text=text["seat_bur_mm"],
        result=result_or_reason(attempt),
        severity=attempt.severity or (),
        note=note,
        setter=text["setter"],
        own={name: text[name] for name, _ in attempt.extra if name != SHEET_ROW.name},
        looked=looked,
        outcome=outcome_of(attempt, failed=failed_in(course, attempt)),
        place=place_on_plate(text["plate"], text["position"]) if text["plate"] else "",
        grade_title=_grade_title(course, text["grade"]),
        exercise_title=called,
    )


def _version_line(
    session: Session, version: Version, before: Attempt | None, record: Attempt | None
) -> str:
    change = version.revision.change
    when = moment_words(change.wall.astimezone(session.zone))
    head = f"{when}, {change.author}: {_DONE.get(change.what, change.what)}"
    if version.revision.hidden:
        return head if change.what in _TAKES_OUT else f"{head}, no longer shown"
    if record is None:
        return f"{head} (written by a newer program)"
    if before is None:
        return head
    old, new = write_row(before), write_row(record)
    changed = [
        f"{_label(name)} from {old[name] or 'nothing'} to {new[name] or 'nothing'}"
        for name in new
        if old[name] != new[name]
    ]
    return f"{head}: {'; '.join(changed)}" if changed else head


def _label(name: str) -> str:
    field_asked = fields().get(name)
    return field_asked.label if field_asked is not None else name.replace("_", " ")
