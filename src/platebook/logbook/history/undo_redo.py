"""Taking back and putting back, and a change in words for a person.

Each author in each logbook has their own line of changes; whoever was made one with another entry
goes on with what they signed before. Taking back goes down that line one change at a time; putting
back goes up again, until something new is done. It is refused, with the reason, where a record has
moved on since.
"""

import json
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from datetime import date
from itertools import takewhile
from typing import Any, Literal

from platebook.logbook.defaults import authors_of_moves, course_texts, go_back, go_on
from platebook.logbook.errors import LogbookError
from platebook.logbook.file.connection import Database, writing
from platebook.logbook.history.changes import RecordChange, Stamp, row_of, write
from platebook.logbook.history.revisions import change_from, replica_of, revisions_in, revisions_of
from platebook.logbook.record_kinds import count_of_kind, kind_named, kind_words
from platebook.logbook.row_values import time_of
from platebook.practice.courses.course_file import CourseError, load_course, shipped_course
from platebook.practice.revision import Change, Revision, clash, current
from platebook.trade.phrases import count_of, day_words, moment_words, several
from platebook.values import Value, replace

DEEDS = {
    "record": "{}",
    "inspect": "{}",
    "message": "{}",
    "comment": "{}",
    "add": "adding {}",
    "amend": "the correction of {}",
    "change": "the change of {}",
    "hide": "hiding {}",
    "take out": "taking out {}",
    "check": "the check of {}",
    "use": "putting in force {}",
    "take": "taking in {}",
    "refuse": "refusing {}",
}
"""What a command did, around what it did it to; another one stands as its name says."""


def in_words(db: Database, revisions: tuple[Revision, ...], today: date) -> str:
    """What a change is about: "my caliper", "64 attempts and 1 setter".

    `today` is the day of whoever reads it: of an attempt of today the hour says enough.
    """
    if len(revisions) == 1:
        return _name_of(db, revisions[0], today)
    courses = [revision for revision in revisions if revision.kind == "course_in_force"]
    if len(courses) == 1 and len(revisions) == 2:
        return _name_of(db, courses[0], today)
    if {revision.kind for revision in revisions} <= {"class", "membership", "setter"}:
        return _people_of_classes(db, revisions)
    return _counted(revisions)


def _merge_in_words(db: Database, revisions: tuple[Revision, ...]) -> str:
    """A merge by the two persons' names: "A. Quill into Ada Quill, with 5 attempts and 1 tool"."""
    teachers = [revision for revision in revisions if revision.kind == "teacher"]
    if len(teachers) == 2:
        return _teachers_in_words(teachers, revisions)
    gone = next(revision for revision in revisions if revision.kind == "setter")
    moved = tuple(revision for revision in revisions if revision.kind != "setter")
    name = _text(_read(gone.record), "name")
    kept_id = next((_text(_read(r.record), "setter_id") for r in moved), "")
    row = db.execute("SELECT name FROM setter WHERE setter_id = ?", [kept_id]).fetchone()
    if row is None:
        return name
    who = f"two entries of {name}" if row[0] == name else f"{name} into {row[0]}"
    return f"{who}, with {_counted(moved)}"


def _teachers_in_words(teachers: Iterable[Revision], revisions: Iterable[Revision]) -> str:
    """A merge of two teachers by their names, and what was signed or taught by the one gone."""
    kept, gone = (_text(_read(r.record), "name") for r in sorted(teachers, key=_is_hidden))
    moved = [revision for revision in revisions if revision.kind != "teacher"]
    who = f"two entries of {gone}" if kept == gone else f"{gone} into {kept}"
    return f"{who}, with {_counted(moved)}" if moved else who


def _is_hidden(revision: Revision) -> bool:
    return revision.hidden


def _counted(revisions: Iterable[Revision]) -> str:
    """How many records of each kind: "64 attempts and 1 setter"."""
    counts = Counter(revision.kind for revision in revisions)
    parts = [_count(kind, n) for kind, n in sorted(counts.items())]
    return several(parts)


