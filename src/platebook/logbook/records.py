"""Adding, correcting and hiding records of any kind, each as one change."""

from collections import Counter
from collections.abc import Iterable, Sequence

from platebook.logbook.belongings import require_setter
from platebook.logbook.connecting import Database, writing
from platebook.logbook.errors import LogbookError
from platebook.logbook.kinds import Record, kind_named
from platebook.logbook.revisions import batches, revisions_of
from platebook.logbook.standing import row_of
from platebook.logbook.writing import Entry, Stamp, write
from platebook.practice.revision import Change, Revision, clash


def add(
    db: Database,
    new: Sequence[Entry],
    stamp: Stamp,
    *,
    whose: Iterable[str | None],
) -> Change:
    """Add new records as one change; all of it or none.

    `whose` are the setters the records belong to. LogbookError for one that is neither known nor
    among the new, and where an id is taken. A record that was taken out comes
    back under its own id, as a new version.
    """
    added = {entry.record_id for entry in new if entry.kind == "setter"}
    with writing(db):
        for setter_id in set(whose) - added:
            require_setter(db, setter_id)
        for kind in dict.fromkeys(entry.kind for entry in new):
            _refuse_taken(db, kind, [e.record_id for e in new if e.kind == kind])
        return write(db, new, stamp)


def amend(db: Database, kind: str, record_id: str, record: Record, stamp: Stamp) -> Change | None:
    """Leave the record as this value; None, and nothing written, where it is so already.

    Where two versions stand, this settles it. Whose the record is stays where the value has no
    word of it.
    """
    shape = kind_named(kind)
    with writing(db):
        revisions = _known(db, kind, record_id)
        if revisions[-1].hidden:
            message = f"The {kind} {record_id} was taken out. Put it back before changing it."
            raise LogbookError("refused", message)
        row = row_of(db, shape, record_id) or {}
        entry = Entry.of(kind, record_id, shape.row_of(record, row.get("setter_id")))
        if entry.record == revisions[-1].record and not clash(revisions):
            return None
        return write(db, [entry], stamp)


def hide(db: Database, kind: str, record_ids: Iterable[str], stamp: Stamp) -> Change | None:
    """Take records out of what stands, their past kept; None where all are out already."""
    with writing(db):
        last = {record_id: _known(db, kind, record_id)[-1] for record_id in record_ids}
        entries = [
            Entry.again(revision, hidden=True) for revision in last.values() if not revision.hidden
        ]
        return write(db, entries, stamp) if entries else None


def _known(db: Database, kind: str, record_id: str) -> tuple[Revision, ...]:
    revisions = revisions_of(db, kind, [record_id]).get(record_id)
    if revisions is None:
        message = f"There is no {kind} with the id {record_id}. Nothing was changed."
        raise LogbookError("unknown", message)
    return revisions


def taken(db: Database, kind: str, record_ids: Iterable[str]) -> frozenset[str]:
    """Those of these ids that no new record may have: one that stands has it, or one erased had."""
    key = kind_named(kind).key
    found: set[str] = set()
    for batch in batches(record_ids):
        for ids in (
            f"SELECT {key} AS id FROM {kind} WHERE hidden = 0",  # noqa: S608 - names of our own
            "SELECT record_id AS id FROM tombstone",
        ):
            query = f"SELECT id FROM ({ids}) WHERE id IN (SELECT value FROM json_each(?))"  # noqa: S608 - one of two
            found |= {row[0] for row in db.execute(query, [batch])}
    return frozenset(found)


def _refuse_taken(db: Database, kind: str, record_ids: Sequence[str]) -> None:
    twice = {record_id for record_id, times in Counter(record_ids).items() if times > 1}
    if found := sorted(taken(db, kind, record_ids) | twice):
        shown = ", ".join(found[:3])
        more = f" and {len(found) - 3} more" if len(found) > 3 else ""
        message = f"The {kind} id {shown}{more} is taken already. Nothing was added."
        raise LogbookError("duplicate", message)
