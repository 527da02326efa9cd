"""Writing a change, and the rows that stand after it.

A change is one command, one transaction, one revision for each record it concerns. Everything that
changes a record goes through `write`, inside `connection.writing`, which keeps all of it or
nothing. The change gets the next counter, and each revision rests on what stood before.

What stands is one row a record, computed from its revisions and from nothing else. A change made
here rests on all that stood and ranks above it, so its own values are the row. Where revisions came
from elsewhere, in whatever order, `project` computes the rows from all that are there;
`file.integrity` does the same and compares. `put_rows` places rows and keeps the tally: how many
attempts a setter has, and a digest that is new after every change that concerns the setter.
"""

import json
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from itertools import islice
from typing import TYPE_CHECKING, Any, Self, TypeVar

from platebook.logbook.defaults import former_replicas
from platebook.logbook.errors import LogbookError
from platebook.logbook.file.connection import Database
from platebook.logbook.history.revisions import (
    Ids,
    add_revisions,
    batches,
    highest_counter,
    replica_of,
    revisions_of,
)
from platebook.logbook.record_kinds import SCHEMA, WITHOUT_TIME, Kind, kind_named, kind_words, kinds
from platebook.logbook.row_values import Stored, as_json
from platebook.practice.revision import Change, Revision, clash, current, heads
from platebook.trade.phrases import count_of
from platebook.values import Value

if TYPE_CHECKING:
    from platebook.logbook.signing.signatures import Signer


class RecordChange(Value):
    """One record as a change leaves it: its row, and `record`, the same as JSON text.

    Both are made from the same values, so that what stands is what the revision says.
    """

    kind: str
    record_id: str
    row: Mapping[str, Stored]
    record: str
    hidden: bool = False

    @classmethod
    def of(
        cls, kind: str, record_id: str, row: Mapping[str, Stored], *, hidden: bool = False
    ) -> Self:
        """The entry that leaves a record as this row, under this id."""
        whole = {**row, kind_named(kind).key: record_id}
        return cls(kind, record_id, whole, as_json(whole), hidden)

    @classmethod
    def again(cls, revision: Revision, *, hidden: bool) -> Self:
        """The entry that leaves a record as this revision of it did, word for word."""
        return cls(revision.kind, revision.record_id, revision.row, revision.record, hidden)


Row = TypeVar("Row")


def unwatched() -> None:
    """Nobody is told."""


class Stamp(Value):
    """Who does what, when, and where its ids come from.

    `reverts` is the change that an undo or redo is about. `each_row` is called three times a record
    while a change of new records is kept: it is made, its revision is kept, it is placed. `signer`
    is whose key signs it, None for what is left unsigned: the invented class, and what only tests
    write.
    """

    author: str
    now: datetime
    what: str
    ids: Ids
    reverts: str | None = None
    each_row: Callable[[], None] = unwatched
    signer: "Signer | None" = None


ROUNDS = 3
"""How often `each_row` is called for a record."""


def write(db: Database, entries: Sequence[RecordChange], stamp: Stamp) -> Change:
    """Make one change of these entries, each of another record.

    LogbookError where it would leave an attempt without its setter, or where a newer program wrote
    what stands; nothing is kept then.
    """
    touched: dict[str, list[str]] = {}
    for entry in entries:
        touched.setdefault(entry.kind, []).append(entry.record_id)
    known = {kind: revisions_of(db, kind, record_ids) for kind, record_ids in touched.items()}
    change = Change(
        change_id=stamp.ids.one(stamp.now),
        replica=replica_of(db),
        author=stamp.author,
        counter=highest_counter(db) + 1,
        wall=stamp.now,
        what=stamp.what,
        reverts=stamp.reverts,
    )
    standing = {
        (kind, record_id): heads(revisions)
        for kind, of_kind in known.items()
        for record_id, revisions in of_kind.items()
    }
    _refuse_newer(revision for latest in standing.values() for revision in latest)
    revisions = [
        Revision(
            revision_id=revision_id,
            kind=entry.kind,
            record_id=entry.record_id,
            parents=tuple(r.revision_id for r in standing.get((entry.kind, entry.record_id), ())),
            change=change,
            schema=SCHEMA,
            hidden=entry.hidden,
            record=entry.record,
        )
        for entry, revision_id in zip(entries, stamp.ids.take(len(entries), stamp.now), strict=True)
    ]
    add_revisions(db, revisions)
    if stamp.signer is not None:
        from platebook.logbook.signing.signatures import sign_revisions

        sign_revisions(db, stamp.signer, revisions, stamp.now)
    rows = _rows_of(_told(entries, stamp.each_row), revisions)
    _check_owners(db, put_rows(db, rows, change.change_id, each_row=stamp.each_row))
    return change


def last_changed(db: Database) -> datetime | None:
    """When the newest change was signed, by the clocks of those who signed; None before any."""
    (newest,) = db.execute("SELECT max(wall_us) FROM change").fetchone()
    return None if newest is None else datetime.fromtimestamp(newest / 1_000_000, UTC)


def first_changed(db: Database) -> datetime | None:
    """When the first change here was signed; None before any."""
    query = "SELECT wall_us FROM change ORDER BY counter, change_id LIMIT 1"
    row = db.execute(query).fetchone()
    return None if row is None else datetime.fromtimestamp(row[0] / 1_000_000, UTC)


