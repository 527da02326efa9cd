"""Taking an erased person's name off what they said of others: looks and sign-offs stay, unsigned.

A revision is never written over but for this one word, and the word wins: where one logbook has it
and another has the name still, the name goes there too.
"""

import dataclasses
import json
from collections.abc import Iterable, Mapping

from platebook.logbook.connecting import Database
from platebook.logbook.rows import as_json
from platebook.practice.revision import Revision
from platebook.practice.setter import name_key

NOBODY = "erased"
"""Stands where an erased person had signed."""

SIGNED_IN: Mapping[str, str] = {"inspection": "inspector", "sign_off": "signed_by"}
"""The field of each kind that says who looked or signed."""


def take_names_off(db: Database, signed: Iterable[str]) -> None:
    """Leave `NOBODY` where one of these ids or names stands, in what stands and in its past."""
    keys = {name_key(one) for one in signed}
    for kind, field in SIGNED_IN.items():
        rows = db.execute(
            "SELECT revision_id, record, json_extract(record, ?) FROM revision WHERE kind = ?",
            [f"$.{field}", kind],
        ).fetchall()
        for revision_id, record, name in rows:
            if isinstance(name, str) and name_key(name) in keys:
                _write(db, kind, revision_id, record)


def follow(db: Database, given: Mapping[str, Revision], known: Mapping[str, Revision]) -> int:
    """Take names off what is here where the same revision comes without its name; gives how many.

    The other way round nothing is done: a name that was taken off does not come back.
    """
    lost = [here for key, here in known.items() if is_unnamed(given[key]) and not is_unnamed(here)]
    for here in lost:
        _write(db, here.kind, here.revision_id, here.record)
    return len(lost)


def is_unnamed(revision: Revision) -> bool:
    """Whether somebody's name was taken off this revision."""
    field = SIGNED_IN.get(revision.kind)
    return field is not None and revision.row.get(field) == NOBODY


def alike(one: Revision, other: Revision) -> tuple[Revision, Revision]:
    """Both without their name where one of them has lost it, so that the rest is compared."""
    if one.kind == other.kind and (is_unnamed(one) or is_unnamed(other)):
        return _unnamed(one), _unnamed(other)
    return one, other


def unnamed(kind: str, record: str) -> str:
    """The record without who looked or signed."""
    return as_json(json.loads(record) | {SIGNED_IN[kind]: NOBODY})


def _unnamed(revision: Revision) -> Revision:
    return dataclasses.replace(revision, record=unnamed(revision.kind, revision.record))


def _write(db: Database, kind: str, revision_id: str, record: str) -> None:
    left = [unnamed(kind, record), revision_id]
    db.execute("UPDATE revision SET record = ? WHERE revision_id = ?", left)
    db.execute(
        f"UPDATE {kind} SET {SIGNED_IN[kind]} = ? WHERE revision_id = ?",  # noqa: S608 - names of our own
        [NOBODY, revision_id],
    )
