"""The keys of a logbook: whose they are, the paper code of one's own, another machine.

| function | gives |
|---|---|
| `keys_here` | the keys that are known, and which of them sign here |
| `own_paper_code`, `put_back_key` | the code to write down, and the key it brings back |
| `hand_over_to` | that another key is one's own too, signed |
| `damaged_keys_words`, `damaged_key_words` | what is wrong with the files of private keys |
| `trust`, `forget` | what somebody here says of another person's key |
"""

import contextlib
from datetime import datetime
from pathlib import Path

from platebook.logbook import Logbook, LogbookError
from platebook.logbook.signing import known_keys, left_out
from platebook.logbook.signing.known_keys import HERE, KnownKey
from platebook.logbook.signing.private_keys import (
    KEY_ENDING,
    PrivateKey,
    fingerprint,
    keep_key,
    key_of,
    make_key,
    paper_code,
    secret_in,
    unreadable_keys,
)
from platebook.logbook.signing.signatures import NOBODY_IN_USE
from platebook.practice.records import name_key
from platebook.practice.revision import KeyCard
from platebook.services.session import Refused, Session, opened
from platebook.values import Value

HOW = {
    HERE: "made here",
    "first met": "first met",
    "handed over": "handed over to",
    "answered": "trusted by an answer here",
    "start file": "from a start file",
}
"""How a key came to be known, in words."""
NOBODY = "key: nobody is in use. Choose who with `platebook setter use` or `platebook teacher use`."


class ListedKey(Value):
    """A key that is known: whose, the letters to compare it by, since when and how.

    `signs_here` says that its private half is kept here. `may_change` that its person may change
    the records of who works here.
    """

    name: str
    person_id: str
    fingerprint: str
    since: datetime
    how: str
    signs_here: bool
    may_change: bool


def keys_here(session: Session) -> tuple[ListedKey, ...]:
    """All keys that this logbook knows, those that sign here first, then by name."""
    if not session.path.exists():
        return ()
    with opened(session) as book:
        known = book.ask(known_keys.known_keys)
        listed = tuple(_listed(session, book, each) for each in known)
    return tuple(sorted(listed, key=lambda k: (not k.signs_here, name_key(k.name), k.since)))


def _listed(session: Session, book: Logbook, each: KnownKey) -> ListedKey:
    own = key_of(book.path, each.person_id)
    return ListedKey(
        name=each.card.name,
        person_id=each.person_id,
        fingerprint=fingerprint(each.key),
        since=each.since.astimezone(session.zone),
        how=HOW[each.how],
        signs_here=own is not None and own.public == each.key,
        may_change=each.teaches_us,
    )


def _whoever_works(session: Session) -> str:
    person_id = session.teacher_id or session.setter_id
    if person_id is None:
        raise Refused(NOBODY)
    if session.invented:
        raise Refused("These people are made up, so they have no keys.")
    return person_id


def own_paper_code(session: Session) -> tuple[str, str]:
    """The code that brings the key of the person in use back, and the letters of that key."""
    person_id = _whoever_works(session)
    with opened(session, make=False) as book:
        key = make_key(book.path, person_id, session.clock())
        if key is None:
            damaged = damaged_key_words(session, book)
            raise Refused(
                damaged or "key: none can be kept beside the logbook; look who may write there"
            )
        book.tell(known_keys.know_own_key, key, session.author, session.clock())
    return paper_code(key.secret), fingerprint(key.public)


def put_back_key(session: Session, typed: str) -> str:
    """Bring the key of the person in use back from its paper code; gives what was done."""
    person_id = _whoever_works(session)
    try:
        secret = secret_in(typed)
    except ValueError as error:
        raise Refused(f"code: {error}") from error
    key = PrivateKey(person_id, secret, session.clock())
    with opened(session, make=False) as book:
        known = {each.key for each in book.ask(known_keys.known_keys, person_id)}
        before = key_of(book.path, person_id)
        if before is not None and before.secret == secret:
            return f"This is the key of {session.author} already."
        keep_key(book.path, key)
        book.tell(known_keys.know_own_key, key, session.author, session.clock())
        if before is not None:
            # What was signed with the key made here in between is the same person's.
            book.tell(known_keys.hand_over, key, before.card(session.author), session.clock())
    sentence = f"{session.author} signs with the key {fingerprint(key.public)} again."
    if known and key.public not in known:
        sentence += " This logbook had not met that key before; others may know it."
    return sentence


def hand_over_to(session: Session, letters: str) -> str:
    """Say, signed, that a key of another machine is one's own too; others hear it by bundle."""
    person_id = _whoever_works(session)
    with opened(session, make=False) as book:
        own = key_of(book.path, person_id)
        if own is None:
            raise Refused("key: yours is not on this machine, so it cannot hand over")
        card = _card(book, person_id, letters)
        book.tell(known_keys.hand_over, own, card, session.clock())
    return (
        f"{session.author} signs with {fingerprint(card.key)} too from now on. Others hear of it "
        "when you share next."
    )


