"""What a logbook hands on: its revisions, or those that concern one setter, and their courses.

That is the setter, tools, plates and attempts, what was drawn, looked at and signed of theirs, the
classes they are in with who teaches them, what was written to them or to those classes, and whoever
looked, signed and wrote. An entry that was made one with the setter's counts as the setter.

Each logbook hands on its own changes only, also those made before it was restored from a backup, so
that nobody's word is repeated by others and every bundle has one writer.
"""

import json
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from platebook.logbook.defaults import all_course_texts, former_replicas
from platebook.logbook.erasures.erasing import tombstones
from platebook.logbook.errors import LogbookError
from platebook.logbook.file.connection import Database, reading
from platebook.logbook.history.revisions import each_revision, replica_of, revision_count
from platebook.logbook.record_kinds import kind_words, kinds
from platebook.logbook.setter_records import ids_of
from platebook.logbook.signing.known_keys import cards_for
from platebook.logbook.signing.signatures import each_signed, signatures_of, signers_of
from platebook.practice.revision import (
    BundleStream,
    Change,
    CourseCopy,
    Revision,
    Tombstone,
)
from platebook.values import replace

Taken = TypeVar("Taken")


@dataclass
class _Circle:
    """Who the setter is, and which records are theirs, as far as is known."""

    people: set[str]
    records: set[str] = field(default_factory=set)


def concerning(
    db: Database,
    whom: str | Iterable[str],
    revisions: Iterable[Revision],
    *,
    classes: Iterable[str] = (),
) -> tuple[Revision, ...]:
    """Those of these revisions that concern a setter or several, by what they and this logbook say.

    Of `classes` everything is taken in, and whoever they say is in them.
    """
    rows = [(revision, revision.links) for revision in revisions]
    taught = frozenset(classes)
    people = {whom} if isinstance(whom, str) else set(whom)
    people |= {
        row["setter_id"]
        for revision, row in rows
        if revision.kind == "membership" and row.get("class_id") in taught
    }
    circle = _grown(db, _Circle(people), rows)
    around = _classes_of(db, circle, rows) | taught
    signed = _who_signed(db, circle, around, rows)
    followed = _courses_of(db, circle, around, rows)
    return tuple(
        revision
        for revision, row in rows
        if revision.record_id in circle.records | circle.people
        or row.get("attempt_id") in circle.records
        or (revision.kind in {"setter", "teacher"} and revision.record_id in signed)
        or (revision.kind in {"class", "message"} and row.get("class_id") in around)
        or (revision.kind == "course_in_force" and row.get("course") in followed)
    )


def _courses_of(
    db: Database,
    circle: _Circle,
    classes: Collection[str],
    rows: Iterable[tuple[Revision, Mapping[str, Any]]],
) -> set[str]:
    """The ids of the courses that people of the circle or their classes follow."""
    told = {
        str(row["course"])
        for revision, row in rows
        if row.get("course")
        and (
            (revision.kind == "setter" and revision.record_id in circle.people)
            or (revision.kind == "class" and row.get("class_id") in classes)
        )
    }
    known = db.execute("SELECT setter_id, course FROM setter WHERE course IS NOT NULL").fetchall()
    known += db.execute("SELECT class_id, course FROM class WHERE course IS NOT NULL").fetchall()
    return told | {course for whose, course in known if whose in circle.people or whose in classes}


def _classes_of(
    db: Database, circle: _Circle, rows: Iterable[tuple[Revision, Mapping[str, Any]]]
) -> set[str]:
    """The ids of the classes that people of the circle are or were in."""
    known = {
        row[0]
        for person in circle.people
        for row in db.execute("SELECT class_id FROM membership WHERE setter_id = ?", [person])
    }
    told = {
        str(row.get("class_id"))
        for revision, row in rows
        if revision.kind == "membership" and row.get("setter_id") in circle.people
    }
    return known | told


def _who_signed(
    db: Database,
    circle: _Circle,
    classes: Collection[str],
    rows: Iterable[tuple[Revision, Mapping[str, Any]]],
) -> set[str]:
    """The ids of whoever looked, signed or wrote about the circle, or teaches its classes."""
    who = {
        str(row[name])
        for revision, row in rows
        for name in ("inspector", "signed_by", "author")
        if name in row
        and (
            row.get("attempt_id") in circle.records
            or revision.record_id in circle.records
            or row.get("class_id") in classes
        )
    }
    told = [row for revision, row in rows if revision.kind == "class"]
    known = db.query("SELECT class_id, teachers FROM class")
    for row in (*told, *known):
        if row.get("class_id") in classes and row.get("teachers"):
            who |= set(json.loads(row["teachers"]))
    return who


def _grown(
    db: Database, circle: _Circle, rows: Iterable[tuple[Revision, Mapping[str, Any]]]
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


def hand_on(db: Database, take: Callable[[BundleStream], Taken], about: str | None = None) -> Taken:
    """Let somebody take this logbook's bundle, as it is at one moment; gives what they give.

    With a setter `about` it is all that this logbook knows of them, whoever said it.
    """
    with reading(db):
        return take(_own(db) if about is None else _about(db, about))


def own_revisions(db: Database) -> int:
    """How many revisions this logbook's own bundle has."""
    return revision_count(db, _own_replicas(db))


def all_known(db: Database, about: str | None = None, *, by: str) -> Iterator[Revision]:
    """All revisions here, or those about one setter, those of one counter in the order of `by`."""
    if about is None:
        return sound(each_revision(db, by=by))
    return iter(concerning(db, about, sound(each_revision(db, by=by))))


def _own_replicas(db: Database) -> frozenset[str]:
    return frozenset({replica_of(db), *former_replicas(db)})


def _own(db: Database) -> BundleStream:
    own = _own_replicas(db)
    return _stream(db, sound(each_revision(db, own)), signers_of(db, own))


def _about(db: Database, setter_id: str) -> BundleStream:
    known = concerning(db, setter_id, sound(each_revision(db)))
    signed = signatures_of(db, (revision.revision_id for revision in known))
    return _stream(db, known, {signature.key for signature in signed.values()})


def sound(revisions: Iterable[Revision]) -> Iterator[Revision]:
    """The same; LogbookError where one does not read as it was saved: it goes no further."""
    change: Change | None = None
    for revision in revisions:
        whole = revision.saved_checksum == revision.checksum
        if revision.change is not change:
            change = revision.change
            whole = whole and change.saved_checksum == change.checksum
        if not whole:
            what = kind_words(revision.kind)
            message = f"The {what} {revision.record_id} does not read as it was saved."
            advice = "Nothing was handed on. Run platebook check, and restore the latest backup."
            raise LogbookError("damaged", f"{message} {advice}")
        yield revision


def _stream(db: Database, revisions: Iterable[Revision], signers: Collection[str]) -> BundleStream:
    erased = sorted(tombstones(db), key=lambda tombstone: tombstone.record_id)
    signatures = signatures_of(db, (tombstone.record_id for tombstone in erased))
    used = frozenset({*signers, *(signature.key for signature in signatures.values())})
    courses: set[str] = set()

    def parts() -> Iterator[Revision | Tombstone | CourseCopy]:
        for revision in each_signed(db, revisions):
            if course := revision.links.get("course"):
                courses.add(str(course))
            yield revision
        for tombstone in erased:
            yield replace(tombstone, signed=signatures.get(tombstone.record_id))
        for kept in all_course_texts(db):
            if kept.course in courses:
                yield CourseCopy(course=kept.course, version=kept.version, text=kept.text)

    return BundleStream(
        replica=replica_of(db), parts=parts(), signers=used, keys=cards_for(db, used)
    )
