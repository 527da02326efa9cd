"""One connection to a logbook file, with everything switched on that keeps it safe.

Write-ahead log, so that readers and a writer do not wait for each other; every commit is on the
disk before it is acknowledged; foreign keys on; functions that a file brings along are not trusted.
A connection belongs to the thread that made it.
"""

import sqlite3
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import Any, Literal

Values = Sequence[Any] | Mapping[str, Any]
Mode = Literal["rw", "ro", "immutable", "full"]


class Database:
    """A connection's statements, and what they find as rows by the names of their columns.

    Every statement outside a transaction is one of its own. What makes and changes tables is more
    than this and is loaded where that is done (`migrating`). `again` makes the connection that
    `beside` gives; one that is in memory alone has no other.
    """

    def __init__(
        self, conn: sqlite3.Connection, again: "Callable[[], Database] | None" = None
    ) -> None:
        self.conn = conn
        self._again = again
        conn.isolation_level = None
        conn.execute("PRAGMA recursive_triggers = ON")

    def execute(self, statement: str, values: Values = ()) -> sqlite3.Cursor:
        """Run one statement."""
        return self.conn.execute(statement, values)

    def query(self, statement: str, values: Values = ()) -> Iterator[dict[str, Any]]:
        """Run one statement at once, and give its rows while they are asked for."""
        cursor = self.conn.execute(statement, values)
        names = [column[0] for column in cursor.description]
        return (dict(zip(names, row, strict=True)) for row in cursor)

    def beside(self) -> "Database":
        """Another connection to the same file, for the thread that asks; it raises sqlite3.Error.

        ValueError where there is no file.
        """
        if self._again is None:
            raise ValueError("a database in memory has one connection")
        return self._again()

    def rollback(self) -> None:
        """Leave the transaction as if it had never begun; without one nothing happens."""
        self.conn.rollback()

    def close(self) -> None:
        """Let go of the file."""
        self.conn.close()


def connect(path: Path, *, mode: Mode = "rw", wait_s: float = 5.0) -> Database:
    """A connection to an existing file; it raises sqlite3.Error where the file cannot be used.

    "immutable" reads a file in a folder where not even a lock can be placed, "full" one on a disk
    without room for it; both must only be used where nobody writes. `wait_s` is how long to wait
    for another program's write.
    """
    query = "immutable=1" if mode in {"immutable", "full"} else f"mode={mode}"
    connection = sqlite3.connect(f"{path.absolute().as_uri()}?{query}", uri=True, timeout=wait_s)
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
        return Database(connection, partial(connect, path, mode=mode, wait_s=wait_s))
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
