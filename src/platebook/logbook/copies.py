"""Copies that are proven readable before they count."""

from pathlib import Path

from platebook.logbook.connecting import Database, connect
from platebook.logbook.durable import new_file
from platebook.logbook.errors import LogbookError, told


def copy_into(db: Database, target: Path) -> None:
    """A compact copy of the logbook as it is now, looked through before it gets its name.

    LogbookError where `target` is taken, cannot be written, or does not read back the same.
    """
    target = target.absolute()
    try:
        with new_file(target) as draft:
            before = counts(db)
            db.execute("VACUUM INTO ?", [str(draft)])
            after = counts(db)
            with told(draft):
                copied = _proven(draft)
            # Others may write meanwhile, so the copy holds what there was at some time between.
            if not all(before[name] <= copied[name] <= after[name] for name in copied):
                message = f"The copy {target} did not read back the same and was thrown away."
                raise LogbookError("disk", f"{message} Check the disk and try again.")
    except FileExistsError:
        message = f"There is a file {target} already. It was left as it is. Name another file."
        raise LogbookError("exists", message) from None


def counts(db: Database) -> dict[str, int]:
    """How many rows each table has."""
    tables = db.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
    return {
        name: int(db.execute(f"SELECT count(*) FROM {name}").fetchone()[0])  # noqa: S608 - names of our own
        for (name,) in tables
    }


def _proven(path: Path) -> dict[str, int]:
    db = connect(path, mode="ro")
    try:
        found = [row[0] for row in db.execute("PRAGMA integrity_check(1)").fetchall()]
        if found != ["ok"]:
            raise LogbookError("disk", f"The copy was damaged in the making: {found[0]}.")
        return counts(db)
    finally:
        db.close()
