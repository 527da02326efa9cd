"""Teachers, classes, who is in them, and words to a student or a class, as they stand.

| function | gives |
|---|---|
| `teachers`, `class_terms`, `memberships` | all that stand, in the order added |
| `messages` | what was written to a setter, and to a class while they were in it |
| `add_teacher`, `add_message` | the record with its id, after one change |
| `add_class` | a class with its people, new ones too, as one change |
| `enrol` | people into classes that are there, as one change |
| `change_classes` | classes and memberships as they are from now on, as one change |
| `signatures` | how much somebody who teaches has signed |
| `merge_teachers` | two entries of one teacher are one from then on, as one change |

A record is corrected with `records.amend` and taken out with `records.hide`, as any other.
LogbookError for an id that is taken, and for a setter or a class that the logbook does not know.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import cast

from platebook.logbook.defaults import move_all
from platebook.logbook.errors import LogbookError
from platebook.logbook.file.connection import Database, writing
from platebook.logbook.history.changes import RecordChange, Stamp, row_of, write
from platebook.logbook.history.revisions import revisions_of
from platebook.logbook.record_kinds import SIGNED_IN, Record, kind_named
from platebook.logbook.records import add, add_each, entries_of, with_ids
from platebook.logbook.setter_records import require_setter
from platebook.practice.records import ClassTerm, Membership, Message, Setter, Teacher, within
from platebook.practice.revision import Change, Revision


def teachers(db: Database) -> tuple[Teacher, ...]:
    """Everyone who teaches, in the order added; those who no longer do too."""
    return cast("tuple[Teacher, ...]", _all(db, "teacher"))


def class_terms(db: Database) -> tuple[ClassTerm, ...]:
    """Every class in each of its terms, in the order added."""
    return cast("tuple[ClassTerm, ...]", _all(db, "class"))


def memberships(db: Database) -> tuple[Membership, ...]:
    """Who is or was in which class, in the order added."""
    return cast("tuple[Membership, ...]", _all(db, "membership"))


def messages(db: Database, setter_id: str) -> tuple[Message, ...]:
    """What was written to a setter, and to each class while they were in it; oldest first."""
    stays: dict[str, list[tuple[date | None, date | None]]] = {}
    for class_id, joined, left in db.execute(
        'SELECT class_id, joined, "left" FROM membership WHERE setter_id = ? AND hidden = 0',
        [setter_id],
    ).fetchall():
        days = (None if day is None else date.fromisoformat(day) for day in (joined, left))
        first, last = days
        stays.setdefault(class_id, []).append((first, last))
    return tuple(
        message
        for message in cast("tuple[Message, ...]", _all(db, "message"))
        if message.setter_id == setter_id
        or any(_reached(message, *stay) for stay in stays.get(message.class_id or "", ()))
    )


def _reached(message: Message, first: date | None, last: date | None) -> bool:
    return message.written is None or within(message.written.date(), first, last)


def _all(db: Database, name: str) -> tuple[Record, ...]:
    kind = kind_named(name)
    query = f"SELECT * FROM {name} WHERE hidden = 0 ORDER BY {kind.key}"  # noqa: S608 - names of our own
    return tuple(map(kind.record_of, db.query(query)))


def add_teacher(db: Database, teacher: Teacher, stamp: Stamp) -> Teacher:
    """Add a person who teaches; gives them with their id."""
    whose = () if teacher.setter_id is None else (teacher.setter_id,)
    return add_each(db, "teacher", [teacher], stamp, whose=whose)[0]


def add_message(db: Database, message: Message, stamp: Stamp) -> Message:
    """Add a word to a student or a class; gives it with its id."""
    if message.class_id is not None:
        _require_class(db, message.class_id)
    whose = () if message.setter_id is None else (message.setter_id,)
    return add_each(db, "message", [message], stamp, whose=whose)[0]


def add_class(
    db: Database,
    term: ClassTerm,
    members: Iterable[str],
    stamp: Stamp,
    *,
    new_setters: Sequence[Setter] = (),
    joined: date | None = None,
) -> tuple[ClassTerm, tuple[Setter, ...]]:
    """Add a class with these setters and new people in it, as one change; gives both with ids."""
    class_entries = entries_of("class", [term], stamp)
    people = entries_of("setter", new_setters, stamp)
    class_id = class_entries[0].record_id
    ids = dict.fromkeys((*members, *(entry.record_id for entry in people)))
    stays = [Membership(class_id=class_id, setter_id=each, joined=joined) for each in ids]
    entries = [*class_entries, *people, *entries_of("membership", stays, stamp)]
    add(db, entries, stamp, whose=ids)
    return with_ids([term], class_entries)[0], with_ids(new_setters, people)


def enrol(
    db: Database,
    stays: Sequence[Membership],
    stamp: Stamp,
    *,
    new_setters: Sequence[Setter] = (),
    classes: Sequence[ClassTerm] = (),
) -> tuple[Membership, ...]:
    """Put people into classes as one change; gives the memberships with their ids.

    `new_setters` (each with its id) and `classes` that were no records yet (each with its id too)
    are added in the same change.
    """
    entries = [
        *entries_of("class", classes, stamp),
        *entries_of("setter", new_setters, stamp),
    ]
    new = {entry.record_id for entry in entries if entry.kind == "class"}
    for class_id in {stay.class_id for stay in stays} - new:
        _require_class(db, class_id)
    joining = entries_of("membership", stays, stamp)
    add(db, [*entries, *joining], stamp, whose=(stay.setter_id for stay in stays))
    return with_ids(stays, joining)


def change_classes(
    db: Database,
    stamp: Stamp,
    *,
    classes: Sequence[ClassTerm] = (),
    stays: Sequence[Membership] = (),
    new_classes: Sequence[ClassTerm] = (),
    new_stays: Sequence[Membership] = (),
) -> None:
    """Leave these classes and memberships as they are given, and add new ones, as one change.

    New classes come each with its id.
    """
    for term in classes:
        _require_class(db, term.class_id or "")
    for stay in stays:
        require_setter(db, stay.setter_id)
    corrected = [*entries_of("class", classes, stamp), *entries_of("membership", stays, stamp)]
    new = [
        *entries_of("class", new_classes, stamp),
        *entries_of("membership", new_stays, stamp),
    ]
    whose = (stay.setter_id for stay in new_stays)
    add(db, new, stamp, whose=whose, corrected=corrected)


def signatures(db: Database, signer: str) -> dict[str, int]:
    """How many records of each kind that stand are signed with this id or name; none is left out.

    By the name of the kind: `inspection`, `sign_off`, `message`.
    """
    counts: dict[str, int] = {}
    for name, field in SIGNED_IN.items():
        query = f"SELECT count(*) FROM {name} WHERE {field} = ? AND hidden = 0"  # noqa: S608 - names of our own
        (counts[name],) = db.execute(query, [signer]).fetchone()
    return counts


def merge_teachers(db: Database, keep: str, gone: str, stamp: Stamp) -> Change:
    """Give `keep` the classes and signatures of `gone` and hide `gone`, as one change.

    It can be taken back. Where only `gone` sets as well, `keep` has that entry then. A default that
    named `gone`, such as who is in use, names `keep` until it is taken back.
    """
    if keep == gone:
        raise LogbookError("refused", "These are one entry already. Nothing was changed.")
    with writing(db):
        both = revisions_of(db, "teacher", (keep, gone))
        kept, lost = (_standing(both.get(each, ()), each) for each in (keep, gone))
        own = kept.row.get("setter_id") or lost.row.get("setter_id")
        entries = [
            RecordChange.of("teacher", keep, kept.row | {"setter_id": own}),
            RecordChange.again(lost, hidden=True),
        ]
        for term in class_terms(db):
            if gone in term.teachers:
                teach = tuple(dict.fromkeys(keep if t == gone else t for t in term.teachers))
                entries += entries_of("class", [term.model_copy(update={"teachers": teach})], stamp)
        for name, field in SIGNED_IN.items():
            kind = kind_named(name)
            query = f"SELECT {kind.key} FROM {name} WHERE {field} = ?"  # noqa: S608 - names of our own
            signed = [row[0] for row in db.execute(query, [gone]).fetchall()]
            for record_id, revisions in revisions_of(db, name, signed).items():
                last = revisions[-1]
                row = last.row | {field: keep}
                entries.append(RecordChange.of(name, record_id, row, hidden=last.hidden))
        change = write(db, entries, stamp)
        move_all(db, gone, keep, change.change_id)
        return change


def _standing(revisions: Sequence[Revision], teacher_id: str) -> Revision:
    if not revisions or revisions[-1].hidden:
        message = f"There is no teacher with the id {teacher_id}. Nothing was changed."
        raise LogbookError("unknown", message)
    return revisions[-1]


def _require_class(db: Database, class_id: str) -> None:
    row = row_of(db, kind_named("class"), class_id)
    if row is None or row["hidden"]:
        message = f"There is no class with the id {class_id}. Nothing was changed."
        raise LogbookError("unknown", message)
