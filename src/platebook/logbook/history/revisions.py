"""Revisions in the file: their ids, reading and adding them, and the past of one record.

| function | gives |
|---|---|
| `revisions_of`, `revisions_in` | those of each of these records, those that one change made |
| `revisions_among` | those of these ids |
| `each_revision`, `revision_count` | those that some replicas made, one at a time; how many |
| `history_of` | every version of one record, who made it when, and whether two stand |
| `clashing`, `clashes` | records of which two versions stand side by side |

An id carries the time it was given out, so records sort by it where nothing else orders them. A
clock that stands still or is set back does not break that order: within one `Ids` every id is
higher than the one before (RFC 9562, section 6.2).

Adding is a set union: a revision or change that is already there stays as it is.
"""

import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from itertools import groupby, islice
from typing import Any

import uuid_utils

from platebook.logbook.errors import NO_VALUE, LogbookError, UnreadableRowError
from platebook.logbook.file.connection import Database
from platebook.logbook.record_kinds import Kind, Record, kind_named, kinds
from platebook.logbook.row_values import as_json, instant, time_of
from platebook.practice.revision import Change, Revision, heads
from platebook.values import Value

_AN_ID = re.compile("[0-9a-z-]{1,64}")
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_NANOSECONDS = 1_000_000


class Ids:
    """Gives out ids for one open logbook; it remembers the last millisecond it used."""

    def __init__(self) -> None:
        self._last_ms = 0

    def take(self, count: int, now: datetime) -> tuple[str, ...]:
        """`count` new ids, rising, and higher than all given out before."""
        now_ms = (now - _EPOCH) // timedelta(milliseconds=1)
        self._last_ms = max(now_ms, self._last_ms + 1)
        moment = self._last_ms * _NANOSECONDS
        return tuple(sorted(str(uuid_utils.uuid7(nanoseconds=moment)) for _ in range(count)))

    def one(self, now: datetime) -> str:
        """One new id."""
        return self.take(1, now)[0]


SELECT_REVISIONS = """
SELECT r.revision_id, r.kind, r.record_id, r.parents, r.schema, r.hidden, r.record,
  r.checksum AS own_checksum, r.counter AS own_counter,
  c.change_id, c.replica, c.author, c.counter, c.wall_us, c.wall_offset_min, c.what, c.reverts,
  c.checksum
FROM revision AS r JOIN change AS c USING (change_id)
"""
"""Every revision with its change; the callers say which and in what order."""

_REVISIONS_IN_ORDER = SELECT_REVISIONS.replace(
    "FROM revision AS r JOIN change AS c USING (change_id)",
    "FROM change AS c INDEXED BY change_by_counter"
    " CROSS JOIN revision AS r ON r.change_id = c.change_id",
)
"""The same, change by change in the order of their counters."""

_ADD_CHANGE = """
INSERT OR IGNORE INTO change
  (change_id, replica, author, counter, wall_us, wall_offset_min, what, reverts, checksum)
VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)
"""

_ADD_REVISION = """
INSERT OR IGNORE INTO revision
  (revision_id, kind, record_id, parents, change_id, counter, schema, hidden, record, checksum)
VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
"""

_BATCH = 500


def batches(ids: Iterable[str]) -> Iterator[str]:
    """The ids as JSON lists of a size that one statement takes well (read with json_each)."""
    rest = iter(ids)
    while batch := list(islice(rest, _BATCH)):
        yield as_json(batch)


def replica_of(db: Database) -> str:
    """The id of this logbook among all that share records with it; its bundle's name rests on it.

    UnreadableRowError for one that this program never gives: such a name might lead elsewhere.
    """
    replica = str(db.execute("SELECT replica FROM replica").fetchone()[0])
    if not _AN_ID.fullmatch(replica):
        raise UnreadableRowError("the logbook's own id", replica)
    return replica


def highest_counter(db: Database) -> int:
    """The counter of the latest change this logbook knows of; 0 without any."""
    return int(db.execute("SELECT coalesce(max(counter), 0) FROM change").fetchone()[0])


def changes_here_after(db: Database, counter: int) -> int:
    """How many changes were made in this logbook itself since the one of this counter.

    What the program draws by itself is not counted.
    """
    query = "SELECT count(*) FROM change WHERE replica = ? AND counter > ? AND what <> 'draw'"
    return int(db.execute(query, [replica_of(db), counter]).fetchone()[0])


