"""Taking in another logbook's bundle: what concerns this logbook of it, all of it or nothing.

Revisions are vetted and united, erasing is obeyed, course texts are kept. A rehearsal does the same
and leaves the logbook as it was.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from platebook.logbook.concerning import concerning
from platebook.logbook.connecting import Database, writing
from platebook.logbook.erasing import clear_bytes, obey
from platebook.logbook.errors import LogbookError
from platebook.logbook.history import clashes
from platebook.logbook.in_use import follow_a_merge, go_back
from platebook.logbook.keeping import keep_course
from platebook.logbook.revisions import revisions_among
from platebook.logbook.uniting import United, unite_within
from platebook.logbook.vetting import refusal
from platebook.practice.bundle import Bundle
from platebook.practice.revision import Revision


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """How a bundle is taken in.

    `only` is the setter whom it has to concern, None for everything. `spared` is a person whom no
    word from elsewhere erases. `rehearsal` leaves the logbook as it was.
    """

    digest: str
    only: str | None = None
    spared: str | None = None
    rehearsal: bool = False


@dataclass(frozen=True, slots=True)
class TakenIn:
    """What came of it: revisions, records new or changed by kind, people erased, new clashes."""

    united: United
    records: Mapping[str, int]
    people_erased: tuple[str, ...]
    clashes: tuple[tuple[str, str], ...]


class _Rehearsed(Exception):  # noqa: N818 - it ends a transaction and is no error
    """Takes a transaction back that was only tried."""


def take_in(db: Database, path: Path, bundle: Bundle, terms: Terms) -> TakenIn:
    """Take the bundle in; LogbookError, with nothing kept, for a record that cannot be held."""
    with _kept(db, rehearsal=terms.rehearsal):
        before = set(clashes(db))
        erased = obey(db, bundle.tombstones, terms.spared)
        given = {revision.revision_id: revision for revision in bundle.revisions}
        known = revisions_among(db, given)
        _vet(revision for key, revision in given.items() if key not in known)
        if terms.only is not None:
            ours = concerning(db, terms.only, bundle.revisions)
            given = {revision.revision_id: revision for revision in ours}
            known = {key: here for key, here in known.items() if key in given}
        united = unite_within(db, given, known, terms.digest)
        follow_a_merge(db)
        go_back(db)
        _keep_courses(db, bundle, given.values())
        touched = {(r.kind, r.record_id) for key, r in given.items() if key not in known}
        found = TakenIn(
            united,
            dict(sorted(Counter(kind for kind, _ in touched).items())),
            erased,
            tuple(sorted(set(clashes(db)) - before)),
        )
    if (erased or found.united.unnamed) and not terms.rehearsal:
        clear_bytes(db, path)
    return found


@contextmanager
def _kept(db: Database, *, rehearsal: bool) -> Iterator[None]:
    try:
        with writing(db):
            yield
            _end(rehearsal=rehearsal)
    except _Rehearsed:
        return


def _end(*, rehearsal: bool) -> None:
    if rehearsal:
        raise _Rehearsed


def _vet(new: Iterable[Revision]) -> None:
    """LogbookError for one that cannot be held."""
    for revision in new:
        if (words := refusal(revision)) is not None:
            raise LogbookError("value", f"{words}. Nothing of it was taken in.")


def _keep_courses(db: Database, bundle: Bundle, ours: Iterable[Revision]) -> None:
    """Keep the texts of the courses that the records taken in rest on."""
    if not bundle.courses:
        return
    named = {revision.row.get("course") for revision in ours}
    for copy in bundle.courses:
        if copy.course in named:
            keep_course(db, copy.course, copy.version, copy.text)
