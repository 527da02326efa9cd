"""Taking in another logbook's bundle: what concerns this one, all of it or nothing.

It is a set union: in any order, any number of times, in one go or in parts, the same revisions give
the same logbook. What was erased here stays away. A revision is never written over: one that comes
under a known id with another content is refused with everything that came along.

Revisions are vetted and united, course texts are kept. Whom a bundle asks to erase is held
back, and so is another text of a course in force: somebody here answers. A rehearsal does the same
and leaves the logbook as it was.
"""

import json
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from platebook.logbook.bundles.exporting import concerning
from platebook.logbook.bundles.validation import refusal
from platebook.logbook.course_records import hear_of
from platebook.logbook.defaults import follow_a_merge, go_back
from platebook.logbook.erasures.erasing import (
    clear_bytes,
    erased_among,
    follow_unnamed,
    without_names,
)
from platebook.logbook.erasures.held_back import ErasingAsked, erasings_asked, hold_back
from platebook.logbook.errors import LogbookError
from platebook.logbook.file.connection import Database, writing
from platebook.logbook.history.changes import project
from platebook.logbook.history.counters import follow_lower, may_follow, refuse_runaways
from platebook.logbook.history.revisions import (
    add_revisions,
    changes_among,
    clashes,
    replica_of,
    revisions_among,
    revisions_of,
)
from platebook.logbook.record_kinds import kind_words
from platebook.logbook.signing.erasings import judge_erasings, names_that_stay
from platebook.logbook.signing.judging import Keyring, judge, keyring
from platebook.logbook.signing.left_out import (
    LeftOut,
    adopt_signatures,
    held_now,
    left_out,
    sift,
    trust,
)
from platebook.practice.revision import NOBODY, Bundle, Change, Revision
from platebook.values import Value, replace

_OWNED_BY = ("setter_id", "attempt_id")
_NOTHING = "Nothing of it was taken in."


class United(Value):
    """What came of it: how many revisions were new, were here already, or are of someone erased.

    `unnamed` are those that were here and lost the name of who looked or signed.
    """

    added: int
    known: int
    erased: int
    unnamed: int = 0


def unite(
    db: Database,
    incoming: Mapping[str, Revision],
    known: Mapping[str, Revision],
    digest: str,
    *,
    named: frozenset[str] = frozenset(),
    gone: frozenset[str] = frozenset(),
) -> United:
    """Take in these revisions inside a transaction; `known` are those that are here, by id.

    `digest` marks the setters concerned; those `named` keep the name that came without it, and
    those `gone` are of people who were erased and stay away.
    LogbookError for what contradicts itself.
    """
    new = [revision for key, revision in incoming.items() if key not in known]
    refuse_runaways(db, new)
    _refuse_others(db, incoming, known, counted=not may_follow(db))
    unnamed = follow_unnamed(
        db, incoming, {key: here for key, here in known.items() if key not in named}
    )
    touched = follow_lower(db, incoming, known)
    _refuse_backwards(db, new, incoming)
    kept = [revision for revision in new if revision.revision_id not in gone]
    add_revisions(db, kept)
    for revision in kept:
        touched.setdefault(revision.kind, set()).add(revision.record_id)
    project(db, touched, digest)
    return United(added=len(kept), known=len(known), erased=len(new) - len(kept), unnamed=unnamed)


def _of_erased(db: Database, revisions: Iterable[Revision]) -> frozenset[str]:
    """Those of these revisions, by id, that are of somebody or something erased here."""
    about = {revision.revision_id: _about(revision) for revision in revisions}
    erased = erased_among(db, set().union(*about.values()))
    return frozenset(key for key, ids in about.items() if ids & erased)


def _about(revision: Revision) -> frozenset[str]:
    """The ids whose erasing takes this revision with it."""
    row = revision.links
    owners = (row[name] for name in _OWNED_BY if isinstance(row.get(name), str))
    return frozenset({revision.record_id, *owners})


def _refuse_others(
    db: Database, incoming: Mapping[str, Revision], known: Mapping[str, Revision], *, counted: bool
) -> None:
    """LogbookError where an id that is known comes with another content.

    Unless `counted`, a change may have another counter: the lower one stands.
    """
    for key, here in known.items():
        ours, theirs = without_names(
            _unsigned(here, counted=counted), _unsigned(incoming[key], counted=counted)
        )
        if ours != theirs:
            what = f"{kind_words(here.kind)} {here.record_id}"
            message = f"The revision {key} of the {what} is here already"
            raise LogbookError("value", f"{message} with another content. {_NOTHING}")
    changes = {revision.change.change_id: revision.change for revision in incoming.values()}
    for key, change in changes_among(db, changes).items():
        if _nobodys(change, counted=counted) != _nobodys(changes[key], counted=counted):
            message = f"The change {key} is here already with another content."
            raise LogbookError("value", f"{message} {_NOTHING}")


