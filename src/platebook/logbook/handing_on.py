"""What a logbook hands on: what it made itself, what was erased, and the courses that rests on.

Each logbook hands on its own changes only, also those made before it was restored from a backup, so
that nobody's word is repeated by others and every bundle has one writer.
"""

from collections.abc import Iterable

from platebook.logbook.concerning import concerning
from platebook.logbook.connecting import Database
from platebook.logbook.erasing import tombstones
from platebook.logbook.keeping import all_course_texts, former_replicas
from platebook.logbook.revisions import replica_of, revisions_by
from platebook.practice.bundle import Bundle, CourseCopy
from platebook.practice.revision import Revision


def bundle_of(db: Database, about: str | None = None) -> Bundle:
    """This logbook's bundle; with a setter `about` all that it knows about them instead."""
    if about is not None:
        return everything(db, about)
    own = {replica_of(db), *former_replicas(db)}
    return _of(db, tuple(r for each in sorted(own) for r in revisions_by(db, each)))


def everything(db: Database, about: str | None = None) -> Bundle:
    """All that this logbook knows, or knows about one setter, whoever said it."""
    revisions = revisions_by(db, None)
    return _of(db, revisions if about is None else concerning(db, about, revisions))


def _of(db: Database, revisions: tuple[Revision, ...]) -> Bundle:
    return Bundle(
        replica=replica_of(db),
        revisions=tuple(sorted(revisions, key=lambda r: r.rank)),
        tombstones=tombstones(db),
        courses=_courses(db, revisions),
    )


def _courses(db: Database, revisions: Iterable[Revision]) -> tuple[CourseCopy, ...]:
    named = {revision.row.get("course") for revision in revisions}
    return tuple(
        CourseCopy(course=kept.course, version=kept.version, text=kept.text)
        for kept in all_course_texts(db)
        if kept.course in named
    )
