"""Revisions, every change of the record as a row, and the bundles in which they travel.

| function | gives |
|---|---|
| `heads` | those that no other one rests on |
| `current` | the one that counts: the highest (counter, id) |
| `clash` | whether two of them were made without knowing of each other |

All of them give the same answer for the same set in any order.

Changes and revisions carry a checksum of all they say, worked out as they are saved. It tells a bit
that flipped on a disk or on the way. Who wrote a revision is shown by its signature: a key made on
that person's machine signs its `statement`, which is all that it says but for what may be said anew
without its meaning another thing (the counter of its change, checksums).

A bundle is one logbook's word. Taking it in is a set union, so it may come late, twice, or after a
newer one.
"""

import hashlib
import json
import sys
from collections.abc import Iterable, Iterator, Mapping
from datetime import UTC, datetime, timedelta
from functools import cached_property
from typing import Any

from platebook.practice.text import json_in
from platebook.values import Value

HIGHEST_COUNTER = 2**53
"""The highest number that every JSON reader reads exactly; `history.counters` refuses far less."""

NOBODY = "erased"
"""Stands where an erased person had signed."""

LINKS = (
    "setter_id",
    "attempt_id",
    "class_id",
    "course",
    "name",
    "teachers",
    "inspector",
    "signed_by",
    "author",
)
"""Columns by which a record belongs to a person, an attempt, a class or a course, or names one."""

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_CHECKSUM_BYTES = 16


def _checksum(*said: object) -> str:
    """BLAKE2b over these values, 128 bits as hexadecimal digits."""
    text = json.dumps(said, ensure_ascii=False, separators=(",", ":"))
    data = text.encode("utf-8", "surrogatepass")
    return hashlib.blake2b(data, digest_size=_CHECKSUM_BYTES).hexdigest()


def _statement(*said: object) -> bytes:
    """What is signed: these values as one line of JSON, the first of them saying what it is."""
    text = json.dumps(said, ensure_ascii=False, separators=(",", ":"))
    return text.encode("utf-8", "surrogatepass")


def _once(value: Any) -> Any:
    """The value; a text that many records hold is kept once for all of them."""
    return sys.intern(value) if type(value) is str else value


def _microseconds(moment: datetime) -> int:
    return (moment - _EPOCH) // timedelta(microseconds=1)


class Signature(Value):
    """What a key made of a statement; `key` is the public key. Both are base64 for addresses."""

    key: str
    signature: str


class KeyCard(Value, kw_only=True):
    """Whose key this is, by the key's own word.

    `signature` is the key's own over `statement`. `handed_by` is a key of the same person's that
    says the same with `hand_over`: so a person goes on with another key.
    """

    key: str
    person_id: str
    name: str
    made: datetime
    signature: str
    handed_by: str = ""
    hand_over: str = ""

    @property
    def statement(self) -> bytes:
        """What the key says of itself, and a key says that hands over to it."""
        return _statement(
            "platebook key", self.key, self.person_id, self.name, _microseconds(self.made)
        )


_BESIDE = ("saved_checksum", "signed")
"""What came beside what was said: it counts for nothing where two are compared."""


class _Said(Value, kw_only=True, eq=False):
    """What somebody said once; two are equal that say the same, whatever came beside it."""

    def _said(self) -> tuple[object, ...]:
        return tuple(getattr(self, name) for name in self.__struct_fields__ if name not in _BESIDE)

    def __eq__(self, other: object) -> bool:
        return type(other) is type(self) and self._said() == other._said()

    def __ne__(self, other: object) -> bool:
        return not self == other

    def __hash__(self) -> int:
        return hash(self._said())


class Change(_Said, kw_only=True):
    """One command of one author in one logbook; an import of 64 rows is one change.

    `counter` is a Lamport clock: higher than that of every change its logbook knew. `wall` is the
    time of the clock on the wall, to be shown and never to be sorted by. `what` names the command
    and `reverts` the change that an undo or redo is about. `saved_checksum` is the checksum that
    was kept or sent with it, None where none was.
    """

    change_id: str
    replica: str
    author: str
    counter: int
    wall: datetime
    what: str
    reverts: str | None = None
    saved_checksum: str | None = None

    @property
    def checksum(self) -> str:
        """The checksum of what it says now."""
        offset = self.wall.utcoffset() or timedelta()
        return _checksum(
            self.change_id,
            self.replica,
            self.author,
            self.counter,
            _microseconds(self.wall),
            offset // timedelta(minutes=1),
            self.what,
            self.reverts,
        )