def _unsigned(revision: Revision, *, counted: bool) -> Revision:
    return replace(revision, change=_nobodys(revision.change, counted=counted))


def _nobodys(change: Change, *, counted: bool) -> Change:
    # An erased person's name is taken off their changes, so it is no part of what is compared.
    counter = change.counter if counted else 0
    return replace(change, author=NOBODY, counter=counter)


def _refuse_backwards(
    db: Database, new: Iterable[Revision], incoming: Mapping[str, Revision]
) -> None:
    """LogbookError where a revision was made from another record's, or from a later one.

    One that is not here yet may come later.
    """
    ancestors = {key for revision in new for key in revision.parents if key not in incoming}
    known = {**revisions_among(db, ancestors), **incoming}
    for revision in new:
        for key in revision.parents:
            parent = known.get(key)
            if parent is None:
                continue
            same = (parent.kind, parent.record_id) == (revision.kind, revision.record_id)
            if not same or parent.rank >= revision.rank:
                message = f"The revision {revision.revision_id} says that it was made from {key},"
                raise LogbookError("value", f"{message} which cannot be. {_NOTHING}")
    if not may_follow(db):
        _refuse_over_later(db, new)


def _refuse_over_later(db: Database, new: Iterable[Revision]) -> None:
    """LogbookError where an old revision comes with a counter over that of what replaced it here.

    The counter is not signed, so this is how a word that was taken back could be said again.
    """
    coming = {revision.revision_id: revision for revision in new}
    records: dict[str, set[str]] = {}
    for revision in coming.values():
        records.setdefault(revision.kind, set()).add(revision.record_id)
    for kind, record_ids in records.items():
        for revisions in revisions_of(db, kind, record_ids).values():
            for later in revisions:
                for key in later.parents:
                    if key in coming and coming[key].rank >= later.rank:
                        message = f"The revision {key} comes as later than what replaced it,"
                        raise LogbookError("value", f"{message} which cannot be. {_NOTHING}")


class Terms(Value, kw_only=True):
    """How a bundle is taken in.

    `only` is the setter whom it has to concern, or several, None for everything; `classes` are
    those of which everything is taken in beside. `spared` is a person about whose erasing nobody is
    asked. `shipped` are the courses that come with the program. `rehearsal` leaves the logbook as
    it was. With `judged` what its person's key did not sign is left out.
    """

    digest: str
    only: str | frozenset[str] | None = None
    classes: frozenset[str] = frozenset()
    spared: str | None = None
    shipped: frozenset[str] = frozenset()
    rehearsal: bool = False
    judged: "Judged | None" = None


class Judged(Value, kw_only=True):
    """How signatures are looked at: when, and for whom.

    `own` are the people who work here. `ours` says that the bundle is this logbook's own, and
    `trusting` that it is a start file that somebody opened: its keys are known from then on, and
    whoever teaches in it may change the records of who opened it. `watch` is told how many
    revisions were looked at, of how many.
    """

    now: datetime
    own: frozenset[str]
    trusting: bool = False
    ours: bool = False
    watch: Callable[[float, int], None] | None = None


class TakenIn(Value):
    """What came of it: revisions, records new or changed by kind, who is asked about, clashes.

    `left_out` is what its person's key did not sign; `refused_erasings` are the names of those whom
    the bundle asks to erase without a signature, though their key is known.
    """

    united: United
    records: Mapping[str, int]
    asked: tuple[ErasingAsked, ...]
    clashes: tuple[tuple[str, str], ...]
    left_out: tuple[LeftOut, ...] = ()
    refused_erasings: tuple[str, ...] = ()


class _Rehearsed(Exception):  # noqa: N818 - it ends a transaction and is no error
    """Takes a transaction back that was only tried."""


