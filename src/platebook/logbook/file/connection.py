"""One connection to a logbook file, with everything switched on that keeps it safe.

Write-ahead log, so that readers and a writer do not wait for each other; every commit is on the
disk before it is acknowledged; foreign keys on; functions that a file brings along are not trusted.
A connection belongs to the thread that made it.
"""

import sqlite3
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import ModuleType
from typing import Literal

_NOT_FOR_A_LOGBOOK = ("pandas", "numpy")
"""Modules that sqlite-utils loads where they are installed, though a logbook never needs them."""


@contextmanager
def _without_heavy_modules() -> Iterator[None]:
    loaded: dict[str, ModuleType | None] = {m: sys.modules.get(m) for m in _NOT_FOR_A_LOGBOOK}
    absent = [name for name, module in loaded.items() if module is None]
    for name in absent:
        sys.modules[name] = None  # type: ignore[assignment]  # makes importing it an ImportError
    try:
        yield
    finally:
        for name in absent:
            sys.modules.pop(name, None)


with _without_heavy_modules():
    from sqlite_utils import Database, Migrations

__all__ = ["Database", "Migrations", "Mode", "connect", "reading", "writing"]

Mode = Literal["rw", "ro", "immutable", "full"]


def connect(path: Path, *, mode: Mode = "rw", wait_s: float = 5.0) -> Database:
    """A connection to an existing file; it raises sqlite3.Error where the file cannot be used.

    "immutable" reads a file in a folder where not even a lock can be placed, "full" one on a disk
    without room for it; both must only be used where nobody writes. `wait_s` is how long to wait
    for another program's write.
    """
    query = "immutable=1" if mode in {"immutable", "full"} else f"mode={mode}"
    connection = sqlite3.connect(
        f"{path.absolute().as_uri()}?{query}", uri=True, timeout=wait_s, isolation_level=None
    )
    try:
        connection.create_function("casefold", 1, _casefold, deterministic=True)
        connection.execute("PRAGMA trusted_schema = OFF")
        connection.execute("PRAGMA foreign_keys = ON")
        if mode == "rw":
            connection.execute("PRAGMA journal_mode = WAL")
            connection.execute("PRAGMA synchronous = FULL")
            # On macOS only these reach the disk itself; elsewhere they change nothing.
            connection.execute("PRAGMA fullfsync = ON")
            connection.execute("PRAGMA checkpoint_fullfsync = ON")
        return Database(connection, execute_plugins=False)
    except BaseException:
        connection.close()
        raise


def _casefold(value: object) -> str:
    """Unicode's case folding for SQL, whose own comparisons know the case of ASCII letters only."""
    return "" if value is None else str(value).casefold()


@contextmanager
def writing(db: Database) -> Iterator[None]:
    """A transaction that may read before it writes: all of it is kept, or nothing."""
    db.execute("BEGIN IMMEDIATE")
    try:
        yield
        db.execute("COMMIT")
    except BaseException:
        db.rollback()
        raise


@contextmanager
def reading(db: Database) -> Iterator[None]:
    """All that is read inside is of one moment, whatever another program writes meanwhile."""
    db.execute("BEGIN")
    try:
        yield
    finally:
        db.rollback()
