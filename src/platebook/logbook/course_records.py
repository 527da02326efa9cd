"""Which text of a course is in force in this logbook, since when and by whom, and what others have.

A text is kept by its digest and nothing decides between two but a person. A logbook's own record
(`CourseInForce`) names the text it goes by, so that taking a version in is a change with its
author, taken back and put back like any other. Without one the first text that was heard of is gone
by, and a course that comes with the program by its own text.

| function | gives |
|---|---|
| `text_in_force` | the text gone by; None where the logbook keeps none to go by |
| `put_in_force` | the change that puts a text in force, with whatever is changed together with it |
| `in_force_of_others` | what other logbooks put in force themselves |
| `own_history` | every version that was in force here, and who put it there |
| `set_at` | how many attempts there are at each grade id of a course, and how many follow it |
"""

import uuid
from collections.abc import Iterable, Mapping, Sequence
from typing import cast

from platebook.logbook.defaults import (
    CourseText,
    course_texts,
    default,
    first_text_name,
    former_replicas,
    keep_course,
    set_default,
)
from platebook.logbook.file.connection import Database, writing
from platebook.logbook.history.changes import RecordChange, Stamp, row_of, write
from platebook.logbook.history.revisions import replica_of, revisions_of
from platebook.logbook.record_kinds import kind_named
from platebook.practice.records import CourseInForce
from platebook.practice.revision import Change, CourseCopy, Revision
from platebook.values import Value

KIND = "course_in_force"
_SPACE = uuid.UUID("9b0d3a52-7c1e-4f57-9e0a-5d2f8c6b7a41")


def _own_id(replica: str, course: str) -> str:
    """The id of a logbook's record about a course: always the same (RFC 9562, version 5)."""
    return str(uuid.uuid5(_SPACE, f"{replica} {course}"))


def _own_ids(db: Database, course: str) -> tuple[str, ...]:
    """This logbook's record, then those it had before it was restored, the latest first."""
    replicas = (replica_of(db), *reversed(former_replicas(db)))
    return tuple(_own_id(replica, course) for replica in replicas)


def own_in_force(db: Database, course: str) -> CourseInForce | None:
    """What this logbook put in force itself; None where it put nothing, or took it back."""
    kind = kind_named(KIND)
    for in_force_id in _own_ids(db, course):
        row = row_of(db, kind, in_force_id)
        if row is not None:
            return None if row["hidden"] else cast("CourseInForce", kind.record_of(row))
    return None


def digest_in_force(db: Database, course: str) -> str | None:
    """The digest of the text gone by; None where the logbook keeps none to go by."""
    own = own_in_force(db, course)
    return default(db, first_text_name(course)) if own is None else own.digest


def text_in_force(db: Database, course: str) -> CourseText | None:
    """The text gone by; None where the logbook keeps none to go by."""
    digest = digest_in_force(db, course)
    return next((kept for kept in course_texts(db, course) if kept.digest == digest), None)


def hear_of(db: Database, copies: Iterable[CourseCopy], shipped: frozenset[str]) -> None:
    """Keep these texts; one of a course that nobody here had heard of is gone by from now on.

    It is what the bundle's logbook goes by, or else the highest version, and of two texts of that
    version the first in the bundle. Everything else waits for a person. It happens inside a
    transaction.
    """
    new: dict[str, CourseCopy] = {}
    for copy in copies:
        heard = copy.course in shipped or bool(course_texts(db, copy.course))
        best = new.get(copy.course)
        if (best is not None and copy.version > best.version) or (best is None and not heard):
            new[copy.course] = copy
        keep_course(db, copy.course, copy.version, copy.text)
    for course, copy in new.items():
        if digest_in_force(db, course) is None:
            said = {other.record.digest for other in in_force_of_others(db, course)}
            kept = {text.digest for text in course_texts(db, course)}
            first = said.pop() if len(said) == 1 and said <= kept else copy.digest
            set_default(db, first_text_name(course), first)


