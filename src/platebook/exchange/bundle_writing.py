"""A bundle as the bytes of one file: JSON Lines under a manifest that says what they are."""

import hashlib
import json
from collections.abc import Iterator

from platebook.exchange.bundle_lines import (
    FORMAT,
    change_row,
    revision_row,
    tombstone_row,
)
from platebook.practice.bundle import Bundle

NO_DIGEST = "0" * 64
"""Stands in the manifest while the digest over the whole file is computed."""


def write_bundle(bundle: Bundle) -> bytes:
    """The file; the same bundle gives the same bytes."""
    lines = [_line(name, row) for name, row in _rows(bundle)]
    body = b"".join(lines)
    manifest = {
        "platebook": "bundle",
        "format": FORMAT,
        "replica": bundle.replica,
        "anonymous": bundle.anonymous,
        "changes": len({revision.change.change_id for revision in bundle.revisions}),
        "revisions": len(bundle.revisions),
        "erased": len(bundle.tombstones),
        "courses": len(bundle.courses),
        "priors": len(bundle.priors),
        "bytes": len(body),
        "sha256": NO_DIGEST,
    }
    head = _json(manifest)
    digest = hashlib.sha256(head + body).hexdigest()
    return head.replace(NO_DIGEST.encode(), digest.encode()) + body


def _rows(bundle: Bundle) -> Iterator[tuple[str, dict[str, object]]]:
    told: set[str] = set()
    for revision in sorted(bundle.revisions, key=lambda r: r.rank):
        if revision.change.change_id not in told:
            told.add(revision.change.change_id)
            yield "change", change_row(revision.change)
        yield "revision", revision_row(revision)
    for tombstone in sorted(bundle.tombstones, key=lambda t: t.record_id):
        yield "erased", tombstone_row(tombstone)
    for copy in bundle.courses:
        yield "course", {"course": copy.course, "version": copy.version, "text": copy.text}
    for setter_id, sums in bundle.priors:
        yield "prior", {"setter_id": setter_id, "sums": sums}


def _line(name: str, row: dict[str, object]) -> bytes:
    return _json({name: row})


def _json(row: dict[str, object]) -> bytes:
    text = json.dumps(row, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return text.encode("utf-8") + b"\n"
