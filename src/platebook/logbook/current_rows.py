"""What stands now: one row a record, computed from its revisions and from nothing else.

`put_rows` places rows and keeps the tally: how many attempts a setter has, and a digest that is new
after every change that concerns the setter. A change made here rests on all that stood and ranks
above it, so its own values are the row. Where revisions came from elsewhere, in whatever order,
`project` computes the rows from all that are there; `checking` does the same and compares.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from platebook.logbook.file.connection import Database
from platebook.logbook.record_kinds import WITHOUT_TIME, Kind, kinds
from platebook.logbook.revisions import batches, json_row, revisions_of
from platebook.logbook.row_values import Stored
from platebook.practice.revision import Revision, clash, current

_NEW_TALLY = "INSERT OR IGNORE INTO tally (setter_id, attempts, digest) VALUES (?, 0, '')"
_TALLY = "UPDATE tally SET attempts = attempts + ?, digest = ? WHERE setter_id = ?"


def whole_row(
    kind: Kind,
    record: Mapping[str, Stored],
    *,
    revision_id: str,
    hidden: bool,
    clash: bool = False,
) -> dict[str, Stored | None]:
    """The row of a record as this revision leaves it, with every column of its table."""
    row: dict[str, Stored | None] = {name: record.get(name) for name in kind.table_columns}
    row |= {"revision_id": revision_id, "hidden": int(hidden), "clash": int(clash)}
    if kind.timed_by:
        row["order_us"] = record.get(kind.timed_by, WITHOUT_TIME)
    return row


def standing_row(kind: Kind, revisions: Iterable[Revision]) -> dict[str, Stored | None]:
    """The whole row of a record from its revisions, of which there is at least one."""
    known = tuple(revisions)
    counts = current(known)
    if counts is None:
        raise ValueError("a record without revisions has no row")
    record = json_row(counts) | {kind.key: counts.record_id}
    return whole_row(
        kind,
        record,
        revision_id=counts.revision_id,
        hidden=counts.hidden,
        clash=clash(known),
    )


def owners(db: Database, kind: Kind, record_ids: Iterable[str]) -> dict[str, tuple[str, bool]]:
    """Whose each of these records is, as it stands, and whether it is hidden."""
    if kind.owner == "attempt":
        owned = "inspection AS own JOIN attempt USING (attempt_id)"
        setter_id = "attempt.setter_id"
    else:
        owned = f"{kind.name} AS own"
        setter_id = "own.setter_id"
    found: dict[str, tuple[str, bool]] = {}
    for batch in batches(record_ids):
        rows = db.execute(
            f"SELECT own.{kind.key}, {setter_id}, own.hidden FROM {owned}"  # noqa: S608 - names of our own
            f" WHERE own.{kind.key} IN (SELECT value FROM json_each(?))",
            [batch],
        )
        found |= {record_id: (owner, bool(hidden)) for record_id, owner, hidden in rows}
    return found


def project(db: Database, touched: Mapping[str, Iterable[str]], digest: str) -> frozenset[str]:
    """Bring the rows of these records (ids by kind) up to date; gives the setters concerned.

    Kinds that this program does not know keep their revisions and have no row.
    """
    rows = {
        kind.name: [
            standing_row(kind, revisions)
            for revisions in revisions_of(db, kind.name, tuple(touched[kind.name])).values()
        ]
        for kind in kinds().values()
        if kind.name in touched
    }
    return put_rows(db, rows, digest)


def put_rows(
    db: Database, rows: Mapping[str, Sequence[Mapping[str, Stored | None]]], digest: str
) -> frozenset[str]:
    """Place these rows (by kind) as what stands; gives the setters concerned."""
    moved: Counter[str] = Counter()
    for kind in kinds().values():
        standing = rows.get(kind.name)
        if not standing:
            continue
        record_ids = [str(row[kind.key]) for row in standing]
        before = owners(db, kind, record_ids)
        db.conn.executemany(kind.upsert, standing)
        after = _owners_in(db, kind, standing)
        if kind.analysed:
            counts = kind.name == "attempt"
            for sign, owned in ((-1, before), (1, after)):
                for owner, hidden in owned.values():
                    moved[owner] += sign * (counts and not hidden)
    db.conn.executemany(_NEW_TALLY, [(owner,) for owner in moved])
    db.conn.executemany(_TALLY, [(n, digest, owner) for owner, n in moved.items()])
    return frozenset(moved)


def _owners_in(
    db: Database, kind: Kind, rows: Sequence[Mapping[str, Stored | None]]
) -> dict[str, tuple[str, bool]]:
    """What `owners` gives of rows that were just placed: most say themselves whose they are."""
    if kind.owner == "attempt":
        return owners(db, kind, [str(row[kind.key]) for row in rows])
    return {str(row[kind.key]): (str(row["setter_id"]), bool(row["hidden"])) for row in rows}


def row_of(db: Database, kind: Kind, record_id: str) -> dict[str, Any] | None:
    """The row of one record, hidden or not; None where there is none."""
    query = f"SELECT * FROM {kind.name} WHERE {kind.key} = ?"  # noqa: S608 - names of our own
    return next(iter(db.query(query, [record_id])), None)
