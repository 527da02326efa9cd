"""The lines of a bundle file: what each holds, and where it is not what it says.

| line | holds |
|---|---|
| first | the manifest: format, replica, how many of each kind of line follow, bytes and SHA-256, |
| | the keys that signed in it, and the cards that say whose they are |
| `change` | one command: who, where, when; it stands before its revisions |
| `revision` | one record as that command left it, `record` as the very text the logbook keeps |
| `erased` | an id that must not come back |
| `course` | the text of a course version |
| `prior` | a class without one setter, as sums |
"""

import re
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from platebook.practice.revision import (
    HIGHEST_COUNTER,
    Change,
    CourseCopy,
    KeyCard,
    Revision,
    Signature,
    Tombstone,
)
from platebook.practice.text import has_unsafe, json_in

SUFFIX = ".platebook"
FORMAT = 1
NO_DIGEST = "0" * 64
"""Stands in the manifest while the digest over the whole file is computed."""

MOST_PARENTS = 1000
LONGEST_NAME = 200
LARGEST_SCHEMA = 10_000
_ID = re.compile("[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")
_YEARS = range(1900, 3000)
LONGEST_SIGNATURE = 100
_ALTERED = (
    "does not read as it was saved (its checksum differs), so the logbook that it came from is"
    " damaged. Let platebook check look through that one, and restore its latest backup"
)


