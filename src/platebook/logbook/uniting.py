"""Taking in the revisions of other logbooks.

It is a set union: in any order, any number of times, in one go or in parts, the same revisions give
the same logbook. What was erased here stays away.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from platebook.logbook.connecting import Database, writing
from platebook.logbook.erasing import erased_among
from platebook.logbook.revisions import add_revisions, batches, json_row
from platebook.logbook.standing import project
from platebook.practice.revision import Revision

_OWNED_BY = ("setter_id", "attempt_id")


@dataclass(frozen=True, slots=True)
class United:
    """What came of it: how many revisions were new, were here already, or are of someone erased."""

    added: int
    known: int
    erased: int


def unite(db: Database, revisions: Iterable[Revision], digest: str) -> United:
    """Take in these revisions as one transaction; `digest` marks the setters concerned."""
    given = {revision.revision_id: revision for revision in revisions}
    with writing(db):
        known = _known_among(db, given)
        new = [revision for key, revision in given.items() if key not in known]
        about = {revision.revision_id: _about(revision) for revision in new}
        erased = erased_among(db, set().union(*about.values()))
        kept = [r for r in new if not about[r.revision_id] & erased]
        add_revisions(db, kept)
        touched: dict[str, set[str]] = {}
        for revision in kept:
            touched.setdefault(revision.kind, set()).add(revision.record_id)
        project(db, touched, digest)
    return United(added=len(kept), known=len(known), erased=len(new) - len(kept))


def _about(revision: Revision) -> frozenset[str]:
    """The ids whose erasing takes this revision with it."""
    row = json_row(revision)
    return frozenset({revision.record_id, *(row[name] for name in _OWNED_BY if name in row)})


def _known_among(db: Database, revision_ids: Iterable[str]) -> frozenset[str]:
    found: set[str] = set()
    for batch in batches(revision_ids):
        rows = db.execute(
            "SELECT revision_id FROM revision"
            " WHERE revision_id IN (SELECT value FROM json_each(?))",
            [batch],
        )
        found |= {row[0] for row in rows}
    return frozenset(found)
