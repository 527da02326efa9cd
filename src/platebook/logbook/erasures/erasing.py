"""Taking a person out for good: their rows, their past, their bytes, their name on what stays.

A revision is never written over but for this one word, and the word wins: where one logbook has it
and another has the name still, the name goes there too.

What is theirs goes: the setter, tools, plates, attempts, and the inspections of those attempts. A
tombstone with nothing but ids stays, which merging obeys, so that no copy elsewhere brings the
person back. An inspection they made of someone else's attempt is that person's record and stays,
without their name; so does what they signed off, and what they wrote to others. Their place in a
class goes, and so does their entry as a teacher; the class itself stays.
"""

import glob
import json
import sqlite3
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from pathlib import Path

from platebook.logbook.defaults import answers_name, merged_teachers, own_name
from platebook.logbook.errors import LogbookError, from_sqlite
from platebook.logbook.file.checksums import fill_checksums
from platebook.logbook.file.connection import Database, writing
from platebook.logbook.file.place import keys_folder, sweep, sweep_folder
from platebook.logbook.history.changes import owners
from platebook.logbook.history.revisions import batches, replica_of, revisions_of
from platebook.logbook.record_kinds import SIGNED_IN, Kind, kind_named, kinds
from platebook.logbook.row_values import as_json, instant, time_of
from platebook.logbook.setter_records import ids_of, setters
from platebook.logbook.signing.known_keys import forget_keys_of
from platebook.logbook.signing.private_keys import drop_key
from platebook.logbook.signing.signatures import Signer, sign_erasings
from platebook.practice.records import name_key, named
from platebook.practice.revision import NOBODY, Revision, Tombstone
from platebook.values import Value, replace


def take_names_off(db: Database, signed: Iterable[str]) -> None:
    """Leave `NOBODY` where one of these ids or names stands, in what stands and in its past."""
    keys = {name_key(signer) for signer in signed}
    for kind, field in SIGNED_IN.items():
        rows = db.execute(
            "SELECT revision_id, record, json_extract(record, ?) FROM revision WHERE kind = ?",
            [f"$.{field}", kind],
        ).fetchall()
        for revision_id, record, name in rows:
            if isinstance(name, str) and name_key(name) in keys:
                take_name_off(db, kind, revision_id, record)
    fill_checksums(db)


def follow_unnamed(
    db: Database, incoming: Mapping[str, Revision], known: Mapping[str, Revision]
) -> int:
    """Take names off what is here where the same revision comes without its name; gives how many.

    The other way round nothing is done: a name that was taken off does not come back.
    """
    lost = [
        here for key, here in known.items() if is_unnamed(incoming[key]) and not is_unnamed(here)
    ]
    for here in lost:
        take_name_off(db, here.kind, here.revision_id, here.record)
    if lost:
        fill_checksums(db)
    return len(lost)


def is_unnamed(revision: Revision) -> bool:
    """Whether somebody's name was taken off this revision."""
    field = SIGNED_IN.get(revision.kind)
    return field is not None and revision.links.get(field) == NOBODY


def without_names(here: Revision, incoming: Revision) -> tuple[Revision, Revision]:
    """Both without their name where one of them has lost it, so that the rest is compared."""
    if here.kind == incoming.kind and (is_unnamed(here) or is_unnamed(incoming)):
        return _without_name(here), _without_name(incoming)
    return here, incoming


def without_name(kind: str, record: str) -> str:
    """The record without who looked or signed."""
    return as_json(json.loads(record) | {SIGNED_IN[kind]: NOBODY})


def _without_name(revision: Revision) -> Revision:
    return replace(revision, record=without_name(revision.kind, revision.record))


def take_name_off(db: Database, kind: str, revision_id: str, record: str) -> None:
    """Leave `NOBODY` in one revision and in its row; `fill_checksums` has to follow."""
    left = [without_name(kind, record), revision_id]
    db.execute("UPDATE revision SET record = ?, checksum = NULL WHERE revision_id = ?", left)
    db.execute(
        f"UPDATE {kind} SET {SIGNED_IN[kind]} = ? WHERE revision_id = ?",  # noqa: S608 - names of our own
        [NOBODY, revision_id],
    )


class Erased(Value):
    """How many attempts were erased, and the copies beside the logbook that may still hold them.

    `cleared` is False while another program that has the logbook open keeps old bytes beside it.
    """

    attempts: int
    copies: tuple[Path, ...]
    cleared: bool