class NotABundle(Exception):  # noqa: N818 - named for what is so, not for being an error
    """The file is no bundle that can be taken in; `sentence` says why, without the file's name."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


def object_in(line: bytes, number: int) -> dict[str, Any]:
    """The JSON object that a line is; NotABundle names the line where it is none."""
    try:
        row = json_in(line, finite=True)
    except ValueError:
        row = None
    if not isinstance(row, dict):
        raise NotABundle(f"line {number}: read {line[:40]!r}, expected a JSON object")
    return row


class Fields:
    """The fields of one line, each asked for by its type; NotABundle where one is not of it."""

    def __init__(self, row: object, where: str) -> None:
        if not isinstance(row, dict):
            raise NotABundle(f"{where}: read {row!r:.40}, expected a JSON object")
        self._row: Mapping[str, Any] = row
        self._where = where

    def wrong(self, name: str, expected: str) -> NotABundle:
        """What to raise about a field."""
        return NotABundle(
            f"{self._where}, {name}: read {self._row.get(name)!r:.60}, expected {expected}"
        )

    def text(self, name: str, longest: int | None = LONGEST_NAME) -> str:
        """A text with nothing in it that steers a terminal or turns text around."""
        value = self._row.get(name)
        if not isinstance(value, str) or (longest is not None and len(value) > longest):
            raise self.wrong(name, f"text of at most {longest} characters" if longest else "text")
        if has_unsafe(value):
            raise self.wrong(
                name, "text without characters that steer a terminal or turn text around"
            )
        return value

    def whole(self, name: str, lowest: int, highest: int) -> int:
        """A whole number from `lowest` to `highest`."""
        value = self._row.get(name)
        if type(value) is not int or not lowest <= value <= highest:
            raise self.wrong(name, f"a whole number from {lowest} to {highest}")
        return value

    def truth(self, name: str) -> bool:
        """True or false."""
        value = self._row.get(name)
        if not isinstance(value, bool):
            raise self.wrong(name, "true or false")
        return value

    def an_id(self, name: str) -> str:
        """A UUID as RFC 9562 writes it, in small letters."""
        value = self._row.get(name)
        if not is_id(value):
            raise self.wrong(name, "a UUID")
        return str(value)

    def ids(self, name: str) -> tuple[str, ...]:
        """A list of different UUIDs."""
        value = self._row.get(name)
        if not isinstance(value, list) or len(value) > MOST_PARENTS or not all(map(is_id, value)):
            raise self.wrong(name, f"a list of at most {MOST_PARENTS} UUIDs")
        if len(set(value)) < len(value):
            raise self.wrong(name, "each UUID once")
        return tuple(value)

    def any_of(self, name: str, without: object) -> object:
        """What stands there, whatever it is; `without` where nothing does."""
        return self._row.get(name, without)

    def checksum(self) -> str | None:
        """The checksum that came along; None in the bundle of a program that sent none."""
        return None if self._row.get("checksum") is None else self.text("checksum")

    def moment(self, name: str) -> datetime:
        """A time with its offset, whatever clock it came from."""
        value = self._row.get(name)
        try:
            moment = datetime.fromisoformat(value) if isinstance(value, str) else None
        except ValueError:
            moment = None
        offset = None if moment is None else moment.utcoffset()
        if moment is None or offset is None or offset.total_seconds() % 60:
            raise self.wrong(name, "a time with its offset, as 2026-02-03T18:30:00+01:00")
        if moment.year not in _YEARS:
            raise self.wrong(name, f"a year from {_YEARS[0]} to {_YEARS[-1]}")
        return moment


def is_id(value: object) -> bool:
    """Whether this is a UUID written in the one way that ids are compared in."""
    return isinstance(value, str) and _ID.fullmatch(value) is not None


def change_row(change: Change) -> dict[str, object]:
    """The line of a change."""
    return {
        "change_id": change.change_id,
        "replica": change.replica,
        "author": change.author,
        "counter": change.counter,
        "wall": change.wall.isoformat(),
        "what": change.what,
        "reverts": change.reverts,
        "checksum": change.saved_checksum or change.checksum,
    }


def change_in(row: object, where: str) -> Change:
    """The change that a line is."""
    fields = Fields(row, where)
    reverts = isinstance(row, dict) and row.get("reverts") is not None
    change = Change(
        change_id=fields.an_id("change_id"),
        replica=fields.an_id("replica"),
        author=fields.text("author"),
        counter=fields.whole("counter", 1, HIGHEST_COUNTER),
        wall=fields.moment("wall"),
        what=fields.text("what"),
        reverts=fields.an_id("reverts") if reverts else None,
        saved_checksum=fields.checksum(),
    )
    if change.saved_checksum not in {None, change.checksum}:
        raise NotABundle(f"{where}: the change {change.change_id} {_ALTERED}")
    return change


def key_numbers(keys: Sequence[str]) -> dict[str, int]:
    """The place of each key in the manifest, by which the lines name it."""
    return {key: number for number, key in enumerate(keys)}


def card_row(card: KeyCard, numbers: Mapping[str, int]) -> dict[str, object]:
    """Whose a key is, as the manifest has it."""
    handed = {"handed_by": card.handed_by, "hand_over": card.hand_over} if card.handed_by else {}
    return {
        "key": numbers[card.key],
        "person_id": card.person_id,
        "name": card.name,
        "made": card.made.isoformat(),
        "signature": card.signature,
        **handed,
    }


def cards_in(rows: object, keys: Sequence[str]) -> tuple[KeyCard, ...]:
    """The cards that the manifest has."""
    if not isinstance(rows, list):
        raise NotABundle(f"line 1, cards: read {rows!r:.60}, expected a list")
    cards = []
    for row in rows:
        fields = Fields(row, "line 1, cards")
        handed = isinstance(row, dict) and "handed_by" in row
        cards.append(
            KeyCard(
                key=keys[fields.whole("key", 0, len(keys) - 1)],
                person_id=fields.an_id("person_id"),
                name=fields.text("name"),
                made=fields.moment("made"),
                signature=fields.text("signature", LONGEST_SIGNATURE),
                handed_by=fields.text("handed_by", LONGEST_SIGNATURE) if handed else "",
                hand_over=fields.text("hand_over", LONGEST_SIGNATURE) if handed else "",
            )
        )
    return tuple(cards)


def keys_in(rows: object) -> tuple[str, ...]:
    """The public keys that the manifest has."""
    if not isinstance(rows, list) or not all(
        isinstance(key, str) and len(key) <= LONGEST_SIGNATURE and not has_unsafe(key)
        for key in rows
    ):
        raise NotABundle(f"line 1, keys: read {rows!r:.60}, expected a list of keys")
    return tuple(rows)


def _signed_row(signed: Signature | None, numbers: Mapping[str, int]) -> dict[str, object]:
    """The signature of a line: which key, and what it made of it."""
    return {} if signed is None else {"signed": [numbers[signed.key], signed.signature]}


def _signature_in(row: object, keys: Sequence[str], where: str) -> Signature | None:
    """The signature of a line; None where it has none. Whether it fits is looked at later."""
    signed = row.get("signed") if isinstance(row, dict) else None
    match signed:
        case None:
            return None
        case [int(number), str(text)] if 0 <= number < len(keys) and (
            len(text) <= LONGEST_SIGNATURE and not has_unsafe(text)
        ):
            return Signature(keys[number], text)
    raise NotABundle(f"{where}, signed: read {signed!r:.60}, expected a key's number and a text")


def revision_row(revision: Revision, numbers: Mapping[str, int]) -> dict[str, object]:
    """The line of a revision."""
    return {
        "revision_id": revision.revision_id,
        "kind": revision.kind,
        "record_id": revision.record_id,
        "parents": list(revision.parents),
        "change_id": revision.change.change_id,
        "schema": revision.schema,
        "hidden": revision.hidden,
        "record": revision.record,
        "checksum": revision.saved_checksum or revision.checksum,
        **_signed_row(revision.signed, numbers),
    }


def revision_in(
    row: object, where: str, changes: Mapping[str, Change], keys: Sequence[str] = ()
) -> Revision:
    """The revision that a line is; its change stands above it."""
    fields = Fields(row, where)
    change = changes.get(fields.an_id("change_id"))
    if change is None:
        raise fields.wrong("change_id", "a change that stands above it")
    revision = Revision(
        revision_id=fields.an_id("revision_id"),
        kind=fields.text("kind"),
        record_id=fields.an_id("record_id"),
        parents=fields.ids("parents"),
        change=change,
        schema=fields.whole("schema", 1, LARGEST_SCHEMA),
        hidden=fields.truth("hidden"),
        record=fields.text("record", None),
        saved_checksum=fields.checksum(),
        signed=_signature_in(row, keys, where),
    )
    if revision.revision_id in revision.parents:
        raise fields.wrong("parents", "other revisions than itself")
    if not _is_flat(revision):
        raise fields.wrong("record", "a record as a JSON object of texts and numbers")
    if revision.saved_checksum not in {None, revision.checksum}:
        raise NotABundle(f"{where}: the {revision.kind} {revision.record_id} {_ALTERED}")
    return revision


def _is_flat(revision: Revision) -> bool:
    """Whether its record is as every kind has it: names with single values, by which all seek."""
    try:
        row: object = revision.row
    except ValueError:
        return False
    return isinstance(row, dict) and not any(isinstance(v, dict | list) for v in row.values())


def tombstone_row(tombstone: Tombstone, numbers: Mapping[str, int]) -> dict[str, object]:
    """The line of something erased."""
    return {
        "record_id": tombstone.record_id,
        "kind": tombstone.kind,
        "replica": tombstone.replica,
        "erased": tombstone.erased.isoformat(),
        **_signed_row(tombstone.signed, numbers),
    }


def tombstone_in(row: object, where: str, keys: Sequence[str] = ()) -> Tombstone:
    """What was erased, as a line says it."""
    fields = Fields(row, where)
    return Tombstone(
        record_id=fields.an_id("record_id"),
        kind=fields.text("kind"),
        replica=fields.an_id("replica"),
        erased=fields.moment("erased"),
        signed=_signature_in(row, keys, where),
    )


def course_in(row: object, where: str) -> CourseCopy:
    """The course text that a line is."""
    fields = Fields(row, where)
    return CourseCopy(
        course=fields.text("course"),
        version=fields.whole("version", 0, 10**9),
        text=fields.text("text", None),
    )


def prior_in(row: object, where: str) -> tuple[str, str]:
    """A setter's id and the sums of their class, as a line has them."""
    fields = Fields(row, where)
    return fields.an_id("setter_id"), fields.text("sums", None)
