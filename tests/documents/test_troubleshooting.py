"""docs/troubleshooting.md holds only messages that the program can say."""

import ast
import re
from collections.abc import Iterator

import pytest
from tests.documents.page import ROOT

PAGE = ROOT / "docs" / "troubleshooting.md"
MESSAGES = re.findall(
    r"^\| (?!it says|---)([^|]+) \|[^|]+\|[^|]+\|$", PAGE.read_text("utf-8"), re.MULTILINE
)
LEFT_OUT = "..."
SHORTEST = 9
"""Letters of a piece of a message that tell it from others."""


def _sentences() -> Iterator[str]:
    """Every text in the program, with `...` for what is filled in."""
    for file in (ROOT / "src").rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            match node:
                case ast.Constant(value=str(text)):
                    yield re.sub(r"\{[a-z_]*\}", LEFT_OUT, text)
                case ast.JoinedStr(values=parts):
                    yield "".join(
                        str(part.value) if isinstance(part, ast.Constant) else LEFT_OUT
                        for part in parts
                    )


SENTENCES = [" ".join(sentence.split()) for sentence in _sentences()]


def _said_by_the_program(message: str) -> bool:
    """Whether one text of the program has the message's pieces, in their order."""
    pieces = [piece.strip(" .") for piece in message.split(LEFT_OUT)]
    wanted = ".*".join(re.escape(piece) for piece in pieces if piece.strip(" ,:"))
    return any(re.search(wanted, sentence) for sentence in SENTENCES)


@pytest.mark.parametrize("message", MESSAGES)
def test_the_message_is_one_the_program_can_say(message: str) -> None:
    """Its words stand in one text of the program."""
    longest = max(len(piece.strip(" .")) for piece in message.split(LEFT_OUT))
    assert (longest >= SHORTEST, _said_by_the_program(message)) == (True, True)


def test_a_message_that_is_not_said_is_told() -> None:
    """The test above can fail."""
    assert not _said_by_the_program("The logbook ... has gone fishing.")
