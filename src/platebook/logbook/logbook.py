"""The logbook as one object: a file, one connection, the last id given out, and two ways in.

A caller names the repository's function that it asks or tells: `book.ask(setters)`,
`book.tell(add_setter, "Ottoline Marsh", book.stamp(author, now, "add"))`. Each takes the connection
first; the rest of its arguments are handed on as they are.
"""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Concatenate, ParamSpec, Self, TypeVar

from platebook.logbook.errors import LogbookError, logbook_errors, no_room
from platebook.logbook.file.connection import Database, Mode
from platebook.logbook.history.changes import Stamp
from platebook.logbook.history.revisions import Ids

P = ParamSpec("P")
R = TypeVar("R")


class Logbook:
    """An open logbook. Get one from `open_logbook`; close it, or use it in a `with`.

    It belongs to the thread it was made in. `read_only` says that nothing can be written to this
    file. `wait_s` is how long a write waits for another program's. Whatever fails raises
    LogbookError with what to do, and what stood before stands.
    """

    def __init__(self, path: Path, db: Database, *, mode: Mode = "rw", wait_s: float = 5.0) -> None:
        self.path = path
        self.read_only = mode != "rw"
        self._mode: Mode = mode
        self._wait_s = wait_s
        self._db = db
        self._ids = Ids()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file; closing twice is closing once."""
        self._db.close()

    def beside(self) -> Self:
        """The same logbook for the thread that asks, by a connection of its own."""
        with logbook_errors(self.path):
            db = self._db.beside()
        return type(self)(self.path, db, mode=self._mode, wait_s=self._wait_s)

    def ask(
        self, question: Callable[Concatenate[Database, P], R], *args: P.args, **kwargs: P.kwargs
    ) -> R:
        """What a repository answers; nothing is changed, so it may be asked of any logbook."""
        with logbook_errors(self.path):
            return question(self._db, *args, **kwargs)

    def tell(
        self, change: Callable[Concatenate[Database, P], R], *args: P.args, **kwargs: P.kwargs
    ) -> R:
        """Let a repository make one change, kept whole or not at all; refused where read-only."""
        if self._mode == "full":
            raise no_room(self.path)
        if self.read_only:
            message = f"The logbook {self.path} can be read but not written. Nothing was changed."
            raise LogbookError("read-only", message)
        return self.ask(change, *args, **kwargs)

    def stamp(
        self, author: str, now: datetime, what: str, *, signed_by: str | None = None
    ) -> Stamp:
        """Who makes a change, when on the wall, and in a word what it is ("add", "merge").

        `signed_by` is the id of the person whose key signs it, "" for the logbook's own while
        nobody is in use; None leaves it unsigned.
        Ids that the new records lack are assigned from it, rising in the order given.
        """
        if signed_by is None:
            return Stamp(author, now, what, self._ids)
        # Who only reads loads nothing of what signs.
        from platebook.logbook.signing.signatures import Signer

        return Stamp(author, now, what, self._ids, signer=Signer(self.path, signed_by, author))

    def new_id(self, now: datetime) -> str:
        """One new id, higher than all given out before."""
        return self._ids.one(now)

    def new_ids(self, count: int, now: datetime) -> tuple[str, ...]:
        """Ids for records that are to be added later, rising."""
        return self._ids.take(count, now)
