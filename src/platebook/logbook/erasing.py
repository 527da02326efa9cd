"""Taking a person out for good, because they ask for it: their rows, their past, their bytes.

What is theirs goes: the setter, tools, plates, attempts, and the inspections of those attempts. A
tombstone with nothing but ids stays, which merging obeys, so that no copy elsewhere brings the
person back. An inspection they made of someone else's attempt is that person's record and stays.
"""

import glob
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from platebook.logbook.belongings import ids_of, setters
from platebook.logbook.connecting import Database, writing
from platebook.logbook.errors import LogbookError
from platebook.logbook.kinds import kind_named, kinds
from platebook.logbook.revisions import batches, json_row, replica_of, revisions_of
from platebook.logbook.rows import instant
from platebook.practice.setter import named

NOBODY = "erased"
"""Signs the changes that an erased person made to other people's records."""


@dataclass(frozen=True, slots=True)
class Erased:
    """How many attempts were erased, and the copies beside the logbook that may still hold them."""

    attempts: int
    copies: tuple[Path, ...]


def erase(db: Database, path: Path, setter_id: str, now: datetime) -> Erased:
    """Erase a setter; it cannot be taken back. Doing it again only clears what bytes are left.

    LogbookError "busy" where another program keeps the old bytes in the file.
    """
    with writing(db):
        again = bool(erased_among(db, [setter_id]))
        attempts = 0 if again else _erase_rows(db, setter_id, now)
    _clear_bytes(db, path)
    return Erased(
        attempts, tuple(sorted(path.parent.glob(f"{glob.escape(path.stem)}.*-*{path.suffix}")))
    )


def erased_among(db: Database, record_ids: Iterable[str]) -> frozenset[str]:
    """Those of these ids that have a tombstone."""
    found: set[str] = set()
    for batch in batches(record_ids):
        rows = db.execute(
            "SELECT record_id FROM tombstone WHERE record_id IN (SELECT value FROM json_each(?))",
            [batch],
        )
        found |= {row[0] for row in rows}
    return frozenset(found)


def _erase_rows(db: Database, setter_id: str, now: datetime) -> int:
    past = revisions_of(db, "setter", [setter_id]).get(setter_id)
    if past is None:
        message = f"There is no setter with the id {setter_id}. Nothing was erased."
        raise LogbookError("unknown", message)
    theirs = {kind.name: ids_of(db, kind, setter_id) for kind in kinds().values()}
    moment, replica = instant(now)[0], replica_of(db)
    for name in ("setter", "attempt"):
        db.conn.executemany(
            "INSERT INTO tombstone (record_id, kind, replica, erased_us) VALUES (?, ?, ?, ?)",
            ((record_id, name, replica, moment) for record_id in theirs[name]),
        )
    _unsign(db, setter_id, {json_row(revision)["name"] for revision in past})
    for name, record_ids in theirs.items():
        _delete(db, name, record_ids)
    db.execute("DELETE FROM tally WHERE setter_id = ?", [setter_id])
    db.execute("DELETE FROM default_value WHERE value = ?", [setter_id])
    return len(theirs["attempt"])


def _unsign(db: Database, setter_id: str, names: Iterable[str]) -> None:
    """Take the person's name off changes; one that another setter bears too is left."""
    others = [setter for setter in setters(db) if setter.setter_id != setter_id]
    for author in (setter_id, *(name for name in names if not named(others, name))):
        db.execute("UPDATE change SET author = ? WHERE author = ?", [NOBODY, author])


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


def _clear_bytes(db: Database, path: Path) -> None:
    db.execute("VACUUM")
    busy = db.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
    if busy:
        message = f"The rows are gone, but another program has {path} open and keeps old bytes."
        raise LogbookError("busy", f"{message} Close it there, then erase again.")
