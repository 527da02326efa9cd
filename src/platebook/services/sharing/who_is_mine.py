"""Whose records are taken in from others: one's own, or everyone's who is a teacher's.

A teacher takes in everyone who is in the logbook already, and whoever comes with a place in a class
they teach; so does a logbook in which nobody is in use, and whoever was handed on without a name.
Others in a folder wait to be let in, always. A single file was chosen by hand, and may be taken in
whole (`opened_whole`).
"""

import itertools
import json
from collections import Counter
from collections.abc import Collection, Iterable

from platebook.logbook import Logbook, class_records, defaults, setter_records
from platebook.logbook.erasures.erasing import erased_among, tombstones
from platebook.practice.records import name_key
from platebook.practice.revision import Bundle, Revision
from platebook.practice.text import clean
from platebook.services.classes.terms import roll_of
from platebook.services.session import Session
from platebook.values import Value, as_dict, replace

MOST_REMEMBERED = 1000
"""Strangers who are remembered by name; a bundle may name as many people as it likes."""

WAITING = "people who wait to be let in"
"""The default under which those are kept whom the last sharing found and left."""


class Mine(Value):
    """Whom a bundle has to concern to be taken in (None: everything), and whole classes beside.

    With `nameless` whoever comes without a name comes in too: no stranger can be told from them.
    """

    only: str | frozenset[str] | None = None
    classes: frozenset[str] = frozenset()
    nameless: bool = False


class Waiting(Value):
    """Somebody in a bundle who is a stranger here, and in which file they are."""

    setter_id: str
    name: str
    attempts: int
    file: str
    folder: str = ""


def who_is_mine(session: Session, book: Logbook, *, everyone: bool = False) -> Mine:
    """Whose records whoever is in use takes in; no stranger's where nobody is, or a teacher."""
    if everyone:
        return Mine()
    if session.setter_id is not None:
        return Mine(session.setter_id)
    people = frozenset(s.setter_id or "" for s in book.ask(setter_records.setters))
    taught = frozenset(
        term.class_id or ""
        for term in book.ask(class_records.class_terms)
        if not term.teachers or session.teacher_id in term.teachers
    )
    placed = (s.setter_id for s in book.ask(class_records.memberships) if s.class_id in taught)
    return Mine(people.union(placed), taught, nameless=session.teacher_id is None)


def opened_whole(session: Session, book: Logbook) -> bool:
    """Whether a file that was chosen by hand is taken in with everyone who is in it.

    So it is for a teacher before there is a class, and where nobody is in use, unless somebody was
    erased here: who took themselves out wants nobody else's.
    """
    if session.teacher_id is not None:
        return not roll_of(book).terms
    return session.setter_id is None and not book.ask(tombstones)


def strangers_in(book: Logbook, bundle: Bundle, mine: Mine, file: str) -> tuple[Waiting, ...]:
    """Who is in a bundle, practises, and would not be taken in; in the order of their names.

    Nobody where the last one in the logbook erased themselves: the others of their folder are no
    strangers who wait, and none of their business any more.
    """
    if not isinstance(mine.only, frozenset):
        return ()
    if mine.nameless and not mine.only and book.ask(tombstones):
        return ()
    coming = {
        revision.links.get("setter_id")
        for revision in bundle.revisions
        if revision.kind == "membership" and revision.links.get("class_id") in mine.classes
    }
    people: dict[str, Revision] = {}
    for revision in bundle.revisions:
        if revision.kind == "setter":
            last = people.setdefault(revision.record_id, revision)
            people[revision.record_id] = max(last, revision, key=lambda each: each.rank)
    left = people.keys() - mine.only - coming
    left -= book.ask(erased_among, left)
    attempts = Counter(_standing_attempts(bundle))
    waiting = []
    for setter_id in left:
        last = people[setter_id]
        if not last.hidden:
            name = str(last.links.get("name", ""))
            waiting.append(Waiting(setter_id, name, attempts[setter_id], file))
    return tuple(sorted(waiting, key=lambda each: (name_key(each.name), each.setter_id)))


def _standing_attempts(bundle: Bundle) -> Iterable[str]:
    """Whose each attempt of the bundle is that stands by its word."""
    last: dict[str, tuple[tuple[int, str], bool, str]] = {}
    for revision in bundle.revisions:
        if revision.kind == "attempt":
            found = (revision.rank, revision.hidden, str(revision.links.get("setter_id")))
            last[revision.record_id] = max(last.get(revision.record_id, found), found)
    return (whose for _, hidden, whose in last.values() if not hidden)


def chosen(waiting: Iterable[Waiting], wanted: Iterable[str]) -> tuple[Waiting, ...]:
    """Those of them whom these names or ids mean."""
    names = {name_key(name) for name in wanted}
    return tuple(w for w in waiting if {name_key(w.name), name_key(w.setter_id)} & names)


def letting_in(
    book: Logbook, bundle: Bundle, mine: Mine, wanted: Collection[str], file: str
) -> tuple[Mine, tuple[Waiting, ...], set[str]]:
    """Who is theirs with those of a file who are let in now, who still waits, whom words meant."""
    if not isinstance(mine.only, frozenset):
        return mine, (), set()
    strangers = strangers_in(book, bundle, mine, file)
    nameless = bundle.anonymous and mine.nameless
    coming = strangers if nameless else chosen(strangers, wanted)
    ids = mine.only | {each.setter_id for each in coming}
    left = tuple(each for each in strangers if each.setter_id not in ids)
    meant = {name for name in wanted if chosen(strangers, [name])}
    return replace(mine, only=ids), left, meant


def nobody_waits(name: str) -> str:
    """What is said where a name to be let in means nobody."""
    return f"Nobody of the name {clean(name)!r} waits to be let in."


def keep_waiting(book: Logbook, waiting: Iterable[Waiting]) -> None:
    """Remember who waits, so that a screen can say it without the folder; of a crowd the first."""
    kept = [as_dict(each) for each in itertools.islice(waiting, MOST_REMEMBERED)]
    book.tell(defaults.set_default, WAITING, json.dumps(kept) if kept else None)


def who_waits(book: Logbook) -> tuple[Waiting, ...]:
    """Who waited when was shared last, and is not in the logbook since."""
    here = {s.setter_id for s in book.ask(setter_records.setters)}
    kept = json.loads(book.ask(defaults.default, WAITING) or "[]")
    return tuple(w for each in kept if (w := Waiting(**each)).setter_id not in here)
