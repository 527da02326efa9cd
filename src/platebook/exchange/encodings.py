"""The text of a file: UTF-8 unless another encoding is named, and the likely one where it is not.

A wrong guess changes names silently, so nothing is read in an encoding that nobody named. What is
told is which of the usual ones makes the most letters of the bytes that are no UTF-8.
"""

import re
import unicodedata
from collections import Counter

from platebook.practice.problem import Problem
from platebook.practice.text import clean

USUAL = ("cp1252", "mac_roman", "cp850", "cp1250")
"""Encodings that spreadsheets of Europe have saved in, the most usual first."""

_LETTERS = frozenset("äöüÄÖÜßéèêëàâçîïôûùáíóúñÉÈÀÇÑìòµØø°×–’“”…½¼€")
_STRANGE = {"Cc", "Cn", "So"}
_BEYOND = re.compile(rb"[a-zA-Z]*[\x80-\xff]+[a-zA-Z]*")
_LOOKED_AT = 2000
_SHOWN = 20


def decoded(data: bytes, encoding: str = "") -> tuple[str, Problem | None]:
    """The text, or the first byte that cannot be text in this encoding."""
    if encoding and not _is_known(encoding):
        expected = f"an encoding such as {', '.join(USUAL)}"
        return "", Problem(0, "encoding", clean(encoding), expected)
    if not encoding and data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "", _problem(1, "UTF-16", ("utf-16",))
    if b"\0" in data and not encoding.replace("-", "").startswith(("utf16", "utf32")):
        line = _line_of(data, data.index(b"\0"))
        return "", Problem(0, "file", "a zero byte", "text only", line=line)
    try:
        return data.decode(encoding or "utf-8-sig").removeprefix("\ufeff"), None
    except UnicodeError as error:
        start = getattr(error, "start", 0)
        before = data[:start].split(b"\n")[-1][-_SHOWN:].decode(errors="replace")
        read = f"byte 0x{data[start]:02x} after {before!r}"
        return "", _problem(_line_of(data, start), read, likely_encodings(data))


def _is_known(encoding: str) -> bool:
    """Whether Python makes text of bytes under this name; not all that it names does."""
    if not encoding.isascii():
        return False
    try:
        b" ".decode(encoding)
    except UnicodeError:
        return True
    except (LookupError, ValueError):
        return False
    return True


def likely_encodings(data: bytes) -> tuple[str, ...]:
    """The usual encodings in which these bytes are text, the likeliest first."""
    beyond = b" ".join(_BEYOND.findall(data)[:_LOOKED_AT])
    scored: list[tuple[float, str]] = []
    for place, name in enumerate(USUAL):
        try:
            text = beyond.decode(name)
        except UnicodeError:
            continue
        signs = Counter(sign for sign in text if not sign.isascii())
        strange = sum(n for s, n in signs.items() if unicodedata.category(s) in _STRANGE)
        usual = sum(n for sign, n in signs.items() if sign in _LETTERS)
        capitals = len(re.findall(r"[a-z][^\W\d_a-zß-ÿ]", text))
        scored.append((strange + capitals - usual + place / 10, name))
    return tuple(name for _, name in sorted(scored))


def sample_in(data: bytes, encoding: str) -> str:
    """The first word with a letter beyond ASCII, as this encoding reads it."""
    text = data.decode(encoding, errors="replace")
    words = (word.strip(',;"\t') for word in text.replace(";", " ").replace(",", " ").split())
    return next((word for word in words if not word.isascii()), "")


def _line_of(data: bytes, at: int) -> int:
    return data.count(b"\n", 0, at) + 1


def _problem(line: int, read: str, likely: tuple[str, ...]) -> Problem:
    expected = "UTF-8; in a spreadsheet, save as CSV UTF-8"
    if likely:
        expected += f"; or read it with --encoding {likely[0]}"
    return Problem(0, "file", read, expected, line=line)
