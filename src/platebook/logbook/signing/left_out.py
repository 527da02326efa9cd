"""What was left out of bundles because its person's key did not sign it, and the answers to that.

What such a revision says is not kept, only which one it is and a digest of it. An answer is about
just that: taken in is what was asked about, when the bundle comes again, and nothing altered since.

| function | gives |
|---|---|
| `sift` | of what a bundle brings: what comes in, and what is left out and remembered |
| `left_out` | what waits for an answer or was refused, by person and key |
| `answer` | that it is taken in or stays out |
"""

import hashlib
import json
from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Literal

from platebook.logbook.file.connection import Database, writing
from platebook.logbook.history.revisions import batches
from platebook.logbook.row_values import as_json
from platebook.logbook.signing.judging import Judgement, Keyring, sound
from platebook.logbook.signing.known_keys import (
    ANSWERED,
    FIRST_MET,
    HANDED,
    START_FILE,
    add_known_key,
    known_keys,
)
from platebook.logbook.signing.signatures import fits, keep_signatures, signatures_of
from platebook.practice.revision import Bundle, KeyCard, Revision
from platebook.values import Value, replace

Answer = Literal["", "take", "leave"]


class LeftOut(Value):
    """Records in one person's name that were left out, all signed by one key or by none.

    `signer` is that key, "" for none that fits, and `card` what it says of whose it is. `refused`
    ones are not to be taken in by an answer. `told_before` is what an earlier bundle brought just
    so.
    """

    person_id: str
    name: str
    signer: str
    card: KeyCard | None
    replica: str
    records: int
    kinds: tuple[tuple[str, int], ...]
    refused: bool
    answer: Answer
    told_before: bool = False

    @property
    def by_itself(self) -> bool:
        """Whether the key that signed says it is this person's own."""
        return self.card is not None and self.card.person_id == self.person_id


def sift(
    db: Database,
    bundle: Bundle,
    ring: Keyring,
    judged: Iterable[Judgement],
    now: datetime,
    *,
    trusting: bool = False,
) -> tuple[dict[str, Revision], frozenset[str]]:
    """What comes in, by id, and the ids of what is left out, inside a transaction.

    Keys that are met for the first time are known from now on, and so are those handed over to;
    signatures that fit are kept. With `trusting` what would be asked about comes in.
    """
    all_of_it = tuple(judged)
    if trusting:
        all_of_it = tuple(
            replace(j, verdict="not judged") if j.verdict == "asked" else j for j in all_of_it
        )
    all_of_it = _with_their_person(db, all_of_it)
    answered = _answers(db, (j.revision.revision_id for j in all_of_it if j.left_out))
    kept: dict[str, Revision] = {}
    left: list[Judgement] = []
    for each in all_of_it:
        key = each.revision.revision_id
        refused, answer = answered.get((key, each.digest), (None, "")) if each.left_out else (0, "")
        if each.left_out and answer != "take":
            # What was asked about once is not refused when its person's key is met since.
            asked = each.verdict == "refused" and refused == 0 and not each.signer
            left.append(replace(each, verdict="asked") if asked else each)
        else:
            kept[key] = each.revision
    _remember(db, bundle, ring, left)
    _forget(db, kept)
    _meet(db, ring, [each for each in all_of_it if each.revision.revision_id in kept], now)
    keep_signatures(
        db,
        (
            (each.revision.revision_id, each.revision.signed)
            for each in all_of_it
            if each.signer and each.revision.revision_id in kept and each.revision.signed
        ),
    )
    return kept, frozenset(each.revision.revision_id for each in left)


def _with_their_person(db: Database, judged: tuple[Judgement, ...]) -> tuple[Judgement, ...]:
    """What is a person's waits with the person: without their entry it would be nobody's."""
    entries = [j for j in judged if j.revision.kind == "setter"]
    missing = {j.revision.record_id for j in entries}
    missing -= {j.revision.record_id for j in entries if not j.left_out}
    for batch in batches(missing):
        rows = db.execute(
            "SELECT setter_id FROM setter WHERE setter_id IN (SELECT value FROM json_each(?))",
            [batch],
        )
        missing = missing - {row[0] for row in rows.fetchall()}
    if not missing:
        return judged
    return tuple(
        replace(j, verdict="asked")
        if not j.left_out and j.revision.links.get("setter_id") in missing
        else j
        for j in judged
    )


