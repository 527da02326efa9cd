"""Signatures: made as a change is saved, kept beside what they sign, compared as it comes in.

| function | gives |
|---|---|
| `Signer` | who signs what is written now |
| `sign_revisions`, `sign_erasings` | the signatures of what was just written, kept |
| `keep_signatures`, `signatures_of`, `each_signed` | those that came, those here |
| `signers_of` | the keys that signed what some logbooks made |
| `signed_count`, `anything_signed` | how many of all revisions are signed; whether one is |
| `fits` | whether a key made this signature of this statement |
"""

import contextlib
import functools
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from platebook.logbook.defaults import former_replicas
from platebook.logbook.errors import LogbookError
from platebook.logbook.file.connection import Database
from platebook.logbook.history.revisions import batches, replica_of
from platebook.logbook.signing.known_keys import add_own_key, united_with
from platebook.logbook.signing.private_keys import PrivateKey, as_bytes, keep_key, key_of, make_key
from platebook.practice.revision import Revision, Signature, Tombstone
from platebook.values import Value, replace

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

NOBODY_IN_USE = "nobody in use"
"""The name of the key with which a logbook signs while nobody is in use."""

SPEAKS_AS: Mapping[str, str] = {
    "inspection": "inspector",
    "sign_off": "signed_by",
    "message": "author",
}
"""The field of each kind that says in whose name it speaks."""


class Signer(Value):
    """Who signs what is written now: the person in use, with the key kept for them here.

    With an empty `person_id` nobody is in use, and the logbook's own key signs. A look, a sign-off
    or a message that is typed in another person's name is signed with theirs where it is kept here.
    """

    logbook: Path
    person_id: str
    name: str


def sign_revisions(
    db: Database, signer: Signer, revisions: Sequence[Revision], now: datetime
) -> None:
    """Sign what was just written, inside its transaction; unsigned where no key can be kept."""
    own = _own_key(db, signer, now)
    if own is None:
        return
    keys: dict[str, PrivateKey] = {signer.person_id: own}
    for voice in {_voice(revision) for revision in revisions} - {"", signer.person_id}:
        keys[voice] = key_of(signer.logbook, voice) or own
    keep_signatures(
        db,
        (
            (revision.revision_id, keys.get(_voice(revision), own).sign(revision.statement))
            for revision in revisions
        ),
    )


def sign_erasings(
    db: Database, signer: Signer, tombstones: Iterable[Tombstone], person_id: str, now: datetime
) -> None:
    """Sign what was erased: with the person's own key where it is here, else the signer's."""
    key = key_of(signer.logbook, person_id)
    if key is None and signer.person_id != person_id:
        key = _own_key(db, signer, now)
    if key is not None:
        keep_signatures(db, ((t.record_id, key.sign(t.statement)) for t in tombstones))


def _own_key(db: Database, signer: Signer, now: datetime) -> PrivateKey | None:
    person_id = signer.person_id or replica_of(db)
    key = key_of(signer.logbook, person_id) or _key_before_a_merge(db, signer, person_id)
    key = key or make_key(signer.logbook, person_id, now)
    if key is not None:
        name = signer.name if signer.person_id else NOBODY_IN_USE
        add_own_key(db, person_id, key.public, lambda: key.card(name), now)
    return key


def _key_before_a_merge(db: Database, signer: Signer, person_id: str) -> PrivateKey | None:
    """The key of an entry that was made one with this one, kept under this one's id too."""
    for gone, kept in united_with(db).items():
        if kept == person_id and (key := key_of(signer.logbook, gone)) is not None:
            same = replace(key, person_id=person_id)
            with contextlib.suppress(LogbookError):
                keep_key(signer.logbook, same)
                return same
    return None


def _voice(revision: Revision) -> str:
    """The id or name of whoever a look, sign-off or message speaks for; "" for other records."""
    field = SPEAKS_AS.get(revision.kind)
    return str(revision.links.get(field) or "") if field is not None else ""


