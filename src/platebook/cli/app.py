"""Opening the app, or saying plainly why it cannot be opened here."""

import os
import sys
from typing import TYPE_CHECKING

import click

from platebook.cli.options import logbook_of, say

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from platebook.services.desk import Desk

WRONG_USE = 2
PLAIN = (
    "The app needs a terminal that can place text anywhere; this is {what}. "
    "Every screen is a command too: platebook next, platebook record, platebook log, "
    "platebook findings, platebook progress (--help lists all)."
)


def open_app(ctx: click.Context) -> None:
    """Open the app at the logbook named, and end with its exit code."""
    from platebook.logbook.place import logbook_path

    logbook = logbook_of(ctx)

    def desk() -> "Desk":
        from platebook.services.desks import desk_at

        return desk_at(logbook)

    sys.exit(run_app(desk, logbook_path(logbook)))


def run_app(desk_factory: "Callable[[], Desk]", logbook: "Path") -> int:
    """Run the app at the desk this makes; 2 where the terminal cannot show it."""
    missing = terminal_missing()
    if missing:
        say(PLAIN.format(what=missing))
        return WRONG_USE
    from platebook.tui.app import run_app as run_in_terminal

    return run_in_terminal(desk_factory, logbook)


def terminal_missing() -> str:
    """What stands in for a terminal here; empty where there is a real one, or a browser's."""
    if os.environ.get("TEXTUAL_DRIVER"):
        return ""
    if os.environ.get("TERM", "") == "dumb":
        return "a dumb terminal (TERM=dumb)"
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        return "a pipe or a file"
    return ""
