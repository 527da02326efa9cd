"""A bundle written line by line, so that a school's takes no more memory than a small one.

Its manifest stands first and says what comes after it: how many lines of each kind, how many bytes,
and the digest over all of them. So the lines wait in a draft until the last one is written. The
same bundle gives the same bytes.
"""

import hashlib
import json
import os
import tempfile
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from types import TracebackType
from typing import IO, Self

from platebook.exchange.bundle_lines import (
    FORMAT,
    NO_DIGEST,
    card_row,
    change_row,
    key_numbers,
    revision_row,
    tombstone_row,
)
from platebook.practice.revision import BundleStream, CourseCopy, Revision, Tombstone

IN_MEMORY = 16 * 2**20
"""Bytes of a draft that are kept in memory; a larger one lies on the disk."""

_PART = 2**20


class BundleDraft:
    """The lines of a bundle that is on its way out, in a file without a name; use it in a `with`.

    Where the program dies nothing of it is left. `told` is called with how many revisions are
    written. OSError where there is no room for it.
    """

    def __init__(self, folder: Path, told: Callable[[int], None] = lambda _: None) -> None:
        self.replica, self.size, self.digest = "", 0, ""
        self.told = told
        self._lines: IO[bytes] = tempfile.SpooledTemporaryFile(  # noqa: SIM115 - closed by `with`
            IN_MEMORY, dir=str(folder) if os.access(folder, os.W_OK) else None
        )
        self._counts: Counter[str] = Counter()
        self._says: tuple[dict[str, object], dict[str, object]] = {}, {}
        self._head, self._priors_from = b"", 0

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._lines.close()

    @property
    def revisions(self) -> int:
        """How many revisions are in it."""
        return self._counts["revision"]

    def take(self, stream: BundleStream) -> None:
        """Write all that comes in the stream, with no priors yet."""
        self.replica = stream.replica
        numbers = key_numbers(sorted({*stream.signers, *(card.key for card in stream.keys)}))
        for name, row in _rows(stream, numbers):
            self._write(name, row)
            if name == "revision":
                self.told(self.revisions)
        keys: dict[str, object] = {}
        if numbers:
            keys = {"keys": list(numbers), "cards": [card_row(c, numbers) for c in stream.keys]}
        self._says = {"replica": stream.replica, "anonymous": stream.anonymous}, keys
        self._priors_from = self._lines.tell()
        self.set_priors(())

    def set_priors(self, priors: Iterable[tuple[str, str]]) -> None:
        """Let these stand in it: setters' ids, and the sums of their class without them."""
        self._lines.seek(self._priors_from)
        self._lines.truncate()
        self._counts["prior"] = 0
        for setter_id, sums in priors:
            self._write("prior", {"setter_id": setter_id, "sums": sums})
        self._head = self._manifest(NO_DIGEST)
        sha256 = hashlib.sha256()
        self.size = 0
        for part in self.chunks():
            sha256.update(part)
            self.size += len(part)
        self.digest = sha256.hexdigest()
        self._head = self._manifest(self.digest)

    def chunks(self) -> Iterator[bytes]:
        """The file, part by part."""
        yield self._head
        self._lines.seek(0)
        while part := self._lines.read(_PART):
            yield part

    def _write(self, name: str, row: dict[str, object]) -> None:
        self._lines.write(_json({name: row}))
        self._counts[name] += 1

    def _manifest(self, digest: str) -> bytes:
        said, keys = self._says
        return _json(
            {
                "platebook": "bundle",
                "format": FORMAT,
                **said,
                "changes": self._counts["change"],
                "revisions": self.revisions,
                "erased": self._counts["erased"],
                "courses": self._counts["course"],
                "priors": self._counts["prior"],
                **keys,
                "bytes": self._bytes_of_lines(),
                "sha256": digest,
            }
        )

    def _bytes_of_lines(self) -> int:
        return self._lines.seek(0, os.SEEK_END)


def _rows(stream: BundleStream, numbers: dict[str, int]) -> Iterator[tuple[str, dict[str, object]]]:
    """What each line holds, by name; a change stands before its revisions, which lie together."""
    counter, seen = 0, set[str]()
    for part in stream.parts:
        match part:
            case Revision(change=change):
                if change.counter != counter:
                    counter, seen = change.counter, set()
                if change.change_id not in seen:
                    seen.add(change.change_id)
                    yield "change", change_row(change)
                yield "revision", revision_row(part, numbers)
            case Tombstone():
                yield "erased", tombstone_row(part, numbers)
            case CourseCopy():
                text = {"course": part.course, "version": part.version, "text": part.text}
                yield "course", text


def _json(row: dict[str, object]) -> bytes:
    text = json.dumps(row, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return text.encode("utf-8") + b"\n"
