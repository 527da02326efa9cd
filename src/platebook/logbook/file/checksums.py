"""Does all that was saved still read as it was saved? A bit that flipped on the disk is told.

SQLite keeps no checksum of its pages, so a bit that flips inside a note or a number leaves a sound
file with another content. A change and a revision are saved with a checksum of all they say; what
is small and kept beside the records stands there twice.
"""

import hashlib
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from platebook.logbook.file.connection import Database
from platebook.logbook.file.record_words import UNREADABLE, record_words
from platebook.logbook.history.revisions import SELECT_REVISIONS, change_from, revision_from
from platebook.logbook.signing.signatures import fits
from platebook.practice.revision import Signature
from platebook.trade.phrases import moment_words

_Row = Mapping[str, Any]

_BATCH = 2000


def fill_checksums(db: Database) -> None:
    """Give the changes and revisions that have no checksum theirs, inside a transaction.

    An older program saved none, and what loses a name for good is said anew. A row that cannot be
    read gets none, and the check names it.
    """
    _fill(db, "change", "SELECT c.* FROM change AS c", "c", _of_change)
    _fill(db, "revision", SELECT_REVISIONS, "r", _of_revision)


def _fill(
    db: Database, table: str, select: str, alias: str, of: Callable[[_Row], str | None]
) -> None:
    """The same for one table, whose rows `select` gives under this alias."""
    last = ""
    key = f"{table}_id"
    own_key = f"{alias}.{key}"
    query = (
        f"{select} WHERE {alias}.checksum IS NULL AND {own_key} > ?"
        f" ORDER BY {own_key} LIMIT {_BATCH}"
    )
    while rows := list(db.query(query, [last])):
        last = rows[-1][key]
        db.conn.executemany(
            f"UPDATE {table} SET checksum = ? WHERE {key} = ?",  # noqa: S608 - names of our own
            [(of(row), row[key]) for row in rows],
        )


def _of_change(row: _Row) -> str | None:
    try:
        return change_from(row).checksum
    except UNREADABLE:
        return None


def _of_revision(row: _Row) -> str | None:
    try:
        return revision_from(row).checksum
    except UNREADABLE:
        return None


@contextmanager
def bytes_as_they_are(db: Database) -> Iterator[None]:
    """Let texts that are no text any more be read: their odd bytes stand as codes in them."""
    before = db.conn.text_factory
    db.conn.text_factory = lambda data: data.decode("utf-8", "backslashreplace")
    try:
        yield
    finally:
        db.conn.text_factory = before


def altered(db: Database) -> Iterator[str]:
    """A sentence for each thing that does not read as it was saved."""
    yield from altered_history(db)
    yield from _altered_course_texts(db)
    yield from _altered_beside(db)


def altered_history(db: Database) -> Iterator[str]:
    """The same of changes and revisions alone."""
    yield from _altered_changes(db)
    yield from _altered_revisions(db)
    yield from _altered_signatures(db)


def _altered_changes(db: Database) -> Iterator[str]:
    for row in db.query("SELECT * FROM change ORDER BY change_id"):
        read = _of_change(row)
        if read is None or read != row["checksum"]:
            yield (
                f"The change {row['change_id']} ({row['what']}, by {row['author']}) does not read"
                f" as it was saved{_when(row)}."
            )


def _altered_revisions(db: Database) -> Iterator[str]:
    for row in db.query(f"{SELECT_REVISIONS} ORDER BY r.revision_id"):
        read = _of_revision(row)
        if read is None or read != row["own_checksum"] or row["own_counter"] != row["counter"]:
            yield (
                f"{record_words(db, row['kind'], row['record_id'], when=False)} does not read as"
                f" it was saved{_when(row)} (revision {row['revision_id']})."
            )


def _altered_signatures(db: Database) -> Iterator[str]:
    """A sentence for each revision whose signature does not fit what it says, or that is none's."""
    query = (
        f"SELECT q.*, s.key, s.signature FROM ({SELECT_REVISIONS}) AS q"  # noqa: S608 - no outside text
        " JOIN signature AS s ON s.of_id = q.revision_id ORDER BY q.revision_id"
    )
    for row in db.query(query):
        try:
            fitting = fits(revision_from(row).statement, Signature(row["key"], row["signature"]))
        except UNREADABLE:
            continue  # it was named before
        if not fitting:
            yield (
                f"{record_words(db, row['kind'], row['record_id'], when=False)} does not read as"
                f" it was signed{_when(row)}"
                f" (revision {row['revision_id']})."
            )
    lost = (
        "SELECT of_id FROM signature WHERE of_id NOT IN (SELECT revision_id FROM revision)"
        " AND of_id NOT IN (SELECT record_id FROM tombstone)"
        " AND of_id NOT IN (SELECT record_id FROM held_erasing)"
    )
    for (of_id,) in db.execute(lost).fetchall():
        yield f"A signature, of {of_id}, does not read as it was saved."


def _when(row: _Row) -> str:
    try:
        return f" on {moment_words(change_from(row).wall)}"
    except UNREADABLE:
        return ""


def _altered_course_texts(db: Database) -> Iterator[str]:
    for row in db.query("SELECT course, version, digest, text FROM course_text ORDER BY digest"):
        if hashlib.sha256(row["text"].encode("utf-8")).hexdigest() != row["digest"]:
            yield (
                f"The text of the course {row['course']}, version {row['version']}, does not read"
                " as it was saved."
            )


_BESIDE = {
    "replica": "SELECT CAST(only AS TEXT), replica FROM replica",
    "default_value": "SELECT name, value FROM default_value",
    "tombstone": (
        "SELECT record_id, kind || ' ' || replica || ' ' || erased_us AS content FROM tombstone"
    ),
    "course_text": "SELECT digest, course || ' ' || version AS content FROM course_text",
    "known_key": (
        "SELECT person_id || ' ' || key, how || ' ' || teaches_us || ' ' || name || ' ' || made_us"
        " || ' ' || signature || ' ' || handed_by || ' ' || hand_over || ' ' || since_us"
        " FROM known_key"
    ),
}
"""What `second_copy` holds of each table, said again from the table."""

_IN_WORDS = {
    "replica": "The id of this logbook",
    "default_value": "What is kept under the name {row}",
    "tombstone": "The mark that {row} was erased",
    "course_text": "The name or version of the course text {row}",
    "known_key": "What is known of the key {row}",
}


def _altered_beside(db: Database) -> Iterator[str]:
    for table, said in _BESIDE.items():
        copied = f"SELECT of_row, content FROM second_copy WHERE of_table = '{table}'"  # noqa: S608 - names of our own
        rows = set(db.execute(said).fetchall()) ^ set(db.execute(copied).fetchall())
        for row in sorted({str(key) for key, _ in rows}):
            yield f"{_IN_WORDS[table].format(row=row)} does not read as it was saved."
    known = ", ".join(f"'{table}'" for table in _BESIDE)
    lost = f"SELECT of_table, of_row FROM second_copy WHERE of_table NOT IN ({known})"  # noqa: S608 - names of our own
    for table, row in db.execute(lost).fetchall():
        yield f"A second copy, of {row} in {table}, does not read as it was saved."
