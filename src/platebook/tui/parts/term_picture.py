"""The drawing of a word in a terminal's cells, each sign in the colour of what it shows."""

from itertools import groupby

from textual.content import Content

from platebook.tui.parts.text import stack, txt

STYLES = {"metal": "$metal", "stone": "$stone", "tool": "$secondary", "fault": "$text-error"}
"""The style of what a sign shows; the lines say the same without colour."""


def term_picture(field: str, value: str, width: int, height: int) -> Content:
    """The drawing with what it shows below; empty where none fits or the word has none."""
    from platebook.reports.drawings.terms import term_caption, term_signs

    signs = term_signs(field, value, width, height)
    rows = [row for row in signs if any(sign.strip() for sign, _ in row)]
    if not rows:
        return Content("")
    return stack(*(_line(row) for row in rows), txt(term_caption(field, value), "$muted"))


def _line(row: tuple[tuple[str, str], ...]) -> Content:
    runs = ((role, "".join(s for s, _ in run)) for role, run in groupby(row, key=lambda p: p[1]))
    return Content.assemble(*((signs, STYLES.get(role, "")) for role, signs in runs))
