"""Lines of text on stdout, wrapped for a terminal, with the invented mark where it belongs."""

import textwrap
from collections.abc import Iterable
from typing import TYPE_CHECKING

from platebook.cli.options import tell

if TYPE_CHECKING:
    from platebook.services.desk import Desk

WIDTH = 80
INVENTED = "INVENTED: these people and attempts are made up."


def page(desk: "Desk", lines: Iterable[str]) -> None:
    """Print the lines; a long one is wrapped with its continuation under its first word."""
    if desk.invented:
        tell(INVENTED)
    for line in lines:
        tell(wrapped(line))


def wrapped(line: str) -> str:
    """One line folded to the width, continued under its text and not under its sign."""
    if len(line) <= WIDTH:
        return line
    body = line.lstrip(" >*!-")
    return textwrap.fill(
        body,
        WIDTH,
        initial_indent=line[: len(line) - len(body)],
        subsequent_indent=" " * (len(line) - len(body)),
        break_long_words=False,
    )
