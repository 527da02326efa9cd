"""Writing a change: one command, one transaction, one revision for each record it concerns.

Everything that changes a record goes through `write`, inside `connecting.writing`, which keeps all
of it or nothing. The change gets the next counter, each revision rests on what stood before, and
the rows of what stands now are made from the same values.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Self

from platebook.logbook.current_rows import put_rows, whole_row
from platebook.logbook.errors import LogbookError
from platebook.logbook.file.connection import Database
from platebook.logbook.record_kinds import SCHEMA, kind_named, kinds
from platebook.logbook.revisions import (
    Ids,
    add_revisions,
    batches,
    highest_counter,
    json_row,
    replica_of,
    revisions_of,
)
from platebook.logbook.row_values import Stored, as_json
from platebook.practice.revision import Change, Revision, heads


@dataclass(frozen=True, slots=True)
class RecordChange:
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
        row = json_row(revision)
        return cls(revision.kind, revision.record_id, row, revision.record, hidden)


@dataclass(frozen=True, slots=True)
class Stamp:
    """Who does what, when, and where its ids come from.

    `reverts` is the change that an undo or redo is about.
    """

    author: str
    now: datetime
    what: str
    ids: Ids
    reverts: str | None = None


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
        for kind, found in known.items()
        for record_id, revisions in found.items()
    }
    _refuse_newer(revision for found in standing.values() for revision in found)
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
    _check_owners(db, put_rows(db, _rows_of(entries, revisions), change.change_id))
    return change


def _rows_of(
    entries: Sequence[RecordChange], revisions: Sequence[Revision]
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


def _refuse_newer(known: Iterable[Revision]) -> None:
    for revision in known:
        if revision.schema > SCHEMA:
            message = (
                f"The {revision.kind} {revision.record_id} was last changed by a newer platebook. "
                "It can be read here and not changed. Use the newer program."
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
            stand = "1 attempt that stands" if attempts == 1 else f"{attempts} attempts that stand"
            message = f"{name} has {stand}, and so stays."
            raise LogbookError("refused", f"{message} Nothing was changed.")
