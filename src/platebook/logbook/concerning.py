"""Which revisions concern one setter: theirs, and what others say of theirs.

That is the setter, tools, plates and attempts, what was drawn, looked at and signed of theirs, and
whoever looked and signed. An entry that was made one with the setter's counts as the setter.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from platebook.logbook.belongings import ids_of
from platebook.logbook.connecting import Database
from platebook.logbook.kinds import kinds
from platebook.practice.revision import Revision


@dataclass
class _Circle:
    """Who the setter is, and which records are theirs, as far as is known."""

    people: set[str]
    records: set[str] = field(default_factory=set)


def concerning(db: Database, setter_id: str, given: Iterable[Revision]) -> tuple[Revision, ...]:
    """Those of these revisions that concern the setter, by what they and this logbook say."""
    rows = [(revision, revision.row) for revision in given]
    circle = _grown(db, _Circle({setter_id}), rows)
    inspectors = {
        row[name]
        for revision, row in rows
        for name in ("inspector", "signed_by")
        if name in row
        and (row.get("attempt_id") in circle.records or revision.record_id in circle.records)
    }
    return tuple(
        revision
        for revision, row in rows
        if revision.record_id in circle.records | circle.people
        or row.get("attempt_id") in circle.records
        or (revision.kind == "setter" and revision.record_id in inspectors)
    )


def _grown(
    db: Database, circle: _Circle, rows: Iterable[tuple[Revision, dict[str, Any]]]
) -> _Circle:
    looked_at: set[str] = set()
    while circle.people - looked_at:
        for person in circle.people - looked_at:
            for kind in kinds().values():
                circle.records |= set(ids_of(db, kind, person))
        looked_at = set(circle.people)
        for revision, row in rows:
            owner = row.get("setter_id")
            if revision.kind != "setter" and owner in circle.people:
                circle.records.add(revision.record_id)
        for revision, row in rows:
            owner = row.get("setter_id")
            if revision.record_id in circle.records and revision.kind != "setter" and owner:
                circle.people.add(owner)
    return circle
