"""Erasings that others ask for: held back until somebody here obeys or keeps.

A bundle says which records were erased elsewhere. Nobody is erased here by that alone, in whatever
order bundles come: what is asked is kept beside the records and asked about as long as something of
it stands here. `obey` erases one person; `keep` answers that they stay. What was obeyed here is a
tombstone, which this logbook hands on and which keeps the person away.
"""

from collections.abc import Iterable
from datetime import datetime
from pathlib import Path

from platebook.logbook.erasures.erasing import (
    add_tombstones,
    clear_bytes,
    erase_person,
    erase_records,
    erase_teacher_rows,
    erased_among,
)
from platebook.logbook.errors import LogbookError
from platebook.logbook.file.connection import Database, writing
from platebook.logbook.history.changes import owners
from platebook.logbook.history.revisions import batches, revisions_of
from platebook.logbook.record_kinds import kinds
from platebook.logbook.row_values import instant, time_of
from platebook.logbook.signing.known_keys import known_keys
from platebook.logbook.signing.private_keys import drop_key
from platebook.logbook.signing.signatures import signatures_of
from platebook.practice.records import name_key
from platebook.practice.revision import NOBODY, Tombstone
from platebook.values import Value

UNSIGNED = frozenset({NOBODY, "setter"})
"""Authors that name no person."""


def hold_back(db: Database, incoming: Iterable[Tombstone]) -> None:
    """Keep what a bundle asks to erase, inside a transaction; what was answered stays answered.

    Of several words about one record the earliest stands, so that any order gives the same.
    """
    asked = tuple(incoming)
    known = erased_among(db, (t.record_id for t in asked))
    db.conn.executemany(
        "INSERT INTO held_erasing (record_id, kind, replica, erased_us, kept)"
        " VALUES (?, ?, ?, ?, 0) ON CONFLICT (record_id) DO UPDATE"
        " SET kind = excluded.kind, replica = excluded.replica, erased_us = excluded.erased_us"
        " WHERE (excluded.erased_us, excluded.replica, excluded.kind)"
        " < (held_erasing.erased_us, held_erasing.replica, held_erasing.kind)",
        (
            (t.record_id, t.kind, t.replica, instant(t.erased)[0])
            for t in asked
            if t.record_id not in known
        ),
    )


class ErasingAsked(Value):
    """One person whom others ask to erase, or some of whose records.

    `whole` says that the person is meant and not some records of theirs, of which there are
    `records`. `attempts` are all that they have. `asked_by` are the names of those who work in the
    logbook it was erased in; `by_themselves` that this is nobody but the person. `kept` says that
    it was answered so.
    """

    person_id: str
    name: str
    kind: str
    whole: bool
    attempts: int
    records: int
    asked_by: tuple[str, ...]
    by_themselves: bool
    erased: datetime
    kept: bool


def erasings_asked(db: Database, spared: str | None = None) -> tuple[ErasingAsked, ...]:
    """Whom others ask to erase of those who are here, by name, the answered ones too.

    A person `spared` decides on their own logbook, so nobody is asked about them.
    """
    by_person: dict[str, list[tuple[str, str, str, int, int]]] = {}
    rows = db.execute("SELECT record_id, kind, replica, erased_us, kept FROM held_erasing")
    held = {row[0]: row for row in rows.fetchall()}
    for kind in kinds().values():
        of_kind = [row for row in held.values() if row[1] == kind.name]
        whose = owners(db, kind, (row[0] for row in of_kind))
        for row in of_kind:
            if row[0] in whose:
                owner = row[0] if kind.name in {"setter", "teacher"} else whose[row[0]][0]
                by_person.setdefault(owner, []).append(row)
    asked = []
    for person_id, of_person in by_person.items():
        if person_id in {"", spared}:
            continue
        first = held.get(person_id) or min(of_person, key=lambda row: (row[3], row[2], row[0]))
        asked.append(_asked(db, person_id, first, of_person))
    return tuple(sorted(asked, key=lambda one: (name_key(one.name), one.person_id)))


