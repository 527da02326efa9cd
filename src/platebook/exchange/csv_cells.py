"""The cells of a CSV file: text, separator and records, with every fault at its line.

The text is UTF-8, with or without a byte order mark; no other encoding is guessed, because a wrong
guess changes names silently. The separator is a comma, a semicolon or a tab.
"""

import csv
import io
import itertools
from collections.abc import Iterator

from platebook.exchange.table import Known, Record
from platebook.practice.problem import Problem

SEPARATORS = (",", ";", "\t")
_LOOKED_AT = 50
_SHOWN = 80


class _UnreadableError(Exception):
    """A record that cannot be taken apart, with the line on which it begins."""

    def __init__(self, line: int, said: str) -> None:
        super().__init__(said)
        self.line = line


def read_text(data: bytes) -> tuple[str, Problem | None]:
    """The text of the file, or the first byte that cannot be text."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "", _fault(1, "UTF-16", "UTF-8; in a spreadsheet, save as CSV UTF-8")
    if b"\0" in data:
        return "", _fault(_line_of(data, data.index(b"\0")), "a zero byte", "text only")
    try:
        return data.decode("utf-8-sig"), None
    except UnicodeDecodeError as error:
        before = data[: error.start].split(b"\n")[-1][-20:].decode(errors="replace")
        read = f"byte 0x{data[error.start]:02x} after {before!r}"
        expected = "UTF-8; in a spreadsheet, save as CSV UTF-8"
        return "", _fault(_line_of(data, error.start), read, expected)


def read_records(text: str, known: Known) -> tuple[tuple[Record, ...], Problem | None]:
    """All records from the heading line on, or as far as the file can be read.

    `known` counts the headings that mean something, which decides between separators.
    """
    first_line = text.split("\n", 1)[0].strip()
    if first_line[:4].lower() == "sep=" and first_line[4:] in {",", ";", ""}:
        separator, skipped = first_line[4:] or "\t", 1
    else:
        separator, skipped = _separator(text, known), 0
    found: list[Record] = []
    try:
        for record in itertools.islice(_records(text, separator, strict=True), skipped, None):
            if found or not record.empty:
                found.append(record)
    except _UnreadableError as error:
        read = text.split("\n")[error.line - 1].strip()[:_SHOWN]
        expected = f"cells that can be told apart ({error}); look for a quote that is not closed"
        return tuple(found), _fault(error.line, read, expected)
    return tuple(found), None


def _separator(text: str, known: Known) -> str:
    """The separator that makes most known headings, then rows most like the heading line."""

    def worth(separator: str) -> tuple[int, float, int]:
        head = list(itertools.islice(_records(text, separator, strict=False), _LOOKED_AT))
        filled = [record.cells for record in head if not record.empty]
        if not filled:
            return 0, 0.0, 0
        alike = sum(len(cells) == len(filled[0]) for cells in filled) / len(filled)
        return known(filled[0]), alike, len(filled[0])

    return max(SEPARATORS, key=worth)


def _records(text: str, separator: str, *, strict: bool) -> Iterator[Record]:
    reader = csv.reader(
        io.StringIO(text, newline=""), delimiter=separator, skipinitialspace=True, strict=strict
    )
    line = 1
    try:
        for cells in reader:
            yield Record(line, tuple(cells))
            line = reader.line_num + 1
    except csv.Error as error:
        raise _UnreadableError(line, str(error)) from error


def _line_of(data: bytes, at: int) -> int:
    return data.count(b"\n", 0, at) + 1


def _fault(line: int, read: str, expected: str) -> Problem:
    return Problem(0, "file", read, expected, line=line)
