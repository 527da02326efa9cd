"""Copies that are proven readable, putting one back, and looking whether the logbook is whole."""

from pathlib import Path

from platebook.services.desk import Desk
from platebook.services.faults import LogbookUnusable, opened


def backup(desk: Desk, target: Path) -> None:
    """Copy the logbook to a new file that was read back and compared before it got its name."""
    from platebook.logbook.copies import copy_into

    with opened(desk, make=False) as book:
        book.ask(copy_into, target)


def restore(desk: Desk, source: Path) -> Path | None:
    """Put a backup in the logbook's place; gives where the old file was kept, if there was one."""
    from platebook.logbook import LogbookError
    from platebook.logbook import restore as put_back

    try:
        return put_back(source, desk.path)
    except LogbookError as fault:
        raise LogbookUnusable(str(fault), fault.cause) from fault


def check(desk: Desk) -> tuple[str, ...]:
    """What is wrong with the logbook, a sentence each; empty where it is whole."""
    from platebook.logbook import checking

    with opened(desk, make=False) as book:
        return book.ask(checking.findings)
