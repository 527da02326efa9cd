"""docs/troubleshooting.md holds the messages that the program can say, and no others."""

import re

import pytest
from tests.documents.messages import SHORTEST, has_pieces, messages, pieces, texts, without_tail
from tests.documents.page import ROOT

PAGE = ROOT / "docs" / "troubleshooting.md"
ROWS = re.findall(
    r"^\| (?!it says|---)([^|]+) \|[^|]+\|[^|]+\|$", PAGE.read_text("utf-8"), re.MULTILINE
)
MESSAGES = messages()
TEXTS = tuple({*texts(), *(one.words for one in MESSAGES)})


@pytest.mark.parametrize("row", ROWS)
def test_the_message_is_one_the_program_can_say(row: str) -> None:
    """Its words stand in one text of the program."""
    long_enough = any(len(piece) >= SHORTEST for piece in pieces(row))
    said = any(has_pieces(text, row) for text in TEXTS)
    assert (long_enough, said) == (True, True)


def test_a_message_that_is_not_said_is_told() -> None:
    """The test above can fail."""
    assert not any(has_pieces(text, "The logbook ... has gone fishing.") for text in TEXTS)


def test_every_message_that_ends_a_command_is_on_the_page() -> None:
    """Some row has its words, by itself or for a family of them."""
    rows = [without_tail(row.strip()) for row in ROWS]
    without = [
        f"{one.where} {one.words}"
        for one in MESSAGES
        if not any(pieces(row) and has_pieces(one.words, row) for row in rows)
    ]
    assert (len(MESSAGES) > 150, without) == (True, [])