def _answers(db: Database, ids: Iterable[str]) -> dict[tuple[str, str], tuple[int, str]]:
    """What was answered before about revisions, by id and digest, and whether it was refused."""
    answered: dict[tuple[str, str], tuple[int, str]] = {}
    for batch in batches(ids):
        rows = db.execute(
            "SELECT revision_id, digest, refused, answer FROM held_signing"
            " WHERE revision_id IN (SELECT value FROM json_each(?))",
            [batch],
        )
        answered |= {(key, digest): (refused, answer) for key, digest, refused, answer in rows}
    return answered


def _remember(db: Database, bundle: Bundle, ring: Keyring, left: Iterable[Judgement]) -> None:
    names = _names(db, bundle)
    db.conn.executemany(
        "INSERT INTO held_signing (revision_id, digest, kind, record_id, person_id, name, signer,"
        " signer_card, replica, refused, answer) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, '')"
        " ON CONFLICT (revision_id) DO UPDATE SET digest = excluded.digest,"
        " signer = excluded.signer, signer_card = excluded.signer_card,"
        " refused = excluded.refused,"
        " answer = CASE WHEN digest = excluded.digest THEN answer ELSE '' END",
        (
            (
                each.revision.revision_id,
                each.digest,
                each.revision.kind,
                each.revision.record_id,
                each.person_id,
                names.get(each.person_id, each.person_id or "nobody"),
                each.signer,
                _card_text(ring, each),
                bundle.replica,
                int(each.verdict == "refused"),
            )
            for each in left
        ),
    )


def _card_text(ring: Keyring, judgement: Judgement) -> str:
    """The card of the key that signed, as text: the person's in question where there is one."""
    cards = ring.cards.get(judgement.signer, ())
    own = [card for card in cards if card.person_id == judgement.person_id]
    card = next(iter((*own, *cards)), None)
    if card is None:
        return ""
    return as_json([card.person_id, card.name, card.made.isoformat(), card.signature])


def _card_of(text: str, key: str) -> KeyCard | None:
    if not text:
        return None
    person_id, name, made, signature = json.loads(text)
    return KeyCard(
        key=key,
        person_id=person_id,
        name=name,
        made=datetime.fromisoformat(made),
        signature=signature,
    )


def _names(db: Database, bundle: Bundle) -> dict[str, str]:
    """What people are called, by id: as this logbook says it, else as the bundle does."""
    names = {
        revision.record_id: str(revision.links.get("name") or "")
        for revision in bundle.revisions
        if revision.kind in {"setter", "teacher"}
    }
    for table in ("setter", "teacher"):
        rows = db.execute(f"SELECT {table}_id, name FROM {table}")  # noqa: S608 - names of our own
        names |= dict(rows.fetchall())
    return names


def _forget(db: Database, kept: Iterable[str]) -> None:
    for batch in batches(kept):
        db.execute(
            "DELETE FROM held_signing WHERE revision_id IN (SELECT value FROM json_each(?))",
            [batch],
        )


def _meet(db: Database, ring: Keyring, kept: Iterable[Judgement], now: datetime) -> None:
    """Know the keys met now: those that speak for a person of whom none was known, the eldest."""
    for card in ring.handed:
        add_known_key(db, card, HANDED, now)
    spoke: dict[str, set[str]] = {}
    for each in kept:
        if each.signer:
            spoke.setdefault(each.signer, set()).update(
                {each.person_id} if each.verdict == "first met" else set()
            )
            if each.revision.kind in {"class", "membership"}:
                spoke[each.signer] |= {
                    card.person_id for card in ring.cards.get(each.signer, ())
                } - set(ring.of_person)
    eldest: dict[str, KeyCard] = {}
    for key, people in spoke.items():
        for card in ring.cards.get(key, ()):
            if card.person_id in people and not ring.knows(card.person_id):
                first = eldest.get(card.person_id, card)
                eldest[card.person_id] = min(first, card, key=lambda c: (c.made, c.key))
    for card in eldest.values():
        add_known_key(db, card, FIRST_MET, now)


