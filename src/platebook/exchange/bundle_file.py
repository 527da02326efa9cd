"""A bundle read from one file, or refused with one sentence (`bundle_draft` writes it).

Nothing of it is believed before its bytes agree with its manifest. The digest shows that a file is
whole; who wrote what is in it is shown by the signatures of its lines.
"""

import hashlib
import os
import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import BinaryIO

from platebook.exchange.bundle_lines import (
    FORMAT,
    NO_DIGEST,
    Fields,
    NotABundle,
    cards_in,
    change_in,
    course_in,
    keys_in,
    object_in,
    prior_in,
    revision_in,
    tombstone_in,
)
from platebook.exchange.plain_file import NotPlain, plain_file
from platebook.practice.revision import Bundle, Change, CourseCopy, Revision, Tombstone

LONGEST_LINE = 4 * 2**20
LARGEST_FILE = 512 * 2**20
_MEGABYTE = 2**20
_DIGEST = re.compile("[0-9a-f]{64}")

_DISGUISES = {
    b"PK\x03\x04": "is a zip archive under another name, not a bundle",
    b"SQLite format 3\x00": "is a logbook, not a bundle; platebook restore puts a backup back",
    b"\x1f\x8b": "is a packed file, not a bundle; unpack it first",
}
_DAMAGED = "Have it written anew, or copy it once more."


@contextmanager
def bundle_file(file: Path) -> Iterator[BinaryIO]:
    """The file to read from. NotABundle for a folder, a link, a pipe or a file that is too large.

    OSError where it cannot be read.
    """
    if file.is_symlink():
        raise NotABundle("is a link to another file; only plain files are read")
    try:
        with plain_file(file, links=False) as stream:
            _refuse_large(os.fstat(stream.fileno()).st_size)
            yield stream
    except NotPlain as error:
        raise NotABundle(str(error)) from error


def _refuse_large(size: int) -> None:
    if size > LARGEST_FILE:
        raise NotABundle(too_large(size))


def too_large(size: int) -> str:
    """What is said of a file of so many bytes, where no bundle is as large."""
    return f"is {size // _MEGABYTE} MB large; a bundle is at most {LARGEST_FILE // _MEGABYTE} MB"


def read_bundle(stream: BinaryIO) -> Bundle:
    """The bundle; NotABundle with one sentence where it is none, or not a whole one.

    The stream is gone through twice, since no line is believed before all of them agree with the
    digest, and holding a whole school's lines at once would fill the memory.
    """
    first = _a_line(stream, 1)
    manifest = _manifest(first)
    expected = manifest.whole("bytes", 0, LARGEST_FILE)
    _refuse_empty_changes(manifest)
    digest = manifest.text("sha256")
    if not _DIGEST.fullmatch(digest):
        raise manifest.wrong("sha256", "64 hexadecimal digits")
    start = stream.tell()
    for _ in _compared(first, _lines(stream), expected, digest):
        continue
    stream.seek(start)
    read = _Read(keys_in(manifest.any_of("keys", [])))
    # Compared once more: whoever carries the file may write it anew in between.
    for number, line in enumerate(_compared(first, _lines(stream), expected, digest), 2):
        read.take(line, number)
    for name, count in read.counts().items():
        if manifest.whole(name, 0, LARGEST_FILE) != count:
            raise manifest.wrong(name, f"{count}, which is how many there are")
    return Bundle(
        replica=manifest.an_id("replica"),
        anonymous=manifest.truth("anonymous"),
        revisions=tuple(read.revisions.values()),
        tombstones=tuple(read.tombstones),
        courses=tuple(read.courses),
        priors=tuple(read.priors),
        keys=cards_in(manifest.any_of("cards", []), read.keys),
    )


def _refuse_empty_changes(manifest: Fields) -> None:
    """NotABundle, before the rest is read, where there are changes that changed nothing."""
    revisions = manifest.whole("revisions", 0, LARGEST_FILE)
    if manifest.whole("changes", 0, LARGEST_FILE) > revisions:
        raise manifest.wrong("changes", f"at most {revisions}, as many as there are revisions")


