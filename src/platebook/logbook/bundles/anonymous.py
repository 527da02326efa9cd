"""A bundle without the people in it: other ids, days counted from the first, no names, no notes.

What a person typed freely is left out or stands as a word made of a secret that never leaves the
logbook. The same record always gets the same other id, so that sharing again adds and corrects and
does not repeat. Tools, plates and courses of one's own stay at home. What was measured stays as it
is, and a rare stone or an odd size may still tell who it was.
"""

import hashlib
import hmac
import json
import re
import secrets
import uuid
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import UTC, date, datetime, timedelta
from typing import Any, TypeVar

from platebook.logbook.bundles.exporting import all_known
from platebook.logbook.defaults import default, former_replicas, set_default
from platebook.logbook.erasures.erasing import tombstones
from platebook.logbook.file.connection import Database, reading
from platebook.logbook.history.revisions import replica_of
from platebook.logbook.record_kinds import Kind, kinds
from platebook.logbook.row_values import as_json, instant, time_of
from platebook.practice.fields import choices
from platebook.practice.revision import (
    BundleStream,
    Change,
    CourseCopy,
    Revision,
    Tombstone,
)
from platebook.values import Value

Taken = TypeVar("Taken")

SECRET = "what makes shared ids anonymous"  # noqa: S105 - the name it is kept under
FIRST_DAY = datetime(2000, 1, 1, tzinfo=UTC)
"""Where the first day of an anonymous bundle stands, whatever day it was."""

NOBODY_NAMED = "anonymous"
TRAVELS = ("setter", "attempt", "inspection")
_CODES = ("course", "grade", "exercise")
_ALIASES = ("block", "plate", "stone_lot", "seat_bur", "seat_measured_with")
_POSITION = re.compile(r"[A-Z]?[0-9]{1,3}")


class Veil(Value):
    """The secret that makes ids other ids, and the day that counts as the first."""

    secret: bytes
    first_day: date

    def an_id(self, known_id: str) -> str:
        """Another id for this one, always the same; version 8 of RFC 9562, section 5.8."""
        number = bytearray(hmac.digest(self.secret, known_id.encode("utf-8"), hashlib.sha256)[:16])
        number[6] = number[6] & 0x0F | 0x80
        number[8] = number[8] & 0x3F | 0x80
        return str(uuid.UUID(bytes=bytes(number)))

    def a_word(self, typed: str) -> str:
        """A short word for what somebody typed, always the same."""
        return self.an_id(f"word {typed}")[:6]

    def a_day(self, moment: datetime) -> datetime:
        """The midnight of the day as counted from the first."""
        return FIRST_DAY + timedelta(days=(moment.date() - self.first_day).days)


def veil_of(db: Database, now: datetime) -> Veil:
    """This logbook's veil, made when it is first asked for; every later bundle counts by it."""
    kept = default(db, SECRET)
    if kept is None:
        row = db.execute(
            "SELECT began_us, began_offset_min FROM attempt WHERE began_us IS NOT NULL"
            " ORDER BY began_us LIMIT 1"
        ).fetchone()
        first = (now if row is None else time_of(*row)).date()
        kept = json.dumps({"secret": secrets.token_hex(32), "first_day": first.isoformat()})
        set_default(db, SECRET, kept)
    values = json.loads(kept)
    return Veil(bytes.fromhex(values["secret"]), date.fromisoformat(values["first_day"]))


def anonymous_replicas(db: Database) -> frozenset[str]:
    """The ids that this logbook's anonymous bundles have had; none where there were none."""
    kept = default(db, SECRET)
    if kept is None:
        return frozenset()
    veil = Veil(bytes.fromhex(json.loads(kept)["secret"]), FIRST_DAY.date())
    return frozenset(map(veil.an_id, (replica_of(db), *former_replicas(db))))


def hand_on_unnamed(
    db: Database,
    take: Callable[[BundleStream], Taken],
    about: str | None,
    *,
    now: datetime,
    shipped: Iterable[str],
) -> Taken:
    """Let somebody take all that this logbook knows, or knows of one setter, without the people.

    `shipped` are the courses that everyone has. Gives what they give.
    """
    veil = veil_of(db, now)
    db.conn.create_function("veiled", 1, veil.an_id, deterministic=True)
    with reading(db):
        parts = _parts(db, about, veil, frozenset(shipped))
        return take(BundleStream(replica=veil.an_id(replica_of(db)), parts=parts, anonymous=True))