def _asked(
    db: Database,
    person_id: str,
    first: tuple[str, str, str, int, int],
    of_person: list[tuple[str, str, str, int, int]],
) -> ErasingAsked:
    record_id, kind, replica, erased_us, _ = first
    whole = record_id == person_id
    table = kind if whole else "setter"
    names = {
        str(revision.row.get("name", ""))
        for revision in revisions_of(db, table, [person_id]).get(person_id, ())
    }
    query = f"SELECT name FROM {table} WHERE {table}_id = ?"  # noqa: S608 - names of our own
    name = next((str(row[0]) for row in db.execute(query, [person_id])), "somebody")
    count = "SELECT count(*) FROM attempt WHERE setter_id = ? AND NOT hidden"
    authors = {
        str(row[0])
        for row in db.execute("SELECT DISTINCT author FROM change WHERE replica = ?", [replica])
    } - UNSIGNED
    own = {name_key(known) for known in names}
    by_themselves = bool(authors) and {name_key(author) for author in authors} <= own
    keys = {known.key for known in known_keys(db, person_id)}
    if keys:
        # Names are typed by anybody; a key that is known says it for sure.
        signed = signatures_of(db, [record_id]).get(record_id)
        by_themselves = signed is not None and signed.key in keys
    return ErasingAsked(
        person_id=person_id,
        name=name,
        kind=table,
        whole=whole,
        attempts=int(db.execute(count, [person_id]).fetchone()[0]),
        records=len(of_person),
        asked_by=tuple(sorted(authors)),
        by_themselves=by_themselves,
        erased=time_of(erased_us, 0),
        kept=all(row[4] for row in of_person),
    )


def obey(db: Database, path: Path, person_id: str) -> int:
    """Erase one person as was asked; gives with how many attempts. It cannot be taken back."""
    db.execute("PRAGMA secure_delete = ON")
    attempts = _obey(db, person_id)
    drop_key(path, person_id)
    clear_bytes(db, path)
    return attempts


def _obey(db: Database, person_id: str) -> int:
    with writing(db):
        rows = _held_of(db, person_id)
        whole = next((row for row in rows if row.record_id == person_id), None)
        if whole is None:
            add_tombstones(db, rows)
            for kind in kinds().values():
                erase_records(db, kind, [row.record_id for row in rows if row.kind == kind.name])
            attempts = sum(row.kind == "attempt" for row in rows)
        elif whole.kind == "teacher":
            erase_teacher_rows(db, person_id, whole.erased)
            attempts = 0
        else:
            attempts = erase_person(db, person_id, whole.erased)
        gone = "record_id IN (SELECT record_id FROM tombstone)"
        db.execute(f"DELETE FROM held_erasing WHERE {gone}")  # noqa: S608 - a text of our own
        return attempts


def keep(db: Database, person_id: str) -> None:
    """Answer that this person stays here."""
    with writing(db):
        for batch in batches(row.record_id for row in _held_of(db, person_id)):
            db.execute(
                "UPDATE held_erasing SET kept = 1"
                " WHERE record_id IN (SELECT value FROM json_each(?))",
                [batch],
            )


def _held_of(db: Database, person_id: str) -> tuple[Tombstone, ...]:
    """What is asked about one person who is here; LogbookError where nothing is."""
    rows = db.execute("SELECT record_id, kind, replica, erased_us FROM held_erasing").fetchall()
    theirs = {person_id}
    for kind in kinds().values():
        of_kind = (row[0] for row in rows if row[1] == kind.name)
        theirs |= {i for i, (owner, _) in owners(db, kind, of_kind).items() if owner == person_id}
    held = tuple(
        Tombstone(record_id=i, kind=kind, replica=replica, erased=time_of(erased_us, 0))
        for i, kind, replica, erased_us in rows
        if i in theirs
    )
    if not held:
        raise LogbookError("unknown", "Nobody asks to erase this person. Nothing was changed.")
    return held
