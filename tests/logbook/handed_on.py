"""What a logbook hands on, all of it at once, as tests compare it."""

from collections.abc import Iterable
from datetime import datetime

from platebook.logbook.bundles.anonymous import hand_on_unnamed
from platebook.logbook.bundles.exporting import hand_on
from platebook.logbook.file.connection import Database
from platebook.logbook.history.revisions import each_revision
from platebook.practice.revision import Bundle, BundleStream, CourseCopy, Revision, Tombstone


def revisions_by(db: Database, replica: str | None = None) -> tuple[Revision, ...]:
    """All revisions, or those that one replica made, in the order made."""
    return tuple(each_revision(db, None if replica is None else [replica]))


def bundle_of(db: Database, about: str | None = None) -> Bundle:
    """This logbook's bundle, or all that it knows about one setter."""
    return hand_on(db, _collected, about)


def anonymous_bundle(
    db: Database, about: str | None, *, now: datetime, shipped: Iterable[str]
) -> Bundle:
    """All that this logbook knows, or knows of one setter, without the people in it."""
    return hand_on_unnamed(db, _collected, about, now=now, shipped=shipped)


def _collected(stream: BundleStream) -> Bundle:
    parts = tuple(stream.parts)
    return Bundle(
        replica=stream.replica,
        anonymous=stream.anonymous,
        revisions=tuple(part for part in parts if isinstance(part, Revision)),
        tombstones=tuple(part for part in parts if isinstance(part, Tombstone)),
        courses=tuple(part for part in parts if isinstance(part, CourseCopy)),
        keys=stream.keys,
    )