def take_in(db: Database, path: Path, bundle: Bundle, terms: Terms) -> TakenIn:
    """Take the bundle in; LogbookError, with nothing kept, for a record that cannot be held."""
    with _kept(db, rehearsal=terms.rehearsal):
        before, held_before = set(clashes(db)), held_now(db)
        bundle = _without_keys_of_erased(db, bundle)
        if terms.judged is not None and terms.judged.trusting:
            trust(db, bundle, terms.judged.own, terms.judged.now)
        ring = None if terms.judged is None else keyring(db, bundle, terms.judged.own)
        erasings = judge_erasings(db, ring, bundle.tombstones)
        hold_back(db, erasings.held)
        incoming = {revision.revision_id: revision for revision in bundle.revisions}
        known = revisions_among(db, incoming)
        _vet(r for key, r in incoming.items() if key not in known or r.record != known[key].record)
        if terms.only is not None:
            ours = concerning(db, terms.only, bundle.revisions, classes=terms.classes)
            incoming = {revision.revision_id: revision for revision in ours}
            known = {key: here for key, here in known.items() if key in incoming}
        gone = _of_erased(db, [r for key, r in incoming.items() if key not in known])
        out: frozenset[str] = frozenset()
        if ring is not None and terms.judged is not None:
            incoming, out = _sifted(db, bundle, ring, terms.judged, (incoming, known, gone))
        named = names_that_stay(db, ring, bundle, incoming, known)
        united = unite(db, incoming, known, terms.digest, named=named, gone=gone)
        follow_a_merge(db)
        go_back(db)
        _keep_courses(db, bundle, incoming.values(), terms.shipped)
        touched = {(r.kind, r.record_id) for key, r in incoming.items() if key not in known}
        taken_in = TakenIn(
            united,
            dict(sorted(Counter(kind for kind, _ in touched).items())),
            _asked(db, bundle, terms.spared),
            tuple(sorted(set(clashes(db)) - before)),
            left_out(db, out, before=held_before) if out else (),
            erasings.refused,
        )
    if taken_in.united.unnamed and not terms.rehearsal:
        clear_bytes(db, path)
    return taken_in


def _sifted(
    db: Database,
    bundle: Bundle,
    ring: Keyring,
    judged: Judged,
    revisions: tuple[Mapping[str, Revision], Mapping[str, Revision], frozenset[str]],
) -> tuple[dict[str, Revision], frozenset[str]]:
    """What comes in of what is incoming, with what is known, and the ids of what is left out.

    Of whom was erased nothing is asked about and nothing remembered: what is `gone` stays away.
    """
    incoming, known, gone = revisions
    new = [r for key, r in incoming.items() if key not in known and key not in gone]
    verdicts = judge(db, bundle, ring, new, ours=judged.ours, watch=judged.watch)
    kept, out = sift(db, bundle, ring, verdicts, judged.now, trusting=judged.trusting)
    adopt_signatures(db, ring, incoming, known)
    comes = {*known, *kept, *gone}
    return {key: incoming[key] for key in incoming if key in comes}, out


def _without_keys_of_erased(db: Database, bundle: Bundle) -> Bundle:
    """The bundle without the key cards of people who were erased here: a card bears a name."""
    erased = erased_among(db, (card.person_id for card in bundle.keys))
    if not erased:
        return bundle
    return replace(bundle, keys=tuple(c for c in bundle.keys if c.person_id not in erased))


def _asked(db: Database, bundle: Bundle, spared: str | None) -> tuple[ErasingAsked, ...]:
    """Whom this bundle asks to erase, as far as nobody has answered yet."""
    if not bundle.tombstones:
        return ()
    named = {tombstone.record_id for tombstone in bundle.tombstones}
    waiting = (one for one in erasings_asked(db, spared) if not one.kept)
    return tuple(one for one in waiting if one.person_id in named or not one.whole)


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
    """LogbookError for one that cannot be held: what comes after looks into all of them."""
    for revision in new:
        if (words := refusal(revision)) is not None:
            raise LogbookError("value", f"{words}. {_NOTHING}")


def _keep_courses(
    db: Database, bundle: Bundle, ours: Iterable[Revision], shipped: frozenset[str]
) -> None:
    """Keep the texts of the courses that the records taken in rest on."""
    if not bundle.courses:
        return
    named = {revision.links.get("course") for revision in ours}
    hear_of(db, (copy for copy in bundle.courses if copy.course in named), shipped)


def heard_so_far(db: Database) -> int:
    """A number that is another one after anything came in, or changed about people and classes.

    What else is done here leaves it: nothing that others wrote before is about it.
    """
    query = (
        "SELECT COUNT(*) FROM revision JOIN change USING (change_id)"
        " WHERE kind IN ('setter', 'teacher', 'class', 'membership', 'course_in_force')"
        " OR replica <> ?"
    )
    return int(db.execute(query, [replica_of(db)]).fetchone()[0])


def known_people(db: Database, ids: Iterable[str]) -> list[str]:
    """Those of these setters of whom anything was ever heard here."""
    query = (
        "SELECT DISTINCT record_id FROM revision WHERE kind = 'setter'"
        " AND record_id IN (SELECT value FROM json_each(?)) ORDER BY record_id"
    )
    return [row[0] for row in db.execute(query, [json.dumps(list(ids))]).fetchall()]