def _manifest(first: bytes) -> Fields:
    """What the first line says; NotABundle where it is the first line of something else."""
    if not first:
        raise NotABundle("is empty (0 bytes). " + _DAMAGED)
    for start, words in _DISGUISES.items():
        if first.startswith(start):
            raise NotABundle(words)
    try:
        row = object_in(first, 1)
    except NotABundle:
        row = {}
    if row.get("platebook") != "bundle":
        raise NotABundle("is not a bundle that platebook wrote")
    manifest = Fields(row, "line 1")
    if (newer := manifest.whole("format", 1, 2**31)) > FORMAT:
        sentence = f"was written by a newer platebook (format {newer}; this one reads {FORMAT})"
        raise NotABundle(f"{sentence}. Install the newer program")
    return manifest


@dataclass
class _Read:
    """What the lines so far have said."""

    keys: tuple[str, ...] = ()
    changes: dict[str, Change] = field(default_factory=dict)
    revisions: dict[str, Revision] = field(default_factory=dict)
    tombstones: list[Tombstone] = field(default_factory=list)
    courses: list[CourseCopy] = field(default_factory=list)
    priors: list[tuple[str, str]] = field(default_factory=list)

    def take(self, line: bytes, number: int) -> None:
        """Take in one line."""
        where = f"line {number}"
        row = object_in(line, number)
        name, value = next(iter(row.items()), ("", None))
        match name:
            case "change":
                change = change_in(value, where)
                if change.change_id in self.changes:
                    raise NotABundle(f"{where}: the change {change.change_id} stands there twice")
                self.changes[change.change_id] = change
            case "revision":
                revision = revision_in(value, where, self.changes, self.keys)
                if revision.revision_id in self.revisions:
                    raise NotABundle(
                        f"{where}: the revision {revision.revision_id} stands there twice"
                    )
                self.revisions[revision.revision_id] = revision
            case "erased":
                self.tombstones.append(tombstone_in(value, where, self.keys))
            case "course":
                self.courses.append(course_in(value, where))
            case "prior":
                self.priors.append(prior_in(value, where))
            case _:
                raise NotABundle(
                    f"{where}: read {name!r:.40}, expected change, revision, erased, course, prior"
                )

    def counts(self) -> dict[str, int]:
        """How many lines of each kind there were."""
        return {
            "changes": len(self.changes),
            "revisions": len(self.revisions),
            "erased": len(self.tombstones),
            "courses": len(self.courses),
            "priors": len(self.priors),
        }


def _a_line(stream: BinaryIO, number: int) -> bytes:
    line = stream.readline(LONGEST_LINE + 1)
    if len(line) > LONGEST_LINE:
        most = LONGEST_LINE // _MEGABYTE
        raise NotABundle(f"line {number} is longer than {most} MB, which none in a bundle is")
    return line


def _lines(stream: BinaryIO) -> Iterator[bytes]:
    number, size = 2, 0
    while line := _a_line(stream, number):
        size += len(line)
        if size > LARGEST_FILE:
            raise NotABundle(f"is larger than {LARGEST_FILE // _MEGABYTE} MB")
        yield line
        number += 1


def _compared(first: bytes, lines: Iterable[bytes], expected: int, digest: str) -> Iterator[bytes]:
    """The lines; NotABundle at their end where they are not what the manifest says."""
    size = 0
    sha256 = hashlib.sha256(first.replace(digest.encode(), NO_DIGEST.encode()))
    for line in lines:
        size += len(line)
        sha256.update(line)
        yield line
    if size < expected or not first.endswith(b"\n"):
        raise NotABundle(f"was cut short: {size} of {expected} bytes are there. {_DAMAGED}")
    if size > expected or sha256.hexdigest() != digest:
        raise NotABundle(f"was altered after it was written (its SHA-256 differs). {_DAMAGED}")