def authors_elsewhere(db: Database) -> tuple[str, ...]:
    """Everyone who signed a change that came from another logbook, by name."""
    query = "SELECT DISTINCT author FROM change WHERE replica <> ? ORDER BY author"
    return tuple(row[0] for row in db.execute(query, [replica_of(db)]).fetchall())


def newest_elsewhere(db: Database) -> tuple[tuple[str, datetime], ...]:
    """Everyone who signed a change that came from another logbook, with when they made the newest.

    By their own clock; whose newest is oldest stands first.
    """
    query = (
        "SELECT author, max(wall_us) AS wall_us, wall_offset_min FROM change WHERE replica <> ?"
        " AND what <> 'draw' GROUP BY author ORDER BY max(wall_us), author"
    )
    rows = db.execute(query, [replica_of(db)]).fetchall()
    return tuple((author, time_of(wall, offset)) for author, wall, offset in rows)


def change_from(row: Mapping[str, Any]) -> Change:
    """The change that a row of the table holds; UnreadableRowError for one of no time."""
    try:
        wall = time_of(row["wall_us"], row["wall_offset_min"])
    except NO_VALUE as error:
        raise UnreadableRowError("the time of a change", row["wall_us"]) from error
    return Change(
        change_id=row["change_id"],
        replica=row["replica"],
        author=row["author"],
        counter=row["counter"],
        wall=wall,
        what=row["what"],
        reverts=row["reverts"],
        saved_checksum=row["checksum"],
    )


def revision_from(row: Mapping[str, Any], change: Change | None = None) -> Revision:
    """The revision that a row of `SELECT_REVISIONS` holds; UnreadableRowError as `change_from`.

    With a `change` that one is taken for the row's.
    """
    try:
        parents = tuple(json.loads(row["parents"]))
    except NO_VALUE as error:
        raise UnreadableRowError("what a revision follows", row["parents"]) from error
    if not all(isinstance(each, str) and each.isascii() for each in parents):
        raise UnreadableRowError("what a revision follows", row["parents"])
    return Revision(
        revision_id=row["revision_id"],
        kind=row["kind"],
        record_id=row["record_id"],
        parents=parents,
        change=change or change_from(row),
        schema=row["schema"],
        hidden=bool(row["hidden"]),
        record=row["record"],
        saved_checksum=row["own_checksum"],
    )


def revisions_of(
    db: Database, kind: str, record_ids: Iterable[str]
) -> dict[str, tuple[Revision, ...]]:
    """The revisions of each of these records, lowest rank first; unknown records are left out."""
    by_record: dict[str, tuple[Revision, ...]] = {}
    for batch in batches(record_ids):
        rows = db.query(
            f"{SELECT_REVISIONS} WHERE r.kind = ?"  # noqa: S608 - no outside text
            " AND r.record_id IN (SELECT value FROM json_each(?))"
            " ORDER BY r.record_id, r.counter, r.revision_id",
            [kind, batch],
        )
        for record_id, group in groupby(map(revision_from, rows), key=lambda r: r.record_id):
            by_record[record_id] = tuple(group)
    return by_record


def revisions_in(db: Database, change_id: str) -> tuple[Revision, ...]:
    """The revisions that one change made, in the order they were made."""
    rows = db.query(f"{SELECT_REVISIONS} WHERE r.change_id = ? ORDER BY r.revision_id", [change_id])
    return tuple(map(revision_from, rows))


def revisions_among(db: Database, revision_ids: Iterable[str]) -> dict[str, Revision]:
    """The revisions of these ids that are here, by id."""
    by_id: dict[str, Revision] = {}
    for batch in batches(revision_ids):
        rows = db.query(
            f"{SELECT_REVISIONS} WHERE r.revision_id IN (SELECT value FROM json_each(?))",  # noqa: S608 - no outside text
            [batch],
        )
        by_id |= {revision.revision_id: revision for revision in map(revision_from, rows)}
    return by_id


def changes_among(db: Database, change_ids: Iterable[str]) -> dict[str, Change]:
    """The changes of these ids that are here, by id."""
    by_id: dict[str, Change] = {}
    for batch in batches(change_ids):
        rows = db.query(
            "SELECT * FROM change WHERE change_id IN (SELECT value FROM json_each(?))", [batch]
        )
        by_id |= {change.change_id: change for change in map(change_from, rows)}
    return by_id


