"""Copies that are proven readable before they count: backup and restore."""

from pathlib import Path

from platebook.logbook.connecting import Database
from platebook.logbook.durable import new_file


def copy_into(db: Database, target: Path) -> None:
    """A compact copy of the file as it is now; FileExistsError where `target` is taken."""
    with new_file(target) as draft:
        db.execute("VACUUM INTO ?", [str(draft)])
