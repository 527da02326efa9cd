"""What is right, bent: bits, pieces, words, lines, and values as JSON has them.

`bending_inside` bends what is refused at once where its outside is damaged.
"""

import contextlib
import json
import random
import re
import sqlite3
import zipfile
import zlib
from collections.abc import Callable
from typing import Any

NOT_TO_BE_OPENED = (
    *(zipfile.BadZipFile, zlib.error, sqlite3.Error),
    *(OSError, ValueError, NotImplementedError, KeyError, EOFError, OverflowError, RecursionError),
)
"""What opening a damaged file raises: it is bent from outside then."""

Bender = Callable[[bytes, random.Random], bytes]

ODD = (
    b"9" * 5000,
    b"[" * 900,
    b'{"a":' * 500,
    b"(" * 900,
    b"\x00",
    b"\x1b]0;x\x07",
    b"\xff\xfe",
    b"\xed\xa0\x80",
    b"1e999",
    b"-0",
    b"NaN",
    b"../../../x",
    b'"""',
    b"=1+1",
    b"\xe2\x80\xae",
    b"\r",
    b",,,,,,,,",
    b"2026-13-45T99:99",
    b"0001-01-01T00:00:00+14:00",
    b"9999-12-31T23:59:59-14:00",
    b"1e308",
    b"-1e308",
    b"1/0",
    b"5/0 in",
    b"\xd9\xa3\xc2\xb2\xe2\x85\x93",
    b"9999999999999999999",
    b"-9223372036854775809",
    b"\\ud800",
    b"\xc4\xb0\xc5\xbf\xef\xac\x80",
    b"null",
    b"true",
    b"[]",
    b"{}",
    b'""',
    b"-",
    b"%s%n{0}{x}",
    b"[red]x[/]",
)
_WORD = re.compile(rb"[^\s,;:=\"'<>\[\](){}]+")


def bent(data: bytes, rng: random.Random) -> bytes:
    """The bytes with a few things done to them that were not meant."""
    out = bytearray(data)
    for _ in range(rng.choice((1, 1, 2, 4, 16))):
        at = rng.randrange(len(out) + 1)
        end = min(len(out), at + rng.choice((1, 2, 8, 64, 1024)))
        match rng.randrange(10):
            case 0:
                out[at:end] = rng.randbytes(end - at)
            case 1:
                del out[at : end if rng.random() < 0.8 else len(out)]
            case 2:
                out[at:at] = out[at:end] * rng.choice((1, 2, 50))
            case 3:
                out[at:end] = rng.choice(ODD)
            case 4:
                out[at:at] = rng.choice(ODD)
            case 5:
                lines = bytes(out).split(b"\n")
                lines.insert(rng.randrange(len(lines)), rng.choice(lines))
                out[:] = b"\n".join(lines)
            case 6 if at < len(out):
                out[at] ^= 1 << rng.randrange(8)
            case _:
                _swap_a_word(out, at, rng)
    return bytes(out)


def _swap_a_word(out: bytearray, near: int, rng: random.Random) -> None:
    """Another word of the same data, or an odd one, in the place of the next word."""
    word = _WORD.search(out, max(0, near - 1))
    if word is None:
        return
    if rng.random() < 0.6:
        out[word.start() : word.end()] = rng.choice(ODD)
        return
    other = _WORD.search(out, rng.randrange(len(out)))
    if other is not None:
        out[word.start() : word.end()] = bytes(other[0])


ODD_VALUES: tuple[Any, ...] = (
    *(None, True, -1, 0, 2**63, 10**400, 1e308, 1e-320, "", "x" * 5000, [], {}, [[]]),
    *("\0", "\ud800", "\x1b]0;x\x07", "\u202e", "NaN", "1e999", "../../x", "null", "[]", "{}"),
    *("2026-02-30T10:00:00+00:00", "0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-14:00"),
    *("2026-02-03", "2026-02-03T10:00:00", "00000000-0000-0000-0000-000000000000", "loose"),
)


def bent_value(value: Any, rng: random.Random) -> Any:
    """A value as JSON has it, with one thing in it that was not meant."""
    if isinstance(value, str) and value[:1] in {"{", "["} and rng.random() < 0.9:
        with contextlib.suppress(ValueError):
            return json.dumps(bent_value(json.loads(value), rng))
    if rng.random() < 0.15 or not isinstance(value, dict | list) or not value:
        return rng.choice(ODD_VALUES)
    if isinstance(value, list):
        place = rng.randrange(len(value))
        return [*value[:place], bent_value(value[place], rng), *value[place + 1 :]]
    name = rng.choice(sorted(value))
    other: dict[str, Any] = {
        "less": {key: inner for key, inner in value.items() if key != name},
        "more": value | {"more": rng.choice(ODD_VALUES)},
        "swapped": value | {name: value[rng.choice(sorted(value))]},
        "inside": value | {name: bent_value(value[name], rng)},
    }
    return other[rng.choice(("less", "more", "swapped", *("inside",) * 5))]


def bent_json(data: bytes, rng: random.Random) -> bytes:
    """A JSON file bent in a value, or as bytes."""
    with contextlib.suppress(ValueError, RecursionError):
        if rng.random() < 0.7:
            value = json.loads(data)
            for _ in range(rng.choice((1, 1, 2, 3))):
                value = bent_value(value, rng)
            return json.dumps(value).encode()
    return bent(data, rng)


def bent_words(data: bytes, rng: random.Random) -> bytes:
    """Lines of words, the first of which says where the others go and stays."""
    first, *lines = data.split(b"\n")
    for _ in range(rng.choice((1, 1, 2, 3))):
        if lines:
            place = rng.randrange(len(lines))
            lines[place] = bent(lines[place], rng).replace(b"\n", b" ")
    return b"\n".join((first, *lines))


def shorter(data: bytes, still: Callable[[bytes], bool]) -> bytes:
    """A short piece of the data with which it is still so, by leaving out ever smaller pieces."""
    size = len(data) // 2
    while size:
        at = 0
        while at < len(data):
            piece = data[:at] + data[at + size :]
            if piece and still(piece):
                data = piece
            else:
                at += size
        size //= 2 if len(data) < 4096 else 4
    return data
