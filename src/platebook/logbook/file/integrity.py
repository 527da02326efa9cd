"""Is the logbook whole? What is found is said in words; nothing is changed.

SQLite looks through the pages, the indexes and the references; then every row of what stands is
compared with what its revisions make it, and every setter's count with the attempts.
"""

import sqlite3
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

from platebook.logbook.current_rows import standing_row
from platebook.logbook.errors import from_sqlite
from platebook.logbook.file.connection import Database
from platebook.logbook.record_kinds import Kind, kinds
from platebook.logbook.revisions import batches, revisions_of

_BATCH = 500


def findings(db: Database) -> tuple[str, ...]:
    """What is wrong, a sentence each; empty for a logbook that is whole."""
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
        yield from (f"The file is damaged: {found}." for found in pages)
        return
    for table, row, other, _ in db.execute("PRAGMA foreign_key_check").fetchall():
        yield f"Row {row} of {table} refers to a {other} that is not there."
    for kind in kinds().values():
        yield from _replayed(db, kind)
    yield from _counted(db)


def _replayed(db: Database, kind: Kind) -> Iterator[str]:
    cursor = db.execute(
        "SELECT DISTINCT record_id FROM revision WHERE kind = ? ORDER BY record_id", [kind.name]
    )
    ids = (row[0] for row in cursor)
    records = 0
    names = (*kind.table_columns, *kind.housekeeping)
    while batch := list(islice(ids, _BATCH)):
        records += len(batch)
        rows = {
            row[kind.key]: {name: row[name] for name in names}
            for part in batches(batch)
            for row in db.query(
                f"SELECT * FROM {kind.name}"  # noqa: S608 - names of our own
                f" WHERE {kind.key} IN (SELECT value FROM json_each(?))",
                [part],
            )
        }
        for record_id, revisions in revisions_of(db, kind.name, batch).items():
            if rows.get(record_id) != standing_row(kind, revisions):
                yield f"The {kind.name} {record_id} is not what its revisions make it."
    stand = int(db.execute(f"SELECT count(*) FROM {kind.name}").fetchone()[0])  # noqa: S608 - a name of our own
    if stand > records:
        yield f"{stand - records} of {stand} {kind.name} rows have no revision."


def _counted(db: Database) -> Iterator[str]:
    rows = db.execute(
        "SELECT setter_id, coalesce(attempts, 0), stand FROM"
        " (SELECT setter_id, sum(1 - hidden) AS stand FROM attempt GROUP BY setter_id)"
        " LEFT JOIN tally USING (setter_id) WHERE coalesce(attempts, 0) <> stand"
    )
    for setter_id, counted, stand in rows.fetchall():
        yield f"Setter {setter_id} is counted with {counted} attempts and has {stand}."
