"""The keys that this logbook knows, and whose it takes them for.

A key is taken for a person's at the first meeting: the first one that comes in their name. From
then on another one is theirs only where a key of theirs hands over to it, or somebody here answers
so. What two entries of one person signed counts for both once they were made one.
"""

from collections.abc import Callable, Collection, Iterable
from datetime import datetime
from typing import Any

from platebook.logbook.file.connection import Database, writing
from platebook.logbook.history.revisions import batches
from platebook.logbook.row_values import instant, time_of
from platebook.logbook.signing.private_keys import PrivateKey
from platebook.practice.revision import KeyCard
from platebook.values import Value, replace

HERE, FIRST_MET, HANDED, ANSWERED, START_FILE = (
    "here",
    "first met",
    "handed over",
    "answered",
    "start file",
)
"""How a key came to be taken for somebody's."""


class KnownKey(Value):
    """A key that is taken for this person's, since when and how.

    `teaches_us` says that whoever works here lets this person change their records, as a teacher.
    """

    card: KeyCard
    how: str
    since: datetime
    teaches_us: bool

    @property
    def key(self) -> str:
        """The public key."""
        return self.card.key

    @property
    def person_id(self) -> str:
        """Whose it is taken for."""
        return self.card.person_id


def known_keys(db: Database, person_id: str | None = None) -> tuple[KnownKey, ...]:
    """All keys that are known, or those of one person, the first met first."""
    rows = db.query(
        "SELECT * FROM known_key WHERE coalesce(person_id = ?, 1) ORDER BY since_us, key",
        [person_id],
    )
    return tuple(map(_known, rows))


def _known(row: dict[str, Any]) -> KnownKey:
    card = KeyCard(
        key=row["key"],
        person_id=row["person_id"],
        name=row["name"],
        made=time_of(row["made_us"], 0),
        signature=row["signature"],
        handed_by=row["handed_by"],
        hand_over=row["hand_over"],
    )
    since = time_of(row["since_us"], 0)
    return KnownKey(card, row["how"], since, bool(row["teaches_us"]))


def add_own_key(
    db: Database, person_id: str, key: str, card: Callable[[], KeyCard], now: datetime
) -> None:
    """Know a key that signs here as its person's, inside a transaction."""
    query = "SELECT 1 FROM known_key WHERE person_id = ? AND key = ? AND how = ?"
    if not db.execute(query, [person_id, key, HERE]).fetchone():
        add_known_key(db, card(), HERE, now)


def know_own_key(db: Database, key: PrivateKey, name: str, now: datetime) -> None:
    """Know the key of a person here before it signed anything."""
    with writing(db):
        add_own_key(db, key.person_id, key.public, lambda: key.card(name), now)


def add_known_key(
    db: Database, card: KeyCard, how: str, now: datetime, *, teaches_us: bool = False
) -> None:
    """Take a key for a person's from now on, inside a transaction; a hand-over is added to it."""
    db.execute(
        "INSERT INTO known_key (key, person_id, name, made_us, signature, handed_by, hand_over,"
        " how, since_us, teaches_us) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
        " ON CONFLICT (person_id, key) DO UPDATE SET"
        " name = excluded.name, made_us = excluded.made_us, signature = excluded.signature,"
        " handed_by = CASE excluded.handed_by WHEN '' THEN handed_by ELSE excluded.handed_by END,"
        " hand_over = CASE excluded.hand_over WHEN '' THEN hand_over ELSE excluded.hand_over END,"
        " how = CASE excluded.how WHEN 'here' THEN 'here' ELSE how END,"
        " teaches_us = max(teaches_us, excluded.teaches_us)",
        [
            card.key,
            card.person_id,
            card.name,
            instant(card.made)[0],
            card.signature,
            card.handed_by,
            card.hand_over,
            how,
            instant(now)[0],
            int(teaches_us),
        ],
    )


def hand_over(db: Database, own: PrivateKey, card: KeyCard, now: datetime) -> None:
    """Say with a key of one's own that another one is one's own too; it travels with bundles."""
    signed = own.sign(card.statement)
    with writing(db):
        handed = replace(card, handed_by=signed.key, hand_over=signed.signature)
        add_known_key(db, handed, HANDED, now)


def trust_key(db: Database, card: KeyCard, now: datetime) -> None:
    """Take a key for its person's because somebody here says so; it does not travel."""
    with writing(db):
        add_known_key(db, card, ANSWERED, now)


def forget_key(db: Database, person_id: str, key: str) -> None:
    """Take a key for this person's no longer."""
    with writing(db):
        db.execute("DELETE FROM known_key WHERE person_id = ? AND key = ?", [person_id, key])


def forget_keys_of(db: Database, person_ids: Iterable[str]) -> None:
    """Forget all keys of people who were erased, and what was asked about them."""
    for batch in batches(person_ids):
        for table in ("known_key", "held_signing"):
            db.execute(
                f"DELETE FROM {table} WHERE person_id IN (SELECT value FROM json_each(?))",  # noqa: S608 - names of our own
                [batch],
            )


def cards_for(db: Database, keys: Collection[str]) -> tuple[KeyCard, ...]:
    """What goes along with what these keys signed: whose they are, and hand-overs to others."""
    known = known_keys(db)
    people = {each.person_id for each in known if each.key in keys}
    going = (
        each.card
        for each in known
        if each.key in keys or (each.card.hand_over and each.person_id in people)
    )
    return tuple(sorted(going, key=lambda card: (card.key, card.person_id)))


def united_with(db: Database) -> dict[str, str]:
    """The entries that were made one with another, with the entry that stands for them."""
    rows = db.execute(
        "SELECT DISTINCT s.setter_id, json_extract(o.record, '$.setter_id') FROM setter AS s"
        " JOIN revision AS r ON r.revision_id = s.revision_id"
        " JOIN change AS c ON c.change_id = r.change_id"
        " JOIN revision AS o ON o.change_id = r.change_id"
        " WHERE s.hidden AND c.what = 'merge'"
        " AND json_extract(o.record, '$.setter_id') <> s.setter_id"
    )
    return {gone: kept for gone, kept in rows if isinstance(kept, str)}
