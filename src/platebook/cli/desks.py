"""From the options of a command to the desk it works at; a fault sets the exit code."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

from platebook.cli.options import DATA_SAYS_NO, LOGBOOK_UNUSABLE, logbook_of, say

if TYPE_CHECKING:
    from platebook.services.desk import Desk

THE_REQUEST = frozenset({"duplicate", "exists", "refused", "unknown", "value"})
"""Causes that lie in what was asked for; with any other the logbook cannot be used."""


@contextmanager
def at_desk(
    ctx: click.Context, *, setter: str | None = None, look: bool = True
) -> "Iterator[Desk]":
    """The desk for this command; a fault is told in one sentence and sets the exit code.

    With `look` False the logbook is not looked into: it may be damaged, as before a restore.
    """
    from platebook.services.desks import desk_at
    from platebook.services.faults import LogbookUnusable, Refused

    try:
        yield desk_at(logbook_of(ctx), setter=setter, look=look)
    except LogbookUnusable as fault:
        say(fault.sentence)
        sys.exit(DATA_SAYS_NO if fault.cause in THE_REQUEST else LOGBOOK_UNUSABLE)
    except Refused as fault:
        say(fault.sentence)
        sys.exit(DATA_SAYS_NO)
