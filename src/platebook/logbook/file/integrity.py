"""Whether the logbook is whole, and what is wrong with it.

SQLite looks through the pages, the indexes and the references; then every row of what stands is
compared with what its revisions make it, and every setter's count with the attempts. What is wrong
is said in words; nothing is changed.
"""

import functools
import re
import sqlite3
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

from platebook.logbook.errors import LogbookError, from_sqlite
from platebook.logbook.file.checksums import altered, bytes_as_they_are
from platebook.logbook.file.connection import Database
from platebook.logbook.file.migrating import migrate, schema_of, shipped_steps
from platebook.logbook.file.record_words import UNREADABLE, person_words, record_words
from platebook.logbook.history.changes import standing_row
from platebook.logbook.history.revisions import batches, revisions_of
from platebook.logbook.record_kinds import Kind, count_of_kind, kinds
from platebook.practice.revision import Revision
from platebook.trade.phrases import count_of

_BATCH = 500

_UNREADABLE = (*UNREADABLE, LogbookError)
"""What reading a revision raises whose bytes were changed on the disk."""


def problems_in(db: Database) -> tuple[str, ...]:
    """What is wrong, a sentence each; empty for a logbook that is whole."""
    with bytes_as_they_are(db):
        return tuple(_all(db))


def _all(db: Database) -> Iterator[str]:
    # Pages in memory may be sound while those on the disk are not any more.
    db.execute("PRAGMA shrink_memory")
    try:
        pages = [row[0] for row in db.execute("PRAGMA integrity_check(20)").fetchall()]
    except sqlite3.DatabaseError as error:
        if from_sqlite(error, Path()).cause != "damaged":
            raise
        pages = [str(error)]
    if pages != ["ok"]:
        yield from (f"The file is damaged: {page}." for page in pages)
        return
    if wrong := tuple(_tables_that_differ(db)):
        yield from wrong
        return
    for table, row, other, _ in db.execute("PRAGMA foreign_key_check").fetchall():
        yield f"Row {row} of {table} refers to a {other} that is not there."
    for kind in kinds().values():
        yield from _rows_that_differ(db, kind)
    yield from _wrong_counts(db)
    yield from altered(db)


def _tables_that_differ(db: Database) -> Iterator[str]:
    """A sentence for each table that lacks a column of this program, or has it of another type."""
    expected, described = _as_made()
    described = dict(described)
    found = _columns(db)
    for table, columns in expected.items():
        if table not in found:
            yield f"The table {table} is missing."
        elif lacking := columns - found[table]:
            names = ", ".join(sorted(name for name, *_ in lacking))
            yield f"The table {table} lacks or misnames what this program keeps in it: {names}."
            described.pop(table, None)
    if schema_of(db) != shipped_steps()[-1].number:
        return
    here = _descriptions(db)
    for name, words in described.items():
        if here.get(name) != words:
            yield f"The file's description of {name} is not what this program makes it."
    if (taken := _steps_taken(db)) != (
        steps := {f"{s.number:04}_{s.name}" for s in shipped_steps()}
    ):
        names = ", ".join(sorted(map(str, taken ^ steps)))
        yield f"The file's list of the steps that its tables took is not this program's: {names}."


@functools.cache
def _as_made() -> tuple[dict[str, set[tuple[str, str, int, int]]], dict[str, str]]:
    """The columns and the descriptions of a file that this program makes."""
    fresh = Database(sqlite3.connect(":memory:"))
    try:
        migrate(fresh, shipped_steps())
        return _columns(fresh), _descriptions(fresh)
    finally:
        fresh.close()


def _descriptions(db: Database) -> dict[str, str]:
    """How the file describes its tables, indexes and triggers, but for spaces and quotes."""
    rows = db.execute(
        "SELECT name, type || ' ' || tbl_name || ' ' || coalesce(sql, '') FROM sqlite_master"
        " WHERE type <> 'view'"
    )
    return {name: re.sub(r'[\s"]+', "", words) for name, words in rows.fetchall()}


def _steps_taken(db: Database) -> set[str]:
    rows = db.execute("SELECT name FROM _sqlite_migrations WHERE migration_set = 'platebook'")
    return {row[0] for row in rows.fetchall()}


def _columns(db: Database) -> dict[str, set[tuple[str, str, int, int]]]:
    """Each table's columns: name, type, whether it may be empty, place in the key."""
    rows = db.execute(
        'SELECT t.name, c.name, c.type, c."notnull", c.pk'
        " FROM pragma_table_list AS t, pragma_table_info(t.name) AS c"
        " WHERE t.schema = 'main' AND t.type = 'table' AND t.name NOT LIKE 'sqlite_%'"
    )
    columns: dict[str, set[tuple[str, str, int, int]]] = {}
    for table, *column in rows.fetchall():
        columns.setdefault(table, set()).add((column[0], column[1], column[2], column[3]))
    return columns


def _rows_that_differ(db: Database, kind: Kind) -> Iterator[str]:
    cursor = db.execute(
        "SELECT DISTINCT record_id FROM revision WHERE kind = ? ORDER BY record_id", [kind.name]
    )
    ids = (row[0] for row in cursor)
    records = 0
    names = (*kind.table_columns, *kind.housekeeping)
    while batch := list(islice(ids, _BATCH)):
        records += len(batch)
        try:
            by_record = revisions_of(db, kind.name, batch)
        except _UNREADABLE:
            by_record = {}  # one of the batch is damaged, so each is read by itself
        rows = {
            row[kind.key]: {name: row[name] for name in names}
            for part in batches(batch)
            for row in db.query(
                f"SELECT * FROM {kind.name}"  # noqa: S608 - names of our own
                f" WHERE {kind.key} IN (SELECT value FROM json_each(?))",
                [part],
            )
        }
        for record_id in batch:
            try:
                revisions = by_record[record_id] if by_record else _past(db, kind, record_id)
                stands = rows.get(record_id) == standing_row(kind, revisions)
            except _UNREADABLE:
                named = record_words(db, kind.name, record_id)
                yield f"{named} has a revision that cannot be read."
                continue
            if not stands:
                named = record_words(db, kind.name, record_id)
                yield f"{named} is not what its revisions make it."
    stand = int(db.execute(f"SELECT count(*) FROM {kind.name}").fetchone()[0])  # noqa: S608 - a name of our own
    if stand > records:
        without = stand - records
        have = "has" if without == 1 else "have"
        yield f"{without} of {count_of_kind(stand, kind.name)} {have} no revision."


def _past(db: Database, kind: Kind, record_id: str) -> tuple[Revision, ...]:
    return revisions_of(db, kind.name, [record_id])[record_id]


def _wrong_counts(db: Database) -> Iterator[str]:
    rows = db.execute(
        "SELECT setter_id, coalesce(attempts, 0), stand FROM"
        " (SELECT setter_id, sum(1 - hidden) AS stand FROM attempt GROUP BY setter_id)"
        " LEFT JOIN tally USING (setter_id) WHERE coalesce(attempts, 0) <> stand"
    )
    for setter_id, counted, stand in rows.fetchall():
        attempts = count_of(counted, "attempt")
        yield f"{person_words(db, setter_id)} is counted with {attempts} and has {stand}."