def last_changed_here(db: Database) -> datetime | None:
    """When the last change was made in this logbook, by its clock then; None before any."""
    own = (replica_of(db), *former_replicas(db))
    query = (
        "SELECT wall_us FROM change WHERE replica IN (SELECT value FROM json_each(?))"
        " ORDER BY counter DESC LIMIT 1"
    )
    row = db.execute(query, [json.dumps(own)]).fetchone()
    return None if row is None else datetime.fromtimestamp(row[0] / 1_000_000, UTC)


def _rows_of(
    entries: Iterable[RecordChange], revisions: Sequence[Revision]
) -> dict[str, list[dict[str, Stored | None]]]:
    """The rows that stand after these revisions, by kind.

    Each rests on all that stood of its record and has the highest counter, so it is what counts and
    clashes with nothing. Kinds that this program does not know have no row.
    """
    rows: dict[str, list[dict[str, Stored | None]]] = {}
    for entry, revision in zip(entries, revisions, strict=True):
        kind = kinds().get(entry.kind)
        if kind is not None:
            record = {**entry.row, kind.key: entry.record_id}
            row = whole_row(kind, record, revision_id=revision.revision_id, hidden=revision.hidden)
            rows.setdefault(entry.kind, []).append(row)
    return rows


def _told(rows: Iterable[Row], each_row: Callable[[], None]) -> Iterator[Row]:
    """The rows one after the other, each told of."""
    for row in rows:
        each_row()
        yield row


def _refuse_newer(known: Iterable[Revision]) -> None:
    for revision in known:
        if revision.schema > SCHEMA:
            message = (
                f"The {kind_words(revision.kind)} {revision.record_id} was last changed by a newer "
                "platebook. It can be read here and not changed. Use the newer program."
            )
            raise LogbookError("newer", message)


def _check_owners(db: Database, setter_ids: frozenset[str]) -> None:
    for batch in batches(sorted(setter_ids)):
        rows = db.execute(
            "SELECT t.setter_id, t.attempts, s.name FROM tally AS t LEFT JOIN setter AS s"
            " USING (setter_id) WHERE t.setter_id IN (SELECT value FROM json_each(?))"
            " AND t.attempts > 0 AND coalesce(s.hidden, 1)",
            [batch],
        )
        for setter_id, attempts, name in rows:
            if name is None:
                message = f"There is no setter with the id {setter_id}. Nothing was changed."
                raise LogbookError("unknown", message)
            stand = count_of(attempts, "attempt that stands", "attempts that stand")
            message = f"{name} has {stand}, and so stays."
            raise LogbookError("refused", f"{message} Nothing was changed.")


_ROWS_AT_ONCE = 2_000

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
    record = counts.row | {kind.key: counts.record_id}
    return whole_row(
        kind,
        record,
        revision_id=counts.revision_id,
        hidden=counts.hidden,
        clash=clash(known),
    )


def owners(db: Database, kind: Kind, record_ids: Iterable[str]) -> dict[str, tuple[str, bool]]:
    """Whose each of these records is, as it stands, "" for nobody's, and whether it is hidden."""
    if kind.owner == "attempt":
        owned = "inspection AS own JOIN attempt USING (attempt_id)"
        setter_id = "attempt.setter_id"
    else:
        owned = f"{kind.name} AS own"
        setter_id = "ifnull(own.setter_id, '')" if kind.owner_column else "''"
    owner_of: dict[str, tuple[str, bool]] = {}
    for batch in batches(record_ids):
        rows = db.execute(
            f"SELECT own.{kind.key}, {setter_id}, own.hidden FROM {owned}"  # noqa: S608 - names of our own
            f" WHERE own.{kind.key} IN (SELECT value FROM json_each(?))",
            [batch],
        )
        owner_of |= {record_id: (owner, bool(hidden)) for record_id, owner, hidden in rows}
    return owner_of


def project(db: Database, touched: Mapping[str, Iterable[str]], digest: str) -> frozenset[str]:
    """Bring the rows of these records (ids by kind) up to date; gives the setters concerned.

    Kinds that this program does not know keep their revisions and have no row. Some records are
    brought up to date after the others: the rows of a whole school would fill the memory.
    """
    concerned: frozenset[str] = frozenset()
    for kind in kinds().values():
        record_ids = iter(touched.get(kind.name, ()))
        while some := list(islice(record_ids, _ROWS_AT_ONCE)):
            known = revisions_of(db, kind.name, some).values()
            rows = [standing_row(kind, revisions) for revisions in known]
            concerned |= put_rows(db, {kind.name: rows}, digest)
    return concerned


def put_rows(
    db: Database,
    rows: Mapping[str, Sequence[Mapping[str, Stored | None]]],
    digest: str,
    *,
    each_row: Callable[[], None] = unwatched,
) -> frozenset[str]:
    """Place these rows (by kind) as what stands; gives the setters concerned."""
    moved: Counter[str] = Counter()
    for kind in kinds().values():
        standing = rows.get(kind.name)
        if not standing:
            continue
        record_ids = [str(row[kind.key]) for row in standing]
        before = owners(db, kind, record_ids)
        db.conn.executemany(kind.upsert, _told(standing, each_row))
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
    column = kind.owner_column or ""
    return {str(row[kind.key]): (str(row.get(column) or ""), bool(row["hidden"])) for row in rows}


def row_of(db: Database, kind: Kind, record_id: str) -> dict[str, Any] | None:
    """The row of one record, hidden or not; None where there is none."""
    query = f"SELECT * FROM {kind.name} WHERE {kind.key} = ?"  # noqa: S608 - names of our own
    return next(iter(db.query(query, [record_id])), None)
