"""Bundles to write and to damage: two attempts of an invented setter and what was said of them."""

import hashlib
import io
import json
import uuid
from datetime import datetime, timedelta, timezone
from pathlib import Path
from tempfile import gettempdir

import pytest
from hypothesis import strategies as st

from platebook.exchange.bundle_draft import BundleDraft
from platebook.exchange.bundle_file import read_bundle
from platebook.exchange.bundle_lines import NO_DIGEST, NotABundle
from platebook.practice.revision import (
    Bundle,
    BundleStream,
    Change,
    CourseCopy,
    Revision,
    Tombstone,
)
from platebook.practice.text import has_unsafe
from platebook.values import replace

WALL = datetime(2026, 2, 3, 18, 30, tzinfo=timezone(timedelta(hours=1)))


def an_id(number: int) -> str:
    """The same UUID for the same number."""
    return str(uuid.uuid5(uuid.NAMESPACE_OID, f"{number}"))


def a_revision(number: int = 1, *, counter: int = 1, note: str = "") -> Revision:
    """One revision of an attempt of its own."""
    return Revision(
        revision_id=an_id(number),
        kind="attempt",
        record_id=an_id(number + 1000),
        parents=(an_id(number + 2000),),
        change=Change(
            change_id=an_id(number + 3000),
            replica=an_id(9),
            author="Ada Quill",
            counter=counter,
            wall=WALL,
            what="record",
        ),
        schema=1,
        hidden=False,
        record=json.dumps({"attempt_id": an_id(number + 1000), "note": note, "setter_id": "s"}),
    )


def a_bundle() -> Bundle:
    """A bundle with a line of every kind."""
    return Bundle(
        replica=an_id(9),
        revisions=(a_revision(1), a_revision(2, counter=2, note="=1+1 [red]ü[/]")),
        tombstones=(Tombstone(record_id=an_id(7), kind="setter", replica=an_id(9), erased=WALL),),
        courses=(CourseCopy(course="small-to-large", version=3, text="id = 'x'\n"),),
        priors=((an_id(5), '{"setters":6}'),),
    )


def write_bundle(bundle: Bundle) -> bytes:
    """The file of a bundle that is all here at once."""
    signatures = (
        *(revision.signed for revision in bundle.revisions),
        *(tombstone.signed for tombstone in bundle.tombstones),
    )
    stream = BundleStream(
        replica=bundle.replica,
        parts=iter((*bundle.revisions, *bundle.tombstones, *bundle.courses)),
        signers=frozenset(each.key for each in signatures if each is not None),
        keys=bundle.keys,
        anonymous=bundle.anonymous,
    )
    with BundleDraft(Path(gettempdir())) as draft:
        draft.take(stream)
        draft.set_priors(bundle.priors)
        return b"".join(draft.chunks())


def as_read(data: bytes) -> Bundle:
    """The bundle that these bytes are."""
    return read_bundle(io.BytesIO(data))


def resealed(data: bytes) -> bytes:
    """The file as somebody would make it who knows how: lines altered, bytes and digest right."""
    head, _, body = data.partition(b"\n")
    manifest = json.loads(head) | {"bytes": len(body), "sha256": NO_DIGEST}
    line = json.dumps(manifest, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"
    digest = hashlib.sha256(line + body).hexdigest()
    return line.replace(NO_DIGEST.encode(), digest.encode()) + body


def altered(name: str, key: str, value: object) -> bytes:
    """A well-sealed file whose first line of this kind has another value at a key."""
    lines = write_bundle(a_bundle()).splitlines(keepends=True)
    place = next(n for n, line in enumerate(lines) if line.startswith(f'{{"{name}"'.encode()))
    row = json.loads(lines[place])
    row[name][key] = value
    lines[place] = json.dumps(row).encode() + b"\n"
    return resealed(b"".join(lines))


@st.composite
def any_bundles(draw: st.DrawFn) -> Bundle:
    """Any bundle that a logbook might hand on."""
    texts = st.text(max_size=40).filter(lambda text: not has_unsafe(text))
    moments = st.datetimes(
        min_value=datetime(1970, 1, 1),  # noqa: DTZ001 - hypothesis puts the zone on
        max_value=datetime(2100, 1, 1),  # noqa: DTZ001 - hypothesis puts the zone on
        timezones=st.integers(-720, 720).map(lambda m: timezone(timedelta(minutes=m))),
    )
    revisions = []
    for number in range(draw(st.integers(0, 5))):
        base = a_revision(number, counter=draw(st.integers(1, 10**12)), note=draw(texts))
        change = replace(
            base.change,
            author=draw(texts),
            wall=draw(moments),
            reverts=draw(st.sampled_from((None, an_id(4)))),
        )
        revisions.append(
            replace(
                base,
                change=change,
                hidden=draw(st.booleans()),
                schema=draw(st.integers(1, 3)),
                parents=tuple(map(an_id, draw(st.sets(st.integers(100, 105))))),
            )
        )
    return Bundle(
        replica=an_id(draw(st.integers(0, 9))),
        anonymous=draw(st.booleans()),
        revisions=tuple(sorted(revisions, key=lambda r: r.rank)),
        tombstones=tuple(
            Tombstone(record_id=an_id(n), kind="setter", replica=an_id(1), erased=draw(moments))
            for n in range(draw(st.integers(0, 1)))
        ),
        courses=tuple(
            CourseCopy(course="c", version=n, text=draw(texts))
            for n in range(draw(st.integers(0, 2)))
        ),
        priors=tuple((an_id(n), draw(texts)) for n in range(draw(st.integers(0, 2)))),
    )


def refused(data: bytes) -> str:
    """What is said of these bytes."""
    with pytest.raises(NotABundle) as caught:
        as_read(data)
    return caught.value.sentence