def _people_of_classes(db: Database, revisions: Iterable[Revision]) -> str:
    """A change of classes, of who is in them, or of people: "12 people in Thursday"."""
    people: set[str] = set()
    class_ids: set[str] = set()
    for revision in revisions:
        of_class = revision.kind != "setter"
        class_ids |= {str(revision.row.get("class_id"))} if of_class else set()
        people |= {str(revision.row.get("setter_id"))} if revision.kind != "class" else set()
    counted = count_of(len(people), "person", "people") if people else ""
    names = " and ".join(sorted(filter(None, (_name_in(db, "class", each) for each in class_ids))))
    return " in ".join(filter(None, (counted, names)))


def _count(kind: str, number: int) -> str:
    if kind == "sheet_answers":
        return "what was answered about a spreadsheet"
    return count_of_kind(number, kind)


def _name_of(db: Database, revision: Revision, today: date) -> str:
    """One record by its name, an attempt by what came of it; as a count where it has neither."""
    record = _read(revision.record)
    counted = _count(revision.kind, 1)
    match revision.kind:
        case "tool" | "setter" | "teacher" | "class":
            found = _text(record, "name")
        case "membership":
            found = _people_of_classes(db, [revision])
        case "plate":
            name = _text(record, "name")
            plain = name.casefold().startswith("plate")
            found = name if plain else f"plate {name}" if name else ""
        case "tool_check":
            found = _name_in(db, "tool", _text(record, "tool_id"))
        case "attempt":
            found = _attempt(record, today)
        case "inspection":
            found = _look(db, record)
        case "course_in_force":
            return f"the course {_text(record, 'course')}, version {record.get('version')}"
        case "sign_off":
            found = _sign_off(db, record)
        case _:
            found = ""
    return found or counted


def _read(record: str) -> Mapping[str, Any]:
    try:
        values = json.loads(record)
    except ValueError:
        return {}
    return values if isinstance(values, dict) else {}


def _text(record: Mapping[str, Any], name: str) -> str:
    value = record.get(name)
    return value if isinstance(value, str) else ""


def _name_in(db: Database, kind: str, record_id: str) -> str:
    # What was taken out since has its row all the same.
    row = row_of(db, kind_named(kind), record_id)
    return str(row["name"] or "") if row is not None else ""


def _attempt(record: Mapping[str, Any], today: date) -> str:
    """An attempt by its stone or part, its result and its time: "2.0 mm, good, at 18:40"."""
    size_um = record.get("stone_diameter_um")
    size = f"{round(size_um / 1000, 2)} mm" if isinstance(size_um, int) else ""
    result = " and ".join(_words(record.get("result")))
    what = ", ".join(filter(None, (size or _text(record, "part"), result)))
    return ", ".join(filter(None, (what or "1 attempt", _when(record, today))))


def _look(db: Database, record: Mapping[str, Any]) -> str:
    """A look by what it said and whose attempt it is at: "the look at one of Ada Quill's, good"."""
    attempt = row_of(db, kind_named("attempt"), _text(record, "attempt_id"))
    whose = _name_in(db, "setter", attempt["setter_id"]) if attempt is not None else ""
    said = " and ".join(_words(record.get("result")))
    return ", ".join(filter(None, (f"the look at one of {whose}'s", said))) if whose else ""


def _sign_off(db: Database, record: Mapping[str, Any]) -> str:
    """A sign-off by its grade and whose it is: "the sign-off of 1.5 mm in copper for Ada Quill"."""
    whose = _name_in(db, "setter", _text(record, "setter_id"))
    grade = _grade_title(db, _text(record, "course"), _text(record, "grade"))
    return f"the sign-off of {grade}{f' for {whose}' if whose else ''}"