def _parts(
    db: Database, about: str | None, veil: Veil, shipped: frozenset[str]
) -> Iterator[Revision | Tombstone | CourseCopy]:
    """In the order of the other ids, as that of the known ones tells which was made first."""
    for revision in all_known(db, about, by="veiled(r.revision_id)"):
        if revision.kind in TRAVELS:
            yield _revision(revision, veil, shipped)
    veiled = (
        Tombstone(
            record_id=veil.an_id(tombstone.record_id),
            kind=tombstone.kind,
            replica=veil.an_id(tombstone.replica),
            erased=veil.a_day(tombstone.erased),
        )
        for tombstone in tombstones(db)
        if tombstone.kind in TRAVELS
    )
    yield from sorted(veiled, key=lambda tombstone: tombstone.record_id)


def _revision(revision: Revision, veil: Veil, shipped: frozenset[str]) -> Revision:
    row = revision.row
    kind = kinds()[revision.kind]
    make = {"setter": _setter, "attempt": _attempt, "inspection": _inspection}[revision.kind]
    record = make(row, veil, shipped)
    record[kind.key] = veil.an_id(revision.record_id)
    return Revision(
        revision_id=veil.an_id(revision.revision_id),
        kind=revision.kind,
        record_id=veil.an_id(revision.record_id),
        parents=tuple(map(veil.an_id, revision.parents)),
        change=_change(revision.change, veil),
        schema=revision.schema,
        hidden=revision.hidden,
        record=as_json(record),
    )


def _change(change: Change, veil: Veil) -> Change:
    return Change(
        change_id=veil.an_id(change.change_id),
        replica=veil.an_id(change.replica),
        author=NOBODY_NAMED,
        counter=change.counter,
        wall=veil.a_day(change.wall),
        what=change.what,
        reverts=None if change.reverts is None else veil.an_id(change.reverts),
    )


def _setter(row: Mapping[str, Any], veil: Veil, shipped: frozenset[str]) -> dict[str, Any]:
    veiled: dict[str, Any] = {"name": f"setter {veil.a_word(str(row.get('setter_id')))}"}
    veiled["active"] = row.get("active", 1)
    if row.get("course") in shipped:
        veiled |= {name: row[name] for name in ("course", "track") if name in row}
    return veiled


def _attempt(row: Mapping[str, Any], veil: Veil, shipped: frozenset[str]) -> dict[str, Any]:
    veiled = _measured(kinds()["attempt"], row, veil)
    if "began_us" in veiled:
        veiled["day_only"] = 1
    veiled["setter_id"] = veil.an_id(str(row["setter_id"]))
    for name in _CODES:
        if name in row:
            veiled[name] = row[name] if row.get("course") in shipped else veil.a_word(row[name])
    for name in _ALIASES:
        if row.get(name):
            veiled[name] = veil.a_word(row[name])
    if _POSITION.fullmatch(str(row.get("position", ""))):
        veiled["position"] = row["position"]
    return veiled


def _inspection(row: Mapping[str, Any], veil: Veil, shipped: frozenset[str]) -> dict[str, Any]:
    del shipped
    veiled = _measured(kinds()["inspection"], row, veil)
    veiled["attempt_id"] = veil.an_id(row["attempt_id"])
    veiled["inspector"] = veil.an_id(row["inspector"])
    return veiled


def _measured(kind: Kind, row: Mapping[str, Any], veil: Veil) -> dict[str, Any]:
    """What is a number, a yes or no, or one of the record's own words; times as days."""
    veiled: dict[str, Any] = {}
    for column in kind.columns.columns:
        stored = column.stored_as[0]
        value = row.get(stored)
        if value is None:
            continue
        match column.type:
            case "integer" | "number" | "length" | "yes/no":
                veiled[stored] = value
            case "datetime":
                day = veil.a_day(time_of(value, row[column.stored_as[1]]))
                veiled |= dict(zip(column.stored_as, instant(day), strict=True))
            case "text" if value in _listed(column.name):
                veiled[stored] = value
            case "list" if _listed(column.name).issuperset(_words(value)):
                veiled[stored] = value
            case _:
                continue
    if "result" not in veiled:
        veiled.pop("severity", None)
    return veiled


def _words(stored: str) -> frozenset[str]:
    return frozenset(item for item in json.loads(stored) if isinstance(item, str))


def _listed(name: str) -> frozenset[str]:
    """The words that the record has for this field."""
    field = "result" if name == "after_cleanup" else name
    return frozenset(choice.value for choice in choices().get(field, ()))
