"""Who asks to erase whom: an erasing of somebody whose key is known has to be signed."""

from collections.abc import Iterable, Mapping

from platebook.logbook.erasures.erasing import erased_among, is_unnamed
from platebook.logbook.file.connection import Database
from platebook.logbook.history.changes import owners
from platebook.logbook.record_kinds import SIGNED_IN, kinds
from platebook.logbook.signing.judging import Keyring
from platebook.logbook.signing.signatures import fits, keep_signatures, signatures_of
from platebook.practice.revision import Bundle, Revision, Tombstone
from platebook.values import Value


class JudgedErasings(Value):
    """What is held back to be asked about, and the names of those about whom it was refused."""

    held: tuple[Tombstone, ...]
    refused: tuple[str, ...] = ()


def judge_erasings(
    db: Database, ring: Keyring | None, asked: Iterable[Tombstone]
) -> JudgedErasings:
    """What a bundle asks to erase, without what nobody signed of people whose key is known.

    Signatures that fit are kept with what is held back: they say who asks.
    """
    held = tuple(asked)
    if ring is None or not held or not ring.met:
        return JudgedErasings(held)
    whose = _whose(db, held)
    kept, signed, refused = [], [], set()
    for tombstone in held:
        person = whose.get(tombstone.record_id)
        fitting = person is not None and fits(tombstone.statement, tombstone.signed)
        if fitting and tombstone.signed is not None:
            signed.append((tombstone.record_id, tombstone.signed))
        if person is not None and not fitting and ring.knows(person):
            refused.add(person)
        else:
            kept.append(tombstone)
    keep_signatures(db, signed)
    return JudgedErasings(tuple(kept), tuple(sorted(_names(db, refused))))


def _whose(db: Database, asked: Iterable[Tombstone]) -> dict[str, str]:
    """The person whose each of these records is, as far as it is here."""
    by_kind: dict[str, list[str]] = {}
    for tombstone in asked:
        by_kind.setdefault(tombstone.kind, []).append(tombstone.record_id)
    whose: dict[str, str] = {}
    for kind in kinds().values():
        if kind.name in by_kind:
            of_kind = owners(db, kind, by_kind[kind.name])
            themselves = kind.name in {"setter", "teacher"}
            whose |= {i: i if themselves else owner for i, (owner, _) in of_kind.items()}
    return {record_id: person for record_id, person in whose.items() if person}


def _names(db: Database, people: Iterable[str]) -> set[str]:
    names = set()
    for person in people:
        for table in ("setter", "teacher"):
            query = f"SELECT name FROM {table} WHERE {table}_id = ?"  # noqa: S608 - names of our own
            names |= {str(row[0]) for row in db.execute(query, [person]).fetchall()}
    return names


def names_that_stay(
    db: Database,
    ring: Keyring | None,
    bundle: Bundle,
    incoming: Mapping[str, Revision],
    known: Mapping[str, Revision],
) -> frozenset[str]:
    """Those revisions here that keep the name of who signed them, though they come without it.

    A name that its person signed goes where their own key asks to erase them, or where they were
    erased here; not because somebody sent the revision without it.
    """
    if ring is None:
        return frozenset()
    lost = {
        key: here
        for key, here in known.items()
        if key in incoming and is_unnamed(incoming[key]) and not is_unnamed(here)
    }
    if not lost:
        return frozenset()
    gone = {
        tombstone.record_id
        for tombstone in bundle.tombstones
        if tombstone.signed is not None
        and tombstone.signed.key in ring.keys_of(tombstone.record_id)
        and fits(tombstone.statement, tombstone.signed)
    }
    voices = {key: str(here.row.get(SIGNED_IN[here.kind])) for key, here in lost.items()}
    gone |= erased_among(db, set(voices.values()))
    signed = signatures_of(db, lost)
    return frozenset(key for key in lost if key in signed and voices[key] not in gone)
