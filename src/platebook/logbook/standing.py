"""What stands now: one row a record, computed from its revisions and from nothing else.

`project` brings the rows of some records up to date after revisions were added, in whatever order
they came, and keeps the tally: how many attempts a setter has, and a digest that is new after every
change that concerns the setter.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Any

from platebook.logbook.connecting import Database
from platebook.logbook.kinds import WITHOUT_TIME, Kind, kinds
from platebook.logbook.revisions import batches, json_row, revisions_of
from platebook.logbook.rows import Stored
from platebook.practice.revision import Revision, clash, current

_NEW_TALLY = "INSERT OR IGNORE INTO tally (setter_id, attempts, digest) VALUES (?, 0, '')"
_TALLY = "UPDATE tally SET attempts = attempts + ?, digest = ? WHERE setter_id = ?"


def standing_row(kind: Kind, revisions: Iterable[Revision]) -> dict[str, Stored | None]:
    """The whole row of a record from its revisions, of which there is at least one."""
    known = tuple(revisions)
    counts = current(known)
    if counts is None:
        raise ValueError("a record without revisions has no row")
    record = json_row(counts)
    row: dict[str, Stored | None] = {name: record.get(name) for name in kind.table_columns}
    row |= {
        kind.key: counts.record_id,
        "revision_id": counts.revision_id,
        "hidden": int(counts.hidden),
        "clash": int(clash(known)),
    }
    if kind.timed_by:
        row["order_us"] = record.get(kind.timed_by, WITHOUT_TIME)
    return row


def upsert_sql(kind: Kind) -> str:
    """The statement that puts a row of `standing_row` in its table."""
    names = (*kind.table_columns, *kind.housekeeping)
    columns = ", ".join(f'"{name}"' for name in names)
    values = ", ".join(f":{name}" for name in names)
    changed = ", ".join(f'"{n}" = excluded."{n}"' for n in names if n != kind.key)
    return (
        f"INSERT INTO {kind.name} ({columns}) VALUES ({values}) "  # noqa: S608 - names of our own
        f"ON CONFLICT ({kind.key}) DO UPDATE SET {changed}"
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
    moved: Counter[str] = Counter()
    for kind in kinds().values():
        record_ids = tuple(touched.get(kind.name, ()))
        if not record_ids:
            continue
        before = owners(db, kind, record_ids)
        known = revisions_of(db, kind.name, record_ids)
        rows = [standing_row(kind, revisions) for revisions in known.values()]
        db.conn.executemany(upsert_sql(kind), rows)
        for sign, owned in ((-1, before), (1, owners(db, kind, record_ids))):
            for owner, hidden in owned.values():
                if kind.analysed:
                    moved[owner] += sign * (kind.name == "attempt" and not hidden)
    db.conn.executemany(_NEW_TALLY, ((owner,) for owner in moved))
    db.conn.executemany(_TALLY, ((n, digest, owner) for owner, n in moved.items()))
    return frozenset(moved)


def row_of(db: Database, kind: Kind, record_id: str) -> dict[str, Any] | None:
    """The row of one record, hidden or not; None where there is none."""
    query = f"SELECT * FROM {kind.name} WHERE {kind.key} = ?"  # noqa: S608 - names of our own
    return next(iter(db.query(query, [record_id])), None)
