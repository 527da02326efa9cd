"""The glossary as lines for a terminal."""

import pytest

from platebook.practice.glossary import glossary, meant
from platebook.reports.drawings.terms import DRAWN
from platebook.reports.text.glossary_text import (
    WIDTH,
    entry_lines,
    is_drawn,
    list_lines,
)


def test_an_entry_says_what_it_is_how_it_is_read_and_where_it_is_asked() -> None:
    """In this order, folded, each in a sentence."""
    assert entry_lines(meant("ledge")[0]) == (
        "ledge  (stone and seat)",
        "  The ring of metal left under the girdle.",
        "  Look straight down into the seat without the stone: the ring of metal that",
        "  will carry the girdle is as wide all round, or not. It tells whether the bur",
        "  ran true on the pilot.",
        "  Where: Attempt and Plate, before the result.",
    )


def test_a_drawing_stands_below_with_what_it_shows() -> None:
    """Where it is wanted, and the word has one."""
    term = meant("tilted")[0]
    plain, drawn = entry_lines(term), entry_lines(term, picture=True)
    assert drawn[: len(plain)] == plain
    assert any("\u2800" <= sign <= "\u28ff" for sign in "".join(drawn[len(plain) :]))
    assert "drawn ×" in drawn[-1]
    culet = meant("culet")[0]
    assert entry_lines(culet, picture=True) == entry_lines(culet)


def test_every_drawing_has_its_word() -> None:
    """Nothing is drawn that the glossary does not explain."""
    assert {(t.field, t.value) for t in glossary() if is_drawn(t)} == set(DRAWN)


@pytest.mark.parametrize("picture", [False, True])
def test_no_line_is_wider_than_a_terminal(*, picture: bool) -> None:
    """Entries and lists alike."""
    lines = [line for term in glossary() for line in entry_lines(term, picture=picture)]
    assert max(map(len, (*lines, *list_lines(glossary())))) <= WIDTH