class Revision(_Said, kw_only=True, dict=True):
    """One record as a change left it.

    `parents` are the revisions it was made from: none for a new record, several where it settles
    a clash. `record` is the whole record as JSON text with sorted keys, under `schema`. A school's
    bundle has hundreds of thousands of them at once, so of what the record says only its `links`
    are kept beside the text. `saved_checksum` is the checksum that was kept or sent with it, None
    where none was; `signed` its signature, where it was read or sent with it.
    """

    revision_id: str
    kind: str
    record_id: str
    parents: tuple[str, ...]
    change: Change
    schema: int
    hidden: bool
    record: str
    saved_checksum: str | None = None
    signed: Signature | None = None

    @property
    def statement(self) -> bytes:
        """What is signed of it: the record, what it replaces, and who changed it when.

        Its ids are in it, so that an old revision does not pass for a new one. The counter is not:
        a logbook may be numbered anew.
        """
        change = self.change
        offset = change.wall.utcoffset() or timedelta()
        return _statement(
            "platebook revision",
            self.revision_id,
            self.kind,
            self.record_id,
            sorted(self.parents),
            change.change_id,
            change.author,
            _microseconds(change.wall),
            offset // timedelta(minutes=1),
            change.what,
            change.reverts,
            self.schema,
            self.hidden,
            self.record,
        )

    @property
    def checksum(self) -> str:
        """The checksum of what it says now."""
        return _checksum(
            self.revision_id,
            self.kind,
            self.record_id,
            self.parents,
            self.change.change_id,
            self.change.counter,
            self.schema,
            self.hidden,
            self.record,
        )

    @property
    def row(self) -> dict[str, Any]:
        """The record as columns and values, read anew each time.

        ValueError for a text that is no JSON.
        """
        row: dict[str, Any] = json_in(self.record)
        return row

    @cached_property
    def links(self) -> Mapping[str, Any]:
        """Those columns of the record that say whose and about what it is, read once.

        None of them in a text that holds no record.
        """
        try:
            row = self.row
        except ValueError:
            return {}
        known = row if isinstance(row, dict) else {}
        return {name: _once(known[name]) for name in LINKS if name in known}

    @property
    def rank(self) -> tuple[int, str]:
        """What decides which revision of a record counts."""
        return self.change.counter, self.revision_id


def heads(revisions: Iterable[Revision]) -> tuple[Revision, ...]:
    """The revisions of one record that no other one was made from, lowest rank first."""
    known = tuple(revisions)
    superseded = {parent for revision in known for parent in revision.parents}
    standing = (r for r in known if r.revision_id not in superseded)
    return tuple(sorted(standing, key=lambda r: r.rank))


def current(revisions: Iterable[Revision]) -> Revision | None:
    """The revision of one record that counts; None where there is none."""
    return max(revisions, key=lambda r: r.rank, default=None)


def clash(revisions: Iterable[Revision]) -> bool:
    """Whether one record has revisions of which neither is an ancestor of the other."""
    return len(heads(revisions)) > 1


class Tombstone(_Said, kw_only=True):
    """What stays of a record that was erased for good: its id, and where and when that was.

    Who hands an erasing on repeats it as their own, so where it was is no part of what is signed.
    """

    record_id: str
    kind: str
    replica: str
    erased: datetime
    signed: Signature | None = None

    @property
    def statement(self) -> bytes:
        """What is signed of it."""
        return _statement(
            "platebook erasing", self.record_id, self.kind, _microseconds(self.erased)
        )


class CourseCopy(Value, kw_only=True):
    """The text of one course version."""

    course: str
    version: int
    text: str

    @property
    def digest(self) -> str:
        """The SHA-256 of the text, by which a logbook keeps it."""
        return hashlib.sha256(self.text.encode("utf-8")).hexdigest()


class Bundle(Value, kw_only=True):
    """All that one logbook hands on.

    `replica` is the logbook's id. `keys` are the cards of those that signed in it. `priors` are
    pairs: a setter's id, and as JSON text the sums of what goes with failure in their class without
    them.
    """

    replica: str
    revisions: tuple[Revision, ...]
    tombstones: tuple[Tombstone, ...] = ()
    courses: tuple[CourseCopy, ...] = ()
    priors: tuple[tuple[str, str], ...] = ()
    keys: tuple[KeyCard, ...] = ()
    anonymous: bool = False

    @property
    def authors(self) -> tuple[str, ...]:
        """Everyone who signed a change in it, by name."""
        return tuple(sorted({revision.change.author for revision in self.revisions}))


class BundleStream(Value, kw_only=True):
    """A bundle on its way out: its parts come one after the other and are gone through once.

    A school's would fill the memory. `parts` are the revisions by rank, then tombstones by id, then
    courses. `signers` are the public keys that signed in it, `keys` the cards that go along.
    """

    replica: str
    parts: Iterator[Revision | Tombstone | CourseCopy]
    signers: frozenset[str] = frozenset()
    keys: tuple[KeyCard, ...] = ()
    anonymous: bool = False
