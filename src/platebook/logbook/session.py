"""One open logbook: its file, one connection, and the last id given out."""

from collections.abc import Callable
from pathlib import Path
from types import TracebackType
from typing import Concatenate, ParamSpec, Self, TypeVar

from platebook.logbook.connecting import Database, Mode, connect
from platebook.logbook.errors import LogbookError, told
from platebook.logbook.ids import Ids

P = ParamSpec("P")
R = TypeVar("R")


class Session:
    """A connection that belongs to the thread it was made in, and is closed with `close` or `with`.

    `read_only` says that nothing can be written to this file. `wait_s` is how long a write waits
    for another program's.
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
        with told(self.path):
            db = connect(self.path, mode=self._mode, wait_s=self._wait_s)
        return type(self)(self.path, db, mode=self._mode, wait_s=self._wait_s)

    def _ask(
        self, question: Callable[Concatenate[Database, P], R], *args: P.args, **kwargs: P.kwargs
    ) -> R:
        with told(self.path):
            return question(self._db, *args, **kwargs)

    def _tell(
        self, change: Callable[Concatenate[Database, P], R], *args: P.args, **kwargs: P.kwargs
    ) -> R:
        if self.read_only:
            message = f"The logbook {self.path} can be read but not written. Nothing was changed."
            raise LogbookError("read-only", message)
        return self._ask(change, *args, **kwargs)
