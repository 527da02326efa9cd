"""A record as a person knows it: whose it is, and when it was saved last.

For sentences about records that are not whole, so that nothing here raises: what cannot be read is
left out.
"""

import json

from platebook.logbook.file.connection import Database
from platebook.logbook.history.changes import owners
from platebook.logbook.history.revisions import SELECT_REVISIONS, change_from
from platebook.logbook.record_kinds import kind_words, kinds
from platebook.trade.phrases import moment_words

UNREADABLE = (ValueError, KeyError, TypeError, OverflowError)
"""What making a value of a row raises whose bytes were changed on the disk."""


def record_words(db: Database, kind: str, record_id: str, *, when: bool = True) -> str:
    """The attempt 0198... (Ada Quill, saved last on 12 March 2026 at 18:30), or without `when`."""
    saved = _saved(db, kind, record_id) if when else ""
    beside = ", ".join(filter(None, (_whose(db, kind, record_id), saved)))
    return f"The {kind_words(kind)} {record_id}" + (f" ({beside})" if beside else "")


def person_words(db: Database, person_id: str) -> str:
    """Setter 0198... (Ada Quill)."""
    name = _name(db, person_id)
    return f"Setter {person_id}" + (f" ({name})" if name else "")


def _name(db: Database, person_id: object) -> str:
    if not isinstance(person_id, str):
        return ""
    query = (
        "SELECT name FROM setter WHERE setter_id = ?1"
        " UNION ALL SELECT name FROM teacher WHERE teacher_id = ?1"
    )
    row = db.execute(query, [person_id]).fetchone()
    return str(row[0]) if row is not None else ""


def _whose(db: Database, kind: str, record_id: str) -> str:
    """The name of the person whose it is or who it is; empty where that is not known."""
    if kind in {"setter", "teacher"}:
        return _name(db, record_id)
    known = kinds().get(kind)
    stands = owners(db, known, [record_id]) if known is not None else {}
    if (owner := stands.get(record_id, ("", False))[0]) and (name := _name(db, owner)):
        return name
    query = (
        "SELECT record FROM revision WHERE kind = ? AND record_id = ?"
        " ORDER BY revision_id DESC LIMIT 1"
    )
    row = db.execute(query, [kind, record_id]).fetchone()
    try:
        return _name(db, json.loads(row[0]).get("setter_id"))
    except (*UNREADABLE, AttributeError):
        return ""


def _saved(db: Database, kind: str, record_id: str) -> str:
    query = (
        f"SELECT * FROM ({SELECT_REVISIONS}) WHERE kind = ? AND record_id = ?"  # noqa: S608 - no outside text
        " ORDER BY counter DESC LIMIT 1"
    )
    try:
        for row in db.query(query, [kind, record_id]):
            return f"saved last on {moment_words(change_from(row).wall)}"
    except UNREADABLE:
        pass
    return ""