def _grade_title(db: Database, course_id: str, grade_id: str) -> str:
    """What the grade is called in the newest text that is kept or ships; else its id."""
    texts = [kept.text for kept in course_texts(db, course_id)][::-1]
    with suppress(KeyError):
        texts.append(shipped_course(course_id))
    for text in texts:
        with suppress(CourseError):
            grade = load_course(text, kept=True).grade(grade_id)
            if grade is not None:
                return grade.title
    return f"grade {grade_id}"


def _words(text: object) -> tuple[str, ...]:
    """The words of a list that is kept as text; none where there is no list."""
    try:
        words = json.loads(text) if isinstance(text, str) else ()
    except ValueError:
        return ()
    return tuple(map(str, words)) if isinstance(words, list) else ()


def _when(record: Mapping[str, Any], today: date) -> str:
    """When an attempt began in the zone it was made in; the hour alone where that was today."""
    us, offset = record.get("began_us"), record.get("began_offset_min")
    if not isinstance(us, int) or not isinstance(offset, int):
        return ""
    try:
        began = time_of(us, offset)
    except (OverflowError, ValueError):
        return ""
    if record.get("day_only"):
        return f"on {day_words(began, today)}"
    day = "" if began.date() == today else f"on {day_words(began, today)} "
    return f"{day}at {began:%H:%M}"


Direction = Literal["undo", "redo"]


class UndoOutcome(Value):
    """What came of taking back or putting back: whether it was done, and a sentence about it.

    `change` is the new change, and `reverted` the one that it is about; None where there is none.
    """

    done: bool
    words: str
    change: Change | None = None
    reverted: Change | None = None


def undo(db: Database, stamp: Stamp) -> UndoOutcome:
    """Take back the author's last change that stands; says what, or why it was not."""
    return _try(db, "undo", stamp)


def redo(db: Database, stamp: Stamp) -> UndoOutcome:
    """Put back what the author took back last; says what, or why not."""
    return _try(db, "redo", stamp)


def last_standing(db: Database, author: str) -> str:
    """The id of the change that `undo` would take back for this author; empty for none."""
    replica = replica_of(db)
    change = _last_done(_line(db, replica, _authors(db, replica, author)))
    return change.change_id if change is not None else ""


def kinds_last_standing(db: Database, author: str) -> frozenset[str]:
    """The kinds of record in the change that `undo` would take back; empty where it has none."""
    return frozenset(r.kind for r in revisions_in(db, last_standing(db, author)))


def _authors(db: Database, replica: str, author: str) -> set[str]:
    """The names that one person signed with: now, before a merge, and before a name was corrected.

    A name that somebody else bears now is theirs.
    """
    names = {author, *authors_of_moves(db, replica)}
    return names | {row[0] for row in db.execute(_NAMES_BORNE, {"author": author}).fetchall()}


_NAMES_BORNE = """
WITH person AS (
    SELECT setter_id AS person_id, name FROM setter WHERE NOT hidden
    UNION ALL SELECT teacher_id, name FROM teacher WHERE NOT hidden
), borne AS (
    SELECT DISTINCT record_id, json_extract(record, '$.name') AS name FROM revision
    WHERE kind IN ('setter', 'teacher') AND json_valid(record)
)
SELECT DISTINCT name FROM borne
WHERE typeof(name) = 'text'
AND record_id IN (
    SELECT person_id FROM person WHERE name = :author
    UNION ALL SELECT record_id FROM borne WHERE name = :author
    AND NOT EXISTS (SELECT 1 FROM person WHERE name = :author)
)
AND NOT EXISTS (
    SELECT 1 FROM person WHERE person.name = borne.name AND person_id != borne.record_id
)
"""


def _try(db: Database, direction: Direction, stamp: Stamp) -> UndoOutcome:
    try:
        with writing(db):
            return _step(db, direction, stamp)
    except LogbookError as refusal:
        return UndoOutcome(done=False, words=str(refusal))


