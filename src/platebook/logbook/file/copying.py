"""A compact copy of a logbook that is open: written, read back and compared.

| function | gives |
|---|---|
| `copy_into` | a new file that was proven before it got its name |
| `write_copy`, `counts`, `prove` | its parts, for copies that are worked on |
| `says_the_same` | whether a copy still says all that the logbook says |
"""

import sqlite3
from pathlib import Path

from platebook.logbook.errors import LogbookError, logbook_errors
from platebook.logbook.file.connection import Database, connect
from platebook.logbook.file.migrating import schema_of
from platebook.logbook.file.place import announced, new_file


def copy_into(db: Database, target: Path) -> None:
    """A compact copy of the logbook as it is now, looked through before it gets its name.

    LogbookError where `target` is taken, cannot be written, or does not read back the same.
    """
    target = target.absolute()
    try:
        with announced(path_of(db), target), new_file(target) as draft:
            before = counts(db)
            write_copy(db, draft, target)
            after = counts(db)
            with logbook_errors(draft):
                copied = prove(draft)
            # Others may write meanwhile, so the copy holds what there was at some time between.
            if not all(before[name] <= copied[name] <= after[name] for name in copied):
                message = f"The copy {target} did not read back the same and was thrown away."
                raise LogbookError("disk", f"{message} Check the disk and try again.")
    except FileExistsError:
        message = f"There is a file {target} already. It was left as it is. Name another file."
        raise LogbookError("exists", message) from None


_OF_THE_COPY = ("SQLITE_FULL", "SQLITE_IOERR_WRITE", "SQLITE_IOERR_FSYNC", "SQLITE_IOERR_TRUNCATE")
"""How SQLite's errors begin that are about the file it writes, not the one it reads."""


def write_copy(db: Database, draft: Path, target: Path) -> None:
    """Copy the logbook into `draft`; where there is no room, the place of `target` is named."""
    try:
        db.execute("VACUUM INTO ?", [str(draft)])
    except sqlite3.Error as error:
        if not (getattr(error, "sqlite_errorname", None) or "").startswith(_OF_THE_COPY):
            raise
        message = f"{target.name} does not fit into {target.parent}, or cannot be written there."
        advice = "Nothing was changed. Make room there, then try again."
        raise LogbookError("full", f"{message} {advice}") from error


def path_of(db: Database) -> Path | None:
    """The file that a connection is to; None for one in memory."""
    name = db.execute("SELECT file FROM pragma_database_list WHERE name = 'main'").fetchone()[0]
    return Path(name) if name else None


def counts(db: Database) -> dict[str, int]:
    """How many rows each table has."""
    tables = db.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
    return {
        name: int(db.execute(f"SELECT count(*) FROM {name}").fetchone()[0])  # noqa: S608 - names of our own
        for (name,) in tables
    }


def prove(path: Path) -> dict[str, int]:
    """How many rows a copy has by table, read back; LogbookError where its pages are damaged."""
    db = connect(path, mode="ro")
    try:
        pages = [row[0] for row in db.execute("PRAGMA integrity_check(1)").fetchall()]
        if pages != ["ok"]:
            raise LogbookError("disk", f"The copy was damaged in the making: {pages[0]}.")
        return counts(db)
    finally:
        db.close()


def says_the_same(db: Database, copy: Path) -> bool:
    """Whether a copy is sound and says what the logbook says now: the same step, changes and rows.

    What is no record, such as who is in use, may differ.
    """
    try:
        other = connect(copy, mode="ro")
        try:
            same = _state(other) == _state(db)
            return same and other.execute("PRAGMA integrity_check(1)").fetchone()[0] == "ok"
        finally:
            other.close()
    except (sqlite3.Error, OSError):
        return False


def _state(db: Database) -> tuple[object, ...]:
    newest = db.execute(
        "SELECT counter, change_id FROM change ORDER BY counter DESC, change_id DESC LIMIT 1"
    ).fetchone()
    return schema_of(db), newest, counts(db)