def erase(
    db: Database, path: Path, setter_id: str, now: datetime, signer: Signer | None = None
) -> Erased:
    """Erase a setter; it cannot be taken back. Doing it again only clears what bytes are left.

    The erasing is signed with the setter's own key where it is kept here, which goes then.
    """
    db.execute("PRAGMA secure_delete = ON")
    with writing(db):
        again = bool(erased_among(db, [setter_id]))
        attempts = 0 if again else erase_person(db, setter_id, now)
        _sign(db, signer, setter_id, now)
    drop_key(path, setter_id)
    return Erased(attempts, copies_beside(path), cleared=clear_bytes(db, path))


def _sign(db: Database, signer: Signer | None, person_id: str, now: datetime) -> None:
    """Sign all that was erased with this person now."""
    if signer is not None:
        moment = instant(now)[0]
        erased = (t for t in tombstones(db) if instant(t.erased)[0] == moment)
        sign_erasings(db, signer, erased, person_id, now)


def erase_teacher(
    db: Database, path: Path, teacher_id: str, now: datetime, signer: Signer | None = None
) -> Erased:
    """Erase someone who teaches, as such; what they set themselves stays their setter's."""
    db.execute("PRAGMA secure_delete = ON")
    with writing(db):
        if not erased_among(db, [teacher_id]):
            erase_teacher_rows(db, teacher_id, now)
            _sign(db, signer, teacher_id, now)
    drop_key(path, teacher_id)
    return Erased(0, copies_beside(path), cleared=clear_bytes(db, path))


def copies_beside(path: Path) -> tuple[Path, ...]:
    """The copies of the logbook that lie beside it and may still hold what was erased."""
    return tuple(sorted(path.parent.glob(f"{glob.escape(path.stem)}.*-*{path.suffix}")))


def erase_teacher_rows(db: Database, teacher_id: str, now: datetime) -> None:
    """Erase a teacher inside a transaction; LogbookError for one who is not here."""
    if teacher_id not in revisions_of(db, "teacher", [teacher_id]):
        message = f"There is no teacher with the id {teacher_id}. Nothing was erased."
        raise LogbookError("unknown", message)
    people = (teacher_id, *(gone for gone, keep, _ in merged_teachers(db) if keep == teacher_id))
    replica = replica_of(db)
    stones = [
        Tombstone(record_id=each, kind="teacher", replica=replica, erased=now) for each in people
    ]
    add_tombstones(db, stones)
    for each, revisions in revisions_of(db, "teacher", people).items():
        _unsign(db, each, {revision.row["name"] for revision in revisions})
    _delete(db, "teacher", people)
    for each in people:
        db.execute("DELETE FROM default_value WHERE value = ?", [each])
    forget_keys_of(db, people)


def erased_among(db: Database, record_ids: Iterable[str]) -> frozenset[str]:
    """Those of these ids that have a tombstone."""
    erased: set[str] = set()
    for batch in batches(record_ids):
        rows = db.execute(
            "SELECT record_id FROM tombstone WHERE record_id IN (SELECT value FROM json_each(?))",
            [batch],
        )
        erased |= {row[0] for row in rows}
    return frozenset(erased)


def tombstones(db: Database) -> tuple[Tombstone, ...]:
    """All that was erased here or elsewhere, as far as this logbook has heard of it."""
    rows = db.query("SELECT * FROM tombstone ORDER BY record_id")
    return tuple(
        Tombstone(
            record_id=row["record_id"],
            kind=row["kind"],
            replica=row["replica"],
            erased=time_of(row["erased_us"], 0),
        )
        for row in rows
    )


def add_tombstones(db: Database, new: Iterable[Tombstone]) -> None:
    """Put these beside those that are there; the first word about an id stays."""
    db.conn.executemany(
        "INSERT OR IGNORE INTO tombstone (record_id, kind, replica, erased_us) VALUES (?, ?, ?, ?)",
        ((t.record_id, t.kind, t.replica, instant(t.erased)[0]) for t in new),
    )


def erase_records(db: Database, kind: Kind, record_ids: Sequence[str]) -> None:
    """Take records of one kind out, and what hangs on attempts among them; the tally follows."""
    owner = {record_id: whose for record_id, (whose, _) in owners(db, kind, record_ids).items()}
    if kind.name == "attempt":
        hanging = "SELECT inspection_id FROM inspection WHERE attempt_id = ?"
        for record_id in owner:
            inspection_ids = [row[0] for row in db.execute(hanging, [record_id]).fetchall()]
            _delete(db, "inspection", inspection_ids)
    _delete(db, kind.name, list(owner))
    count = "(SELECT count(*) FROM attempt AS a WHERE a.setter_id = tally.setter_id AND NOT hidden)"
    db.conn.executemany(
        f"UPDATE tally SET attempts = {count} WHERE setter_id = ?",  # noqa: S608 - a text of our own
        ((whose,) for whose in set(owner.values())),
    )