def _step(db: Database, direction: Direction, stamp: Stamp) -> UndoOutcome:
    replica = replica_of(db)
    line = _line(db, replica, _authors(db, replica, stamp.author))
    target = _last_done(line) if direction == "undo" else _last_undone(db, line)
    if target is None:
        verb = "take" if direction == "undo" else "put"
        return UndoOutcome(done=False, words=f"There is nothing to {verb} back.")
    revisions = revisions_in(db, target.change_id)
    known = {
        kind: revisions_of(db, kind, (r.record_id for r in revisions if r.kind == kind))
        for kind in dict.fromkeys(revision.kind for revision in revisions)
    }
    entries = [_restoring(r, known[r.kind][r.record_id], direction) for r in revisions]
    stamp = replace(stamp, author=target.author, reverts=target.change_id)
    change = write(db, entries, stamp)
    if target.what == "merge" and direction == "undo":
        go_back(db)
    elif target.what == "merge":
        go_on(db, target.change_id)
    verb = "Taken" if direction == "undo" else "Put"
    about = (
        _merge_in_words(db, revisions)
        if target.what == "merge"
        else in_words(db, revisions, stamp.now.date())
    )
    words = f"{verb} back: {DEEDS.get(target.what, f'{target.what} of {{}}').format(about)}."
    return UndoOutcome(done=True, words=words, change=change, reverted=target)


def _line(db: Database, replica: str, authors: Iterable[str]) -> Iterator[Change]:
    """The changes of one author, under whatever names, in this logbook; latest first."""
    query = (
        "SELECT * FROM change WHERE replica = ? AND author IN (SELECT value FROM json_each(?))"
        " ORDER BY counter DESC"
    )
    return map(change_from, db.query(query, [replica, json.dumps(sorted(authors))]))


def _last_done(line: Iterator[Change]) -> Change | None:
    # The latest word about a change decides whether it stands.
    stands: dict[str, bool] = {}
    for change in line:
        if change.reverts is not None:
            stands.setdefault(change.reverts, change.what == "redo")
        elif stands.get(change.change_id, True):
            return change
    return None


def _last_undone(db: Database, line: Iterator[Change]) -> Change | None:
    # Only what was taken back since the last new change can be put back.
    waiting: list[str] = []
    since = list(takewhile(lambda change: change.reverts is not None, line))
    for change in reversed(since):
        if change.what == "undo":
            waiting.append(change.reverts or "")
        elif waiting:
            waiting.pop()
    if not waiting:
        return None
    rows = db.query("SELECT * FROM change WHERE change_id = ?", [waiting[-1]])
    return next(map(change_from, rows), None)


def _restoring(
    revision: Revision, known: tuple[Revision, ...], direction: Direction
) -> RecordChange:
    """The entry that restores a record to before or after this revision; LogbookError says no."""
    kind = revision.kind
    parent = current(r for r in known if r.revision_id in revision.parents)
    if revision.parents and parent is None:
        raise _refusal(
            f"What stood before the {kind_words(kind)} was changed is not in this logbook any more."
        )
    if clash(known):
        raise _refusal(
            f"Two versions of the {kind_words(kind)} stand side by side; settle that first."
        )
    after = RecordChange.again(revision, hidden=revision.hidden)
    before = (
        RecordChange.again(revision, hidden=True)
        if parent is None
        else RecordChange.again(parent, hidden=parent.hidden)
    )
    expected, wanted = (after, before) if direction == "undo" else (before, after)
    last = known[-1]
    if (last.record, last.hidden) != (expected.record, expected.hidden):
        when = moment_words(last.change.wall)
        raise _refusal(
            f"The {kind_words(kind)} was changed since, by {last.change.author} on {when}."
        )
    return wanted


def _refusal(reason: str) -> LogbookError:
    return LogbookError("refused", f"{reason} Nothing was changed.")