def each_revision(
    db: Database, replicas: Iterable[str] | None = None, *, by: str = "r.revision_id"
) -> Iterator[Revision]:
    """All revisions, or those that these replicas made, one at a time in the order made.

    Those of one counter come in the order of `by`, an expression in SQL. Counter by counter, so
    that no more than a change or two are ever put in order at once.
    """
    whose = "" if replicas is None else "WHERE c.replica IN (SELECT value FROM json_each(?))"
    rows = db.query(
        f"{_REVISIONS_IN_ORDER} {whose} ORDER BY c.counter, {by}",
        [] if replicas is None else [as_json(sorted(replicas))],
    )
    change: Change | None = None
    for row in rows:
        # Those of one change, an import for example, lie together and share it.
        if change is None or change.change_id != row["change_id"]:
            change = change_from(row)
        yield revision_from(row, change)


def revision_count(db: Database, replicas: Iterable[str] | None = None) -> int:
    """How many revisions there are, or these replicas made."""
    if replicas is None:
        return int(db.execute("SELECT count(*) FROM revision").fetchone()[0])
    query = (
        "SELECT count(*) FROM change AS c CROSS JOIN revision AS r ON r.change_id = c.change_id"
        " WHERE c.replica IN (SELECT value FROM json_each(?))"
    )
    return int(db.execute(query, [as_json(sorted(replicas))]).fetchone()[0])


def add_revisions(db: Database, revisions: Sequence[Revision]) -> None:
    """Put these revisions and their changes beside those that are there."""
    changes = {revision.change.change_id: revision.change for revision in revisions}
    db.conn.executemany(
        _ADD_CHANGE,
        (
            (
                c.change_id,
                c.replica,
                c.author,
                c.counter,
                *instant(c.wall),
                c.what,
                c.reverts,
                c.checksum,
            )
            for c in changes.values()
        ),
    )
    db.conn.executemany(
        _ADD_REVISION,
        (
            (
                r.revision_id,
                r.kind,
                r.record_id,
                as_json(list(r.parents)),
                r.change.change_id,
                r.change.counter,
                r.schema,
                int(r.hidden),
                r.record,
                r.checksum,
            )
            for r in revisions
        ),
    )


class Version(Value):
    """One version of a record: the revision, and the record itself where it can be read here.

    `stands` says that no other version was made from it; where two stand there is a clash, and the
    last one counts until somebody settles it.
    """

    revision: Revision
    record: Record | None
    stands: bool


class History(Value):
    """All versions of one record, the one that counts last."""

    versions: tuple[Version, ...]

    @property
    def clash(self) -> bool:
        """Whether two versions were made without knowing of each other and nobody settled it."""
        return sum(version.stands for version in self.versions) > 1


def history_of(db: Database, kind: str, record_id: str) -> History:
    """The past of a record; without versions where the logbook does not know it."""
    known = kind_named(kind)
    revisions = revisions_of(db, kind, [record_id]).get(record_id, ())
    standing = {revision.revision_id for revision in heads(revisions)}
    return History(
        tuple(Version(r, _readable(known, r), r.revision_id in standing) for r in revisions)
    )


def _readable(kind: Kind, revision: Revision) -> Record | None:
    try:
        return kind.record_of(revision.row)
    except LogbookError:
        return None


def clashing(db: Database, kind: str, record_ids: Iterable[str]) -> frozenset[str]:
    """Those of these records of which two versions stand side by side."""
    key = kind_named(kind).key
    side_by_side: set[str] = set()
    for batch in batches(record_ids):
        rows = db.execute(
            f"SELECT {key} FROM {kind} WHERE clash"  # noqa: S608 - names of our own
            f" AND {key} IN (SELECT value FROM json_each(?))",
            [batch],
        )
        side_by_side |= {row[0] for row in rows}
    return frozenset(side_by_side)


def clashes(db: Database) -> tuple[tuple[str, str], ...]:
    """Kind and id of every record of which two versions stand side by side."""
    side_by_side: list[tuple[str, str]] = []
    for kind in kinds().values():
        rows = db.execute(f"SELECT {kind.key} FROM {kind.name} WHERE clash ORDER BY 1")  # noqa: S608 - names of our own
        side_by_side += [(kind.name, record_id) for (record_id,) in rows]
    return tuple(side_by_side)
