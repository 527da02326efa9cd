"""Erasings brought to the copies of a logbook: who was erased from it goes from them too.

A copy is worked on aside and proven before it takes the place of the one before it, so that there
is a whole one at every moment. What was erased in a copy is asked of the logbook each time, so one
that was out of reach, on a stick that was not there, is brought up to it later. One of
somebody's own is, too, when it is put in the logbook's place (`file.restoring`).
"""

import sqlite3
from collections.abc import Iterable, Mapping
from pathlib import Path

from platebook.logbook.defaults import forget_read
from platebook.logbook.erasures.erasing import (
    add_tombstones,
    erase_person,
    erase_records,
    erase_teacher_rows,
    take_name_off,
    tombstones,
)
from platebook.logbook.errors import LogbookError, logbook_errors
from platebook.logbook.file.checksums import fill_checksums
from platebook.logbook.file.connection import Database, connect, writing
from platebook.logbook.file.copying import path_of, prove, write_copy
from platebook.logbook.file.migrating import migrate, schema_of, shipped_steps
from platebook.logbook.file.opening import refuse_newer
from platebook.logbook.file.place import announced, companions, new_file
from platebook.logbook.history.revisions import batches
from platebook.logbook.record_kinds import SIGNED_IN, kinds
from platebook.practice.revision import NOBODY, Tombstone
from platebook.values import Value


class Reached(Value):
    """The copies that somebody was taken out of now, and those in which that could not be done."""

    cleared: tuple[Path, ...] = ()
    unreached: tuple[Path, ...] = ()


class Gone(Value):
    """What is not in the logbook any more: records by id, names by revision and by change."""

    records: Mapping[str, Tombstone]
    unnamed: frozenset[str]
    unsigned: frozenset[str]

    def __bool__(self) -> bool:
        """Whether anything is gone."""
        return bool(self.records or self.unnamed or self.unsigned)


def clear_copies(db: Database, files: Iterable[Path]) -> Reached:
    """Bring all that was erased in the logbook to these copies of it."""
    gone = gone_from(db)
    cleared, unreached = [], []
    if gone:
        for file in files:
            try:
                with announced(path_of(db), file):
                    done = _clear(file, gone)
                if done:
                    cleared.append(file)
            except (LogbookError, sqlite3.Error, OSError):
                unreached.append(file)
    return Reached(tuple(cleared), tuple(unreached))


def gone_from(db: Database) -> Gone:
    """What is not in this logbook any more."""
    unnamed: set[str] = set()
    for kind, field in SIGNED_IN.items():
        query = "SELECT revision_id FROM revision WHERE kind = ? AND json_extract(record, ?) = ?"
        unnamed |= {row[0] for row in db.execute(query, [kind, f"$.{field}", NOBODY])}
    query = "SELECT change_id FROM change WHERE author = ?"
    unsigned = frozenset(row[0] for row in db.execute(query, [NOBODY]))
    records = {tombstone.record_id: tombstone for tombstone in tombstones(db)}
    return Gone(records, frozenset(unnamed), unsigned)


def _clear(file: Path, gone: Gone) -> bool:
    """Take out of one copy what is gone; False where nothing of it stands there."""
    if any(beside.exists() for beside in companions(file)):
        message = f"{file} is open in another program, or was left so."
        raise LogbookError("busy", message)
    with logbook_errors(file):
        source = connect(file, mode="ro")
        try:
            refuse_newer(source, file, shipped_steps())
            left = still_in(source, gone)
            if not left:
                return False
            with new_file(file, over=True) as draft:
                write_copy(source, draft, file)
                take_out(draft, left)
        finally:
            source.close()
    return True


def still_in(copy: Database, gone: Gone) -> Gone:
    """What of it a copy does not know to be gone."""
    known = {row[0] for row in copy.execute("SELECT record_id FROM tombstone")}
    records = {key: one for key, one in gone.records.items() if key not in known}
    unnamed = {
        row[0]
        for kind, field in SIGNED_IN.items()
        for batch in batches(gone.unnamed)
        for row in copy.execute(
            "SELECT revision_id FROM revision WHERE kind = ? AND json_extract(record, ?) <> ?"
            " AND revision_id IN (SELECT value FROM json_each(?))",
            [kind, f"$.{field}", NOBODY, batch],
        )
    }
    unsigned = {
        row[0]
        for batch in batches(gone.unsigned)
        for row in copy.execute(
            "SELECT change_id FROM change WHERE author <> ?"
            " AND change_id IN (SELECT value FROM json_each(?))",
            [NOBODY, batch],
        )
    }
    return Gone(records, frozenset(unnamed), frozenset(unsigned))


def people_in(copy: Database, gone: Gone) -> int:
    """How many of those who are gone stand in a copy as setters or teachers."""
    query = (
        "SELECT count(*) FROM (SELECT setter_id AS person, hidden FROM setter"
        " UNION ALL SELECT teacher_id, hidden FROM teacher)"
        " WHERE NOT hidden AND person IN (SELECT value FROM json_each(?))"
    )
    people = (key for key, one in gone.records.items() if one.kind in {"setter", "teacher"})
    return sum(copy.execute(query, [batch]).fetchone()[0] for batch in batches(people))


def take_out(draft: Path, left: Gone) -> None:
    """Take it out of a copy that nobody has open, which is proven after."""
    db = connect(draft)
    try:
        if schema_of(db) < shipped_steps()[-1].number:
            migrate(db, shipped_steps())
        db.execute("PRAGMA secure_delete = ON")
        with writing(db):
            _erase(db, left.records)
            _take_names_off(db, left)
            forget_read(db)
        db.execute("VACUUM")
        # A copy lies alone: without this, reading it would leave files beside it.
        db.execute("PRAGMA journal_mode = DELETE")
    finally:
        db.close()
    prove(draft)


def _erase(db: Database, gone: Mapping[str, Tombstone]) -> None:
    add_tombstones(db, gone.values())
    for kind, erase in (("setter", erase_person), ("teacher", erase_teacher_rows)):
        for tombstone in gone.values():
            query = f"SELECT 1 FROM {kind} WHERE {kind}_id = ?"  # noqa: S608 - names of our own
            if tombstone.kind == kind and db.execute(query, [tombstone.record_id]).fetchone():
                erase(db, tombstone.record_id, tombstone.erased)
    for kind_of_record in kinds().values():
        ids = [key for key, one in gone.items() if one.kind == kind_of_record.name]
        if ids and kind_of_record.name not in {"setter", "teacher"}:
            erase_records(db, kind_of_record, ids)


def _take_names_off(db: Database, left: Gone) -> None:
    for batch in batches(left.unnamed):
        rows = db.execute(
            "SELECT kind, revision_id, record FROM revision"
            " WHERE revision_id IN (SELECT value FROM json_each(?))",
            [batch],
        ).fetchall()
        for kind, revision_id, record in rows:
            take_name_off(db, kind, revision_id, record)
    for batch in batches(left.unsigned):
        db.execute(
            "UPDATE change SET author = ?, checksum = NULL"
            " WHERE change_id IN (SELECT value FROM json_each(?))",
            [NOBODY, batch],
        )
    fill_checksums(db)