def trust(session: Session, wanted: str, letters: str) -> str:
    """Take a key for a person's, after it was compared with them by its letters."""
    with opened(session, make=False) as book:
        waiting = book.ask(left_out.left_out)
        cards = [
            one.card
            for one in waiting
            if one.card is not None
            and (one.card.person_id == wanted or name_key(one.card.name) == name_key(wanted))
            and _same(one.signer, letters)
        ]
        if not cards:
            raise Refused(
                f"key: no bundle brought a key {letters} of {wanted}. platebook key waiting lists "
                "what was left out, with its key"
            )
        book.tell(known_keys.trust_key, cards[0], session.clock())
    return (
        f"{fingerprint(cards[0].key)} is {cards[0].name}'s key too from now on. What it signed "
        "comes in at the next share or import."
    )


def forget(session: Session, wanted: str, letters: str) -> str:
    """Take a key for a person's no longer: what it signed is left out from now on."""
    with opened(session, make=False) as book:
        meant = [
            each
            for each in book.ask(known_keys.known_keys)
            if (each.person_id == wanted or name_key(each.card.name) == name_key(wanted))
            and _same(each.key, letters)
        ]
        if not meant:
            raise Refused(f"key: no key {letters} of {wanted} is known here")
        if any(each.how == HERE for each in meant):
            raise Refused("key: this one signs in this logbook itself, so it is not forgotten")
        for each in meant:
            book.tell(known_keys.forget_key, each.person_id, each.key)
    return f"{fingerprint(meant[0].key)} is not {meant[0].card.name}'s key here any more."


def _card(book: Logbook, person_id: str, letters: str) -> KeyCard:
    """The card of a key that bundles brought for this person."""
    known = [each.card for each in book.ask(known_keys.known_keys, person_id)]
    waiting = [one.card for one in book.ask(left_out.left_out) if one.card is not None]
    for card in (*known, *waiting):
        if card.person_id == person_id and _same(card.key, letters):
            return card
    raise Refused(
        f"key: no bundle brought a key {letters} of yours. Share from the other machine first, "
        "then here"
    )


def _same(key: str, letters: str) -> bool:
    plain = letters.replace("-", "").replace(" ", "").upper()
    return bool(plain) and fingerprint(key).replace("-", "") == plain


def damaged_keys_words(book: Logbook) -> tuple[str, ...]:
    """A sentence for each file beside the logbook that is no private key any more."""
    unreadable = unreadable_keys(book.path)
    if not unreadable:
        return ()
    names: dict[str, str] = {}
    with contextlib.suppress(LogbookError):  # a damaged logbook is told of elsewhere
        names = {each.person_id: each.card.name for each in book.ask(known_keys.known_keys)}
    return tuple(
        _damaged_words(file, names.get(person_id, person_id))
        for person_id, file in unreadable.items()
    )


def damaged_key_words(session: Session, book: Logbook) -> str | None:
    """The same sentence where it is the key of the person in use, None elsewhere."""
    person_id = session.teacher_id or session.setter_id or ""
    unreadable = {} if session.invented else unreadable_keys(book.path)
    file = unreadable.get(person_id) or unreadable.get("")
    return None if file is None else _damaged_words(file, session.author)


def _damaged_words(file: Path, name: str) -> str:
    if file.suffix != KEY_ENDING:
        return (
            f"The folder of private keys {file} cannot be read, so nothing is signed, and others "
            "leave out what you share. Look who may read it."
        )
    if not name or name == NOBODY_IN_USE:
        return (
            f"The key with which this logbook signs while nobody is in use cannot be read ({file})."
            " Move the file away: a new key is made, which is nobody's either."
        )
    return (
        f"The private key of {name} cannot be read ({file}), so what they do here is not signed, "
        "and others leave it out. Bring it back with its paper code: platebook key restore. "
        "Without one, move the file away: a new key is made, which others have to trust."
    )


def new_key_words(session: Session, book: Logbook) -> str | None:
    """A sentence where the person in use signs with a key that others do not know as theirs."""
    person_id = session.teacher_id or session.setter_id
    own = None if person_id is None else key_of(book.path, person_id)
    if person_id is None or own is None:
        return damaged_key_words(session, book)
    known = book.ask(known_keys.known_keys, person_id)
    mine = next((each for each in known if each.key == own.public), None)
    first = known[0] if known else None
    if mine is None or first is None or first.key == mine.key or mine.card.hand_over:
        return None
    if any(each.card.handed_by == mine.key for each in known):
        return None
    return (
        f"You sign with a key made on this machine, {fingerprint(mine.key)}, and others know "
        f"{fingerprint(first.key)} as yours. Where that one is, say platebook key hand-over "
        f"{fingerprint(mine.key)}; or bring it back here with its paper code: platebook key "
        "restore."
    )
