"""Everything a person wrote goes through here before it reaches a widget.

A plain string handed to a widget is read as markup; a `Content` is not. `clean` takes out control
characters, which a terminal would obey.
"""

from rich.cells import set_cell_size
from textual.content import Content

from platebook.practice.text import clean

ELLIPSIS = "…"
MARK = "\N{SINGLE RIGHT-POINTING ANGLE QUOTATION MARK}"
"""Stands before the row in focus, so that colour alone does not say it."""


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


def stack(*parts: Content) -> Content:
    """Contents under each other."""
    return Content("\n").join(parts)
