"""An XLSX file as a container: a zip of XML parts (ECMA-376), and how much of it is read.

It is looked at before anything of it is unpacked, and counted while it is: what a file makes the
library do is bounded here, once, whichever door it comes through.
"""

import io
import struct
import zipfile
import zlib
from typing import IO, Any, Self

from platebook.practice.problem import Problem

MOST_PARTS = 500
MOST_BYTES = 300_000_000
MOST_TIMES = 200
"""An honest sheet unpacks to ten or twenty times its size; a trap to a thousand."""

MOST_TAGS = 10
"""Tags that are read for each byte of the file. Sheets that say the same in every cell have two."""

SMALL = 10_000
"""Bytes that a file is taken to have at least: so much of every workbook is said of itself."""

DECLARED = b"<!DOCTYPE"
"""What no part may have (ECMA-376 part 2, 8.1.4): by it a few bytes stand for millions."""

BROKEN_CONTAINER = (
    *(zipfile.BadZipFile, ValueError, NotImplementedError, OSError, EOFError, struct.error),
    zlib.error,
)
"""What opening a damaged container raises, and unpacking what is in it."""


class TooMuchInIt(Exception):  # noqa: N818 - named for what is so, not for being an error
    """There is more in it than is read; by default than an honest file of its size has room for."""

    def __init__(
        self,
        read: str = "far more in it than there is room for in so small a file",
        expected: str = "an XLSX file as a spreadsheet saves it; or a CSV",
    ) -> None:
        super().__init__(read)
        self.problem = Problem(0, "file", read, expected)


def container_problem(data: bytes) -> Problem | None:
    """What keeps these bytes from being read as an XLSX file, if anything."""
    if not data.startswith(b"PK"):
        expected = "an XLSX file; an older spreadsheet has to be saved as XLSX or CSV first"
        return Problem(0, "file", _shown(data), expected)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as container:
            parts = container.infolist()
    except BROKEN_CONTAINER:
        return Problem(0, "file", "a damaged container", "an XLSX file as a spreadsheet saves it")
    names = [part.filename for part in parts]
    if "[Content_Types].xml" not in names or len(set(names)) != len(names):
        return Problem(0, "file", "a container of something else", "an XLSX file")
    if any(part.flag_bits & 1 for part in parts):
        return Problem(0, "file", "an encrypted file", "an XLSX file without a password")
    size = sum(part.file_size for part in parts)
    if len(parts) > MOST_PARTS or size > MOST_BYTES or size > MOST_TIMES * max(len(data), SMALL):
        read = f"{len(parts)} parts of {size // 1_000_000} MB unpacked"
        return Problem(0, "file", read, f"at most {MOST_BYTES // 1_000_000} MB; save it as CSV")
    return None


class CountedParts(zipfile.ZipFile):
    """The container, each of whose tags counts as often as it is read.

    One part may be named as a hundred sheets, and is read a hundred times then; so what counts is
    not what lies in the file. TooMuchInIt beyond what is allowed.
    """

    def __init__(self, data: bytes) -> None:
        super().__init__(io.BytesIO(data))
        self.left = MOST_TAGS * max(len(data), SMALL)

    def open(self, name: Any, mode: Any = "r", *more: Any, **words: Any) -> Any:
        """A part to read from, counted."""
        return _CountedPart(super().open(name, mode, *more, **words), self)

    def take(self, tags: int) -> None:
        """So many were read."""
        self.left -= tags
        if self.left < 0:
            raise TooMuchInIt


class _CountedPart:
    """A part that is read from; all else is the part's own."""

    def __init__(self, part: IO[bytes], container: CountedParts) -> None:
        self.part = part
        self.container = container
        self.end = b""

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Nothing more is read from it."""
        self.part.close()

    def read(self, size: int = -1) -> bytes:
        """What comes next, at most so many bytes; TooMuchInIt where that is too much."""
        piece = self.part.read(size)
        self.container.take(piece.count(b"<"))
        # A word may lie across two pieces, and each of its letters may have two bytes.
        self.end += piece
        if DECLARED in self.end.replace(b"\0", b""):
            raise TooMuchInIt
        self.end = self.end[-2 * len(DECLARED) :]
        return piece


def _shown(data: bytes) -> str:
    return data[:20].decode("utf-8", errors="replace") if data else "an empty file"