def trust(db: Database, bundle: Bundle, own: frozenset[str], now: datetime) -> None:
    """Know the keys of a start file, and let who teaches in it change the opener's records.

    Of somebody whose key is known already none is added.
    """
    known = {each.person_id for each in known_keys(db)}
    for card in sound(bundle.keys):
        if card.person_id not in known:
            add_known_key(db, card, START_FILE, now, teaches_us=card.person_id not in own)


def adopt_signatures(
    db: Database,
    ring: Keyring,
    incoming: Mapping[str, Revision],
    known: Mapping[str, Revision],
) -> None:
    """Keep the signatures of revisions that are here unsigned and come signed by a known key."""
    lacking = known.keys() - signatures_of(db, known).keys()
    theirs = frozenset().union(*ring.of_person.values())
    found = []
    for key in lacking:
        signed = incoming[key].signed
        if signed is not None and signed.key in theirs and fits(known[key].statement, signed):
            found.append((key, signed))
    keep_signatures(db, found)


Held = frozenset[tuple[str, str]]
"""Revisions that were left out, each by its id and the digest of what it says."""


def held_now(db: Database) -> Held:
    """Those that are remembered."""
    rows = db.execute("SELECT revision_id, digest FROM held_signing").fetchall()
    return frozenset((key, digest) for key, digest in rows)


def left_out(
    db: Database, ids: Iterable[str] | None = None, *, before: Held = frozenset()
) -> tuple[LeftOut, ...]:
    """What was left out, all of it or of these revisions, by name; refused ones last.

    `before` is what was remembered when that was told last.
    """
    rows = db.execute(
        "SELECT person_id, name, signer, signer_card, replica, refused, answer, kind, record_id,"
        " revision_id, digest FROM held_signing ORDER BY revision_id"
    ).fetchall()
    wanted = None if ids is None else set(ids)
    groups: dict[tuple[str, str, int], list[tuple[str, ...]]] = {}
    for row in rows:
        if wanted is None or row[9] in wanted:
            groups.setdefault((row[0], row[2], row[5]), []).append(row)
    gathered = [_gathered(of_group, before) for of_group in groups.values()]
    return tuple(sorted(gathered, key=lambda each: (each.refused, each.name, each.signer)))


def _gathered(rows: list[tuple[str, ...]], before: Held) -> LeftOut:
    person_id, name, signer, card_text, replica, refused, *_ = rows[0]
    card = _card_of(card_text, signer)
    answers = {row[6] for row in rows}
    records = {(row[7], row[8]) for row in rows}
    return LeftOut(
        person_id=person_id,
        name=name,
        signer=signer,
        card=card,
        replica=replica,
        records=len(records),
        kinds=tuple(sorted(Counter(kind for kind, _ in records).items())),
        refused=bool(refused),
        told_before=all((row[9], row[10]) in before for row in rows),
        answer="leave" if answers == {"leave"} else "take" if answers == {"take"} else "",
    )


def keys_and_answers(db: Database) -> str:
    """A mark that is another one once a key more is known, or an answer more was given."""
    rows = [
        *db.execute("SELECT person_id, key, teaches_us FROM known_key ORDER BY 1, 2").fetchall(),
        *db.execute("SELECT revision_id, answer FROM held_signing WHERE answer <> ''").fetchall(),
    ]
    return hashlib.sha256(repr(rows).encode()).hexdigest()


def answer(
    db: Database, asked: LeftOut, word: Answer, *, now: datetime, always: bool = False
) -> None:
    """Answer about what was left out: it comes in with its bundle again, or stays out.

    With `always` whoever signed it may change our people's records from now on.
    """
    with writing(db):
        db.execute(
            "UPDATE held_signing SET answer = ? WHERE person_id = ? AND signer = ? AND NOT refused",
            [word, asked.person_id, asked.signer],
        )
        if always and asked.card is not None:
            add_known_key(db, asked.card, ANSWERED, now, teaches_us=True)
