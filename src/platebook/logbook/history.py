"""The past of one record: every version of it, who made it when, and whether two stand."""

from collections.abc import Iterable
from dataclasses import dataclass

from platebook.logbook.errors import LogbookError
from platebook.logbook.file.connection import Database
from platebook.logbook.record_kinds import Kind, Record, kind_named, kinds
from platebook.logbook.revisions import batches, json_row, revisions_of
from platebook.practice.revision import Revision, heads


@dataclass(frozen=True, slots=True)
class Version:
    """One version of a record: the revision, and the record itself where it can be read here.

    `stands` says that no other version was made from it; where two stand there is a clash, and the
    last one counts until somebody settles it.
    """

    revision: Revision
    record: Record | None
    stands: bool


@dataclass(frozen=True, slots=True)
class History:
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
        return kind.record_of(json_row(revision))
    except LogbookError:
        return None


def clashing(db: Database, kind: str, record_ids: Iterable[str]) -> frozenset[str]:
    """Those of these records of which two versions stand side by side."""
    key = kind_named(kind).key
    found: set[str] = set()
    for batch in batches(record_ids):
        rows = db.execute(
            f"SELECT {key} FROM {kind} WHERE clash"  # noqa: S608 - names of our own
            f" AND {key} IN (SELECT value FROM json_each(?))",
            [batch],
        )
        found |= {row[0] for row in rows}
    return frozenset(found)


def clashes(db: Database) -> tuple[tuple[str, str], ...]:
    """Kind and id of every record of which two versions stand side by side."""
    found: list[tuple[str, str]] = []
    for kind in kinds().values():
        rows = db.execute(f"SELECT {kind.key} FROM {kind.name} WHERE clash ORDER BY 1")  # noqa: S608 - names of our own
        found += [(kind.name, record_id) for (record_id,) in rows]
    return tuple(found)
