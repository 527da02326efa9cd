"""Text that people typed, made safe for a terminal, a file and a page without losing a word.

Control characters, terminal escapes, bidirectional overrides, private-use and non-characters are
dropped; the joiners and selectors that letters and emoji need are kept. Code points that this
Python does not know yet are kept too: a newer one knows them.
"""

import json
import re
import shlex
import unicodedata
from datetime import date
from decimal import Decimal
from typing import Any

LONGEST_LINE = 200
LONGEST_NOTE = 10_000

_BREAKS = re.compile("\r\n|[\r\v\f\x85\u2028\u2029]")
_PLAIN = re.compile(r"[\w .,:+/'-]+")
_UNSAFE = (
    "[\x00-\x08\x0e-\x1f\x7f-\x9f"  # control characters, with the escape that terminals obey
    "\u061c\u200b\u200e\u200f\u202a-\u202e\u2060\u2066-\u2069\ufeff"  # direction and zero width
    "\ud800-\udfff\ue000-\uf8ff\U000f0000-\U0010ffff"  # halves of pairs, private use
    "\ufdd0-\ufdef"
    + "".join(chr(plane * 0x10000 + end) for plane in range(17) for end in (0xFFFE, 0xFFFF))
    + "]"
)


def clean(text: str, *, multiline: bool = False) -> str:
    """The text without unsafe characters and outer blanks; cleaning twice changes nothing more.

    Line breaks of every kind become a newline where `multiline`, else one blank, as tabs do.
    """
    if text.isascii() and text.isprintable():
        return text.strip()
    text = re.sub(_UNSAFE, "", _BREAKS.sub("\n", text)).replace("\t", " ")
    if not multiline:
        text = text.replace("\n", " ")
    return unicodedata.normalize("NFC", text).strip()


def in_a_command(text: str) -> str:
    """The text as it stands in a command that is shown to be typed: one word, with nothing obeyed.

    A name may be a stranger's, and whoever copies the line gives it to a shell.
    """
    return f'"{text}"' if _PLAIN.fullmatch(text) else shlex.quote(text)


def folded(text: str) -> str:
    """What spellings of one thing share: letters without case, accents, form and blanks.

    For names of things, such as tools; two people may well differ by an accent alone. A text of
    nothing but marks keeps them, so that it does not fold to nothing.
    """
    form = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", text).casefold())
    bare = "".join([letter for letter in form if not unicodedata.combining(letter)])
    return "".join((bare if bare.strip() else form).split())


def has_unsafe(text: str) -> bool:
    """Whether `clean` would drop something: a terminal escape, a direction mark, half a pair."""
    return not (text.isascii() and text.isprintable()) and re.search(_UNSAFE, text) is not None


def as_text(value: object) -> str | None:
    """A value as JSON or a spreadsheet gives it, as the text that stands for it.

    None gives "", lists are joined by ";". Anything else that is not a plain value gives None.
    """
    text: str | None = None
    match value:
        case None:
            text = ""
        case bool():
            text = "yes" if value else "no"
        case str() | int():
            text = str(value)
        case float():
            text = number_text(value)
        case date():
            text = value.isoformat()
        case list() | tuple():
            # A list of lists is no plain value, however deep it goes.
            parts = [None if isinstance(part, list | tuple) else as_text(part) for part in value]
            text = None if None in parts else ";".join(part or "" for part in parts)
    return text


def json_in(text: str | bytes, *, finite: bool = False) -> Any:
    """What a JSON text says; ValueError, in words of the text, for one that is none.

    `finite` refuses NaN and Infinity too, which Python reads and JSON does not have.
    """
    try:
        return json.loads(text, parse_constant=_no_number if finite else None)
    except RecursionError as error:
        raise ValueError("its lists go too deep to follow") from error
    except ValueError as error:
        # Python's own sentence is about a setting of Python.
        if "digits" not in str(error):
            raise
        raise ValueError("a number in it has more digits than anything that is measured") from error


def _no_number(word: str) -> float:
    raise ValueError(f"read {word}, which is no number")


def number_text(value: float) -> str:
    """The shortest text that reads back as exactly this number, without an exponent."""
    shortest = repr(float(value))
    if "e" in shortest:
        shortest = format(Decimal(shortest), "f")
    return shortest.removesuffix(".0")
