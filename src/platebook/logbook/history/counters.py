"""The counters of changes: how far they may run ahead, and mending a logbook whose own did.

A counter is one more than that of every change its logbook knew, so all later changes count on from
the highest one. No honest counter is far over the number of changes there are. One that is, made by
hand or by a fault, is refused at the door; a logbook that has one is mended by counting on without
a gap from the last sound one, in the same order, so that nothing else about it changes.

Two logbooks may mend the same changes to different counters. The lowest word about a change stands,
also where it follows from what was made of it; so in any order all come to the same.
"""

from collections.abc import Iterable, Mapping

from platebook.logbook.defaults import default, set_default
from platebook.logbook.errors import LogbookError
from platebook.logbook.file.checksums import altered_history, bytes_as_they_are, fill_checksums
from platebook.logbook.file.connection import Database, writing
from platebook.logbook.history.revisions import (
    changes_among,
    highest_counter,
    revisions_among,
    revisions_in,
)
from platebook.practice.revision import Revision
from platebook.values import Value

REACH = 10_000_000
"""How far a counter may be over the number of changes known: what others did and this logbook was
never told of. More commands than the schools of a country give in years (judgement)."""

_MENDED = "counters mended"


def refuse_runaways(db: Database, new: Iterable[Revision]) -> None:
    """LogbookError for changes from elsewhere whose counter no logbook reaches."""
    changes = {revision.change.change_id: revision.change for revision in new}
    if not changes:
        return
    most = _changes(db) + len(changes) + REACH
    furthest = max(changes.values(), key=lambda change: change.counter)
    if not 0 < furthest.counter <= most:
        raise LogbookError(
            "value",
            f"Its changes are numbered up to {furthest.counter}, far ahead of how many there can "
            f"be (last {furthest.what!r} by {furthest.author}). Taken in, it would make your own "
            "logbook unreadable for others. Its owner can mend it: platebook check --mend. "
            "Nothing of it was taken in.",
        )


def runaway(db: Database) -> str | None:
    """A sentence where this logbook's own counters ran ahead; None where they are sound."""
    mended = _mended_counters(db)
    if not mended:
        return None
    return (
        f"Changes are numbered up to {max(mended)}, far ahead of how many there are: a bundle "
        "brought such a number, and others cannot take in yours. platebook check --mend keeps a "
        "copy and numbers them anew."
    )


class Renumbered(Value):
    """What mending did: how many changes have another number, the highest before, and now."""

    changes: int
    highest_before: int
    highest: int


def mend(db: Database) -> Renumbered | None:
    """Number the changes anew from the first that ran ahead; None where none did.

    LogbookError where something does not read as it was saved: the numbered rows get new checksums,
    which would vouch for what was altered.
    """
    with writing(db):
        mended = _mended_counters(db)
        if not mended:
            return None
        refuse_altered(db)
        db.execute("CREATE TEMP TABLE renumbered (old INTEGER PRIMARY KEY, new INTEGER NOT NULL)")
        db.conn.executemany("INSERT INTO renumbered VALUES (?, ?)", mended.items())
        moved = "IN (SELECT old FROM renumbered)"
        query = f"SELECT count(*) FROM change WHERE counter {moved}"  # noqa: S608 - a text of our own
        changes = int(db.execute(query).fetchone()[0])
        for table in ("change", "revision"):
            db.execute(
                f"UPDATE {table} SET counter = (SELECT new FROM renumbered WHERE old = counter),"  # noqa: S608 - names of our own
                f" checksum = NULL WHERE counter {moved}"
            )
        db.execute("DROP TABLE renumbered")
        fill_checksums(db)
        set_default(db, _MENDED, "yes")
    return Renumbered(changes, max(mended), max(mended.values()))


def refuse_altered(db: Database) -> None:
    """LogbookError, with the first of it, where the history does not read as it was saved."""
    with bytes_as_they_are(db):
        first = next(altered_history(db), None)
    if first is not None:
        raise LogbookError(
            "refused",
            f"{first} Numbering anew would hide that, so nothing was changed. Put back a backup "
            "from before: platebook check tells all that was altered.",
        )


def follow_lower(
    db: Database, incoming: Mapping[str, Revision], known: Mapping[str, Revision]
) -> dict[str, set[str]]:
    """Take the lower counter where two words about one change differ; gives records by kind.

    Only where counters ran ahead here, or were mended: in any other logbook a change has one
    counter for good, and another one is another content.
    """
    if not may_follow(db):
        return {}
    words: dict[str, int] = {}
    for key, here in known.items():
        said = incoming[key].change
        if said.counter < here.change.counter:
            words[said.change_id] = said.counter
    new = [revision for key, revision in incoming.items() if key not in known]
    parents = revisions_among(db, {key for r in new for key in r.parents if key not in incoming})
    for revision in new:
        for key in revision.parents:
            parent = parents.get(key)
            if parent is not None and parent.change.counter >= revision.change.counter:
                most = revision.change.counter - 1
                words[parent.change.change_id] = min(most, words.get(parent.change.change_id, most))
    return _lower(db, words)


def may_follow(db: Database) -> bool:
    """Whether counters here ran ahead, or did once, so that others may say them lower."""
    return default(db, _MENDED) is not None or bool(_mended_counters(db))


def _lower(db: Database, words: Mapping[str, int]) -> dict[str, set[str]]:
    """Lower these changes, and what they were made from as far as it has to be."""
    touched: dict[str, set[str]] = {}
    waiting = dict(words)
    while waiting:
        change_id, counter = waiting.popitem()
        change = changes_among(db, [change_id]).get(change_id)
        if change is None or change.counter <= counter:
            continue
        if counter < 1:
            message = "Its changes rest on others that were made later, which cannot be."
            raise LogbookError("value", f"{message} Nothing of it was taken in.")
        for table in ("change", "revision"):
            db.execute(
                f"UPDATE {table} SET counter = ?, checksum = NULL WHERE change_id = ?",  # noqa: S608 - names of our own
                [counter, change_id],
            )
        for revision in revisions_in(db, change_id):
            touched.setdefault(revision.kind, set()).add(revision.record_id)
            for parent in revisions_among(db, revision.parents).values():
                if parent.change.counter >= counter:
                    most = counter - 1
                    waiting[parent.change.change_id] = min(
                        most, waiting.get(parent.change.change_id, most)
                    )
    if touched:
        fill_checksums(db)
    return touched


def _changes(db: Database) -> int:
    return int(db.execute("SELECT count(*) FROM change").fetchone()[0])


def _mended_counters(db: Database) -> dict[int, int]:
    """The counters from the first that ran ahead on, with what each is to be."""
    if highest_counter(db) <= REACH:
        return {}
    rows = db.execute("SELECT counter, count(*) FROM change GROUP BY counter ORDER BY counter")
    below = last = 0
    mended: dict[int, int] = {}
    for counter, changes in rows.fetchall():
        if mended or counter > below + REACH:
            last += 1
            mended[counter] = last
        else:
            last = counter
        below += changes
    return mended