def erase_person(db: Database, setter_id: str, now: datetime) -> int:
    """Erase a setter inside a transaction; gives with how many attempts.

    LogbookError for one who is not here.
    """
    past = revisions_of(db, "setter", [setter_id]).get(setter_id)
    if past is None:
        message = f"There is no setter with the id {setter_id}. Nothing was erased."
        raise LogbookError("unknown", message)
    names = {revision.row["name"] for revision in past}
    people = (setter_id, *_made_one_with(db, setter_id, names))
    theirs = {
        kind.name: tuple(i for person in people for i in ids_of(db, kind, person))
        for kind in kinds().values()
    }
    replica = replica_of(db)
    add_tombstones(
        db,
        (
            Tombstone(record_id=record_id, kind=name, replica=replica, erased=now)
            for name, record_ids in theirs.items()
            for record_id in record_ids
        ),
    )
    for revisions in revisions_of(db, "setter", people).values():
        names |= {revision.row["name"] for revision in revisions}
    for person in (*people, *theirs["teacher"]):
        _unsign(db, person, names)
    for name, record_ids in theirs.items():
        _delete(db, name, record_ids)
    db.execute("DELETE FROM tally WHERE setter_id = ?", [setter_id])
    for person in (*people, *theirs["teacher"]):
        db.execute(
            "DELETE FROM default_value WHERE value = ? OR name LIKE ?",
            [person, own_name("%", person)],
        )
    _forget_answers_about(db, names)
    forget_keys_of(db, (*people, *theirs["teacher"]))
    return len(theirs["attempt"])


def _forget_answers_about(db: Database, names: Iterable[str]) -> None:
    """Forget what was answered about sheets of several people where a name stands in it."""
    keys = [name_key(name) for name in names]
    rows = db.execute(
        "SELECT name, value FROM default_value WHERE name LIKE ?", [answers_name("%")]
    ).fetchall()
    for name, answers in rows:
        if any(key in name_key(answers) for key in keys):
            db.execute("DELETE FROM default_value WHERE name = ?", [name])


def _made_one_with(db: Database, setter_id: str, names: Iterable[str]) -> tuple[str, ...]:
    """Entries that were made one with this one: their records went to it, or they bear its name."""
    rows = db.execute(
        "SELECT s.setter_id, s.name, EXISTS (SELECT 1 FROM revision AS o"
        " WHERE o.change_id = r.change_id AND json_extract(o.record, '$.setter_id') = ?)"
        " FROM setter AS s JOIN revision AS r USING (revision_id)"
        " JOIN change AS c USING (change_id)"
        " WHERE s.hidden AND c.what = 'merge' AND s.setter_id <> ?",
        [setter_id, setter_id],
    )
    keys = set(map(name_key, names))
    return tuple(other for other, name, gave in rows.fetchall() if gave or name_key(name) in keys)


def _unsign(db: Database, setter_id: str, names: Iterable[str]) -> None:
    """Take the person's name off what they did; one that another setter bears too is left."""
    others = [setter for setter in setters(db) if setter.setter_id != setter_id]
    signed = (setter_id, *(name for name in names if not named(others, name)))
    for author in signed:
        db.execute(
            "UPDATE change SET author = ?, checksum = NULL WHERE author = ?", [NOBODY, author]
        )
    take_names_off(db, signed)


def _delete(db: Database, kind: str, record_ids: Iterable[str]) -> None:
    key = kind_named(kind).key
    for batch in batches(record_ids):
        in_batch = "IN (SELECT value FROM json_each(?))"
        of_batch = f"FROM revision WHERE kind = ? AND record_id {in_batch}"
        changes = db.execute(f"SELECT DISTINCT change_id {of_batch}", [kind, batch])
        concerned = next(batches(row[0] for row in changes.fetchall()), "[]")
        db.execute(f"DELETE {of_batch}", [kind, batch])
        db.execute(f"DELETE FROM {kind} WHERE {key} {in_batch}", [batch])  # noqa: S608 - names of our own
        db.execute(
            f"DELETE FROM change WHERE change_id {in_batch}"  # noqa: S608 - names of our own
            " AND NOT EXISTS (SELECT 1 FROM revision WHERE revision.change_id = change.change_id)",
            [concerned],
        )


def clear_bytes(db: Database, path: Path) -> bool:
    """Leave nothing of what was erased in the file; False where another program still keeps it.

    Unfinished copies of programs that were killed go too.
    The pages were overwritten as the rows went. What another program has open it goes on reading
    from the file beside the logbook, which is taken in and removed when the last one lets go.
    """
    sweep(path)
    sweep_folder(keys_folder(path))
    try:
        db.execute("VACUUM")
        return not db.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
    except sqlite3.OperationalError as error:
        if from_sqlite(error, Path()).cause != "busy":
            raise
        return False
