"""Everything a person wrote goes through here before it reaches a widget.

A plain string handed to a widget is read as markup; a `Content` is not. `clean` takes out control
characters, which a terminal would obey.
"""

import re
from collections.abc import Sequence

from rich.cells import cell_len, set_cell_size
from textual.content import Content

from platebook.practice.text import clean

ELLIPSIS = "…"
MARK = "\N{SINGLE RIGHT-POINTING ANGLE QUOTATION MARK}"
"""Stands before the row in focus, so that colour alone does not say it."""


def keycap(key: str, width: int = 1) -> Content:
    """A key that is to be pressed, drawn as one, so that its digit is never read as a number."""
    return Content.assemble((f" {key:^{width}} ", "bold reverse $accent"))


def line(text: object) -> str:
    """The cleaned text on one line, for places that never read markup."""
    return clean(str(text))


def txt(text: object, style: str = "") -> Content:
    """This text as text: never markup, never an escape sequence, on one line."""
    return Content.styled(line(text), style)


def fit(text: object, width: int) -> str:
    """The cleaned text in exactly `width` cells, cut with an ellipsis where it is longer."""
    cleaned = line(text)
    padded = set_cell_size(cleaned, width)
    if padded.rstrip() == cleaned or width < 2:
        return padded
    return set_cell_size(set_cell_size(cleaned, width - 1).rstrip() + ELLIPSIS, width)


def in_initials(name: str, width: int, names: Sequence[str]) -> str:
    """The name with its last words in initials, as many as make it fit ("Maximiliana A.").

    As it is where even that is too long, or where another of `names` would read the same.
    """
    words = name.split()
    for kept in range(len(words), 0, -1):
        short = " ".join([*words[:kept], *(f"{word[0]}." for word in words[kept:])])
        if cell_len(short) <= width:
            alike = [other for other in names if _begins_alike(other, words, kept)]
            return short if len(alike) < 2 or kept == len(words) else name
    return name


def _begins_alike(other: str, words: Sequence[str], kept: int) -> bool:
    """Whether another name, in the same initials, reads as these words do."""
    theirs = other.split()
    return (
        len(theirs) == len(words)
        and theirs[:kept] == list(words[:kept])
        and [word[0] for word in theirs] == [word[0] for word in words]
    )


_NUMBER = r"[−+-]?\d[\d.]*"
_UNIT = (
    r"(?:(?<=\s) |\b)\w  \w+(?: \w+(?=[,.]|$))?"
    r"|\S counts as good\b|\([^()\n]{1,24}\)|/ [a-z]+ it\b|position \w{1,4}(?!\w)"
    r"|\d+(?: \d+){3,}|\b[a-z]+ × \d+"
    rf"|{_NUMBER}(?: (?:of|to|in|×) {_NUMBER})*"
    r"(?: (?:%|(?:mm|good|points?|[A-Z][a-z]+)(?![a-z])))?(?: × \d+)?"
    r"(?:(?<= mm) in (?!(?:an?|the|one|each)\b)[a-z]+)?"
)
"""What is one thing to the eye: a key and its word, "◐ counts as good", words in brackets,
"/ changes it", "position 7", a row of counts, "1.5 mm × 37", "1.5 mm in copper",
"11 of 17 good", "72 in 100", "26 March"."""
_BLANKS = r"(?:[^\S\n](?!\w  \w))*"
"""Behind a word; the blank that a key is drawn with goes into the next line with its key."""
_CHUNK = re.compile(rf"(?:{_UNIT}|\S)+{_BLANKS}|[^\S\n]+")


def held_together(content: Content, width: int) -> Content:
    """The content in lines of at most this width, none of which breaks within a number.

    Only breaks are put in, where a widget would break within words that are one thing; what is
    longer than a line is left to the widget.
    """
    if width <= 0:
        return content
    return stack(*(_in_lines(each, width) for each in content.split("\n", allow_blank=True)))


def _in_lines(content: Content, width: int) -> Content:
    plain = content.plain
    if cell_len(plain) <= width:
        return content
    lines, start, room = [], 0, width
    for chunk in _CHUNK.finditer(plain):
        if chunk.start() > start and cell_len(chunk.group().rstrip()) > room:
            lines.append(content[start : chunk.start()].rstrip())
            start, room = chunk.start(), width
        room -= cell_len(chunk.group())
    return stack(*lines, content[start:])


def stack(*parts: Content) -> Content:
    """Contents under each other."""
    return Content("\n").join(parts)
