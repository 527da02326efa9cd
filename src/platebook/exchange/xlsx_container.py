"""An XLSX file as a container: whether it is one, how large it would become, and its merged cells.

The file is a zip of XML parts (ECMA-376); it is looked at before anything of it is unpacked.
"""

import io
import re
import zipfile
from dataclasses import dataclass

from platebook.practice.problem import Problem

MOST_PARTS = 500
MOST_BYTES = 300_000_000
MOST_TIMES = 200
"""An honest sheet unpacks to ten or twenty times its size; a trap to a thousand."""

_MERGED = re.compile(
    rb'<(?:\w+:)?mergeCell\s[^>]*?ref="([A-Z]{1,3})(\d{1,7}):([A-Z]{1,3})(\d{1,7})"'
)
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s>/]")


@dataclass(frozen=True, slots=True)
class Merged:
    """A block of cells shown as one: first and last row and column, counted from 1."""

    first_row: int
    first_column: int
    last_row: int
    last_column: int


def fault_of(data: bytes) -> Problem | None:
    """What keeps these bytes from being read as an XLSX file, if anything."""
    if not data.startswith(b"PK"):
        expected = "an XLSX file; an older spreadsheet has to be saved as XLSX or CSV first"
        return Problem(0, "file", _shown(data), expected)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as container:
            parts = container.infolist()
    except (zipfile.BadZipFile, ValueError, NotImplementedError, OSError):
        return Problem(0, "file", "a damaged container", "an XLSX file as a spreadsheet saves it")
    names = [part.filename for part in parts]
    if "[Content_Types].xml" not in names or len(set(names)) != len(names):
        return Problem(0, "file", "a container of something else", "an XLSX file")
    if any(part.flag_bits & 1 for part in parts):
        return Problem(0, "file", "an encrypted file", "an XLSX file without a password")
    size = sum(part.file_size for part in parts)
    if len(parts) > MOST_PARTS or size > MOST_BYTES or size > MOST_TIMES * max(len(data), 10_000):
        read = f"{len(parts)} parts of {size // 1_000_000} MB unpacked"
        return Problem(0, "file", read, f"at most {MOST_BYTES // 1_000_000} MB; save it as CSV")
    return None


def part_of(data: bytes, path: str) -> bytes:
    """One part of the container by its path; empty where it is not there."""
    with zipfile.ZipFile(io.BytesIO(data)) as container:
        try:
            return container.read(path.lstrip("/"))
        except KeyError:
            return b""


def merged_in(sheet: bytes) -> tuple[Merged, ...]:
    """The merged cells of a sheet's XML."""
    return tuple(
        Merged(int(top), _column(left), int(bottom), _column(right))
        for left, top, right, bottom in _MERGED.findall(sheet)
    )


def has_formulas(sheet: bytes) -> bool:
    """Whether any cell of a sheet's XML is worked out from others."""
    return _FORMULA.search(sheet) is not None


def _column(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - ord("A") + 1
    return number


def _shown(data: bytes) -> str:
    return data[:20].decode("utf-8", errors="replace") if data else "an empty file"
