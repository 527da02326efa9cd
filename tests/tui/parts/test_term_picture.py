"""Drawings of words on a screen: as many and as large as there is room for, else none."""

import pytest

from platebook.practice.results import RESULT_KEYS
from platebook.tui.parts.term_picture import DrawnWord, gallery
from platebook.values import replace

WORDS = DrawnWord.those_drawn("result", RESULT_KEYS.items())


def test_words_without_a_drawing_are_left_out() -> None:
    """A lubricant has none, and an answer that nobody knows has none."""
    assert DrawnWord.those_drawn("lubricant", [("1", "wax")]) == ()
    assert DrawnWord.those_drawn("result", [("0", "good"), ("1", "missed")]) == (
        DrawnWord("0", "result", "good"),
    )


@pytest.mark.parametrize(("width", "height"), [(86, 16), (165, 27), (68, 24), (300, 80)])
def test_a_gallery_keeps_to_its_room(width: int, height: int) -> None:
    """Every word with its key stands there, no line too long, none cut off."""
    lines = gallery(WORDS, width, height).plain.split("\n")
    assert max(len(line) for line in lines) <= width
    assert len(lines) <= height + 1
    text = "\n".join(lines)
    assert [word.value for word in WORDS if word.label().plain not in text] == []


def test_long_words_go_on_in_a_second_line() -> None:
    """No word is cut off, and none of its neighbours loses its own."""
    fits = ("will not enter", "enters with a firm push", "drops in")
    words = DrawnWord.those_drawn("fit", [(str(n), value) for n, value in enumerate(fits, 1)])
    lines = gallery(words, 60, 8).plain.split("\n")
    assert "1  will not enter" in lines[0]
    assert "2  enters with a" in lines[0]
    assert lines[1].split() == ["firm", "push"]
    assert "3  drops in" in lines[0]
    assert len(lines) <= 9


def test_what_needs_a_third_line_leaves_the_keys_alone() -> None:
    """Rather than words that are cut off: they stand beside their keys in the list."""
    words = tuple(
        replace(word, key=f"the answer that is given by the key {word.key}")
        for word in DrawnWord.those_drawn("fit", [("4", "drops in"), ("5", "drops in and moves")])
    )
    heads = gallery(words, 30, 8).plain.split("\n")[0]
    assert "drops in" not in heads


@pytest.mark.parametrize(("width", "height"), [(46, 4), (27, 13), (0, 0)])
def test_a_gallery_that_does_not_fit_is_empty(width: int, height: int) -> None:
    """No part of it is shown."""
    assert gallery(WORDS, width, height).plain == ""
    assert gallery((), 200, 60).plain == ""