class PutInForce(Value):
    """A text that is to be gone by. `taken_from` and `answered` are those of `CourseInForce`."""

    course: str
    version: int
    text: str
    taken_from: str = ""
    answered: tuple[str, ...] = ()


def put_in_force(
    db: Database, wanted: PutInForce, stamp: Stamp, together: Sequence[RecordChange] = ()
) -> Change:
    """Go by this text from now on, as one change with whatever is changed together with it."""
    with writing(db):
        digest = keep_course(db, wanted.course, wanted.version, wanted.text)
        own = own_in_force(db, wanted.course)
        answered = (*(own.answered if own is not None else ()), *wanted.answered)
        record = CourseInForce(
            course=wanted.course,
            version=wanted.version,
            digest=digest,
            taken_from=wanted.taken_from,
            answered=tuple(dict.fromkeys(answered)),
        )
        entry = RecordChange.of(
            KIND, _own_ids(db, wanted.course)[0], kind_named(KIND).row_of(record)
        )
        return write(db, [entry, *together], stamp)


def follow(db: Database, entries: Sequence[RecordChange], stamp: Stamp) -> Change:
    """Let somebody follow another course, whose text stays as it is: one change of their entry."""
    with writing(db):
        return write(db, entries, stamp)


class OthersInForce(Value):
    """What another logbook goes by: its record, the revision that stands, and who put it there."""

    record: CourseInForce
    revision_id: str
    author: str


def in_force_of_others(db: Database, course: str) -> tuple[OthersInForce, ...]:
    """What other logbooks put in force themselves, in the order of their ids.

    One that only took a text from another logbook says nothing of its own, and is left out.
    """
    kind = kind_named(KIND)
    own = set(_own_ids(db, course))
    rows = db.query(
        "SELECT f.*, c.author FROM course_in_force AS f JOIN revision USING (revision_id)"
        " JOIN change AS c USING (change_id)"
        " WHERE f.course = ? AND f.hidden = 0 ORDER BY f.in_force_id",
        [course],
    )
    found = []
    for row in rows:
        record = cast("CourseInForce", kind.record_of(row))
        if row["in_force_id"] not in own and not record.taken_from:
            found.append(OthersInForce(record, row["revision_id"], row["author"]))
    return tuple(found)


def named_digests(db: Database, course: str) -> frozenset[str]:
    """The texts of a course that any logbook's record ever named; the others came without one."""
    rows = db.execute(
        "SELECT DISTINCT json_extract(record, '$.digest') FROM revision WHERE kind = ?"
        " AND json_extract(record, '$.course') = ?",
        [KIND, course],
    )
    return frozenset(row[0] for row in rows.fetchall() if isinstance(row[0], str))


def own_history(db: Database, course: str) -> tuple[Revision, ...]:
    """The revisions of this logbook's own record, oldest first."""
    ids = _own_ids(db, course)
    known = revisions_of(db, KIND, ids)
    return tuple(revision for i in reversed(ids) for revision in known.get(i, ()))


class SetAt(Value):
    """Who rests on a course: the ids of those who follow it, and the attempts at each grade id."""

    followers: tuple[str, ...]
    attempts: Mapping[str, int]


def set_at(db: Database, course: str) -> SetAt:
    """Who follows a course here, and what was set at its grades by them or under its name."""
    query = "SELECT setter_id FROM setter WHERE course = ? AND NOT hidden ORDER BY setter_id"
    followers = tuple(row[0] for row in db.execute(query, [course]).fetchall())
    rows = db.execute(
        "SELECT grade, count(*) FROM attempt AS a JOIN setter AS s USING (setter_id)"
        " WHERE NOT a.hidden AND NOT s.hidden AND grade IS NOT NULL"
        " AND (s.course = :course OR (s.course IS NOT NULL AND a.course = :course)) GROUP BY grade",
        {"course": course},
    )
    return SetAt(followers, dict(rows.fetchall()))