def keep_signatures(db: Database, signed: Iterable[tuple[str, Signature]]) -> None:
    """Keep signatures, by the id of what they sign."""
    db.conn.executemany(
        "INSERT OR REPLACE INTO signature (of_id, key, signature) VALUES (?, ?, ?)",
        ((of_id, s.key, s.signature) for of_id, s in signed),
    )


def signatures_of(db: Database, ids: Iterable[str]) -> dict[str, Signature]:
    """The signatures of these revisions or erasings that are here, by id."""
    signed: dict[str, Signature] = {}
    for batch in batches(ids):
        rows = db.execute(
            "SELECT of_id, key, signature FROM signature"
            " WHERE of_id IN (SELECT value FROM json_each(?))",
            [batch],
        )
        signed |= {of_id: Signature(key, signature) for of_id, key, signature in rows}
    return signed


_AT_ONCE = 2_000


def each_signed(db: Database, revisions: Iterable[Revision]) -> Iterator[Revision]:
    """The same revisions with the signatures that are kept of them, a few at a time."""
    rest = iter(revisions)
    while some := list(islice(rest, _AT_ONCE)):
        of = signatures_of(db, (revision.revision_id for revision in some))
        yield from (replace(r, signed=of.get(r.revision_id)) for r in some)


def signers_of(db: Database, replicas: Iterable[str]) -> frozenset[str]:
    """The keys that signed what these replicas made."""
    query = (
        "SELECT DISTINCT s.key FROM signature AS s"
        " JOIN revision AS r ON r.revision_id = s.of_id JOIN change AS c USING (change_id)"
        " WHERE c.replica IN (SELECT value FROM json_each(?))"
    )
    return frozenset(row[0] for row in db.execute(query, [json.dumps(sorted(replicas))]))


class SignedCount(Value):
    """How many revisions a logbook has, how many of them are signed, and whence the others are.

    `before` were made here before anything was signed here, `since` were made here later, and
    `from_others` came in a bundle.
    """

    revisions: int
    signed: int
    before: int
    since: int
    from_others: int


def signed_count(db: Database) -> SignedCount:
    """How much of a logbook is signed."""
    own = json.dumps([replica_of(db), *former_replicas(db)])
    query = (
        "SELECT c.replica IN (SELECT value FROM json_each(:own)) AS here, s.of_id IS NOT NULL,"
        " c.counter < (SELECT min(f.counter) FROM signature JOIN revision ON revision_id = of_id"
        " JOIN change AS f USING (change_id)"
        " WHERE f.replica IN (SELECT value FROM json_each(:own))) AS early, count(*)"
        " FROM revision AS r JOIN change AS c USING (change_id)"
        " LEFT JOIN signature AS s ON s.of_id = r.revision_id GROUP BY 1, 2, 3"
    )
    revisions = signed = before = since = from_others = 0
    for here, is_signed, early, count in db.execute(query, {"own": own}).fetchall():
        revisions += count
        if is_signed:
            signed += count
        elif not here:
            from_others += count
        elif early or early is None:
            before += count
        else:
            since += count
    return SignedCount(revisions, signed, before, since, from_others)


def anything_signed(db: Database) -> bool:
    """Whether any revision here is signed."""
    query = "SELECT 1 FROM signature JOIN revision ON revision_id = of_id LIMIT 1"
    return db.execute(query).fetchone() is not None


@functools.lru_cache(maxsize=256)
def _public_key(key: str) -> "Ed25519PublicKey":
    """The key of this text, made once; ValueError where it is none."""
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    return Ed25519PublicKey.from_public_bytes(as_bytes(key))


def fits(statement: bytes, signed: Signature | None) -> bool:
    """Whether this key made this signature of this statement; False without a signature."""
    if signed is None:
        return False
    from cryptography.exceptions import InvalidSignature

    try:
        _public_key(signed.key).verify(as_bytes(signed.signature), statement)
    except (InvalidSignature, ValueError):
        return False
    return True
