"""What a use case raises when it cannot be done: the logbook at fault, or a refusal in words."""

import contextlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from platebook.logbook import Logbook
    from platebook.services.desk import Desk


class LogbookUnusable(Exception):  # noqa: N818 - named for what is so, not for being an error
    """The logbook cannot be used; `sentence` says why and what to do, `cause` is its short code."""

    def __init__(self, sentence: str, cause: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.cause = cause


class Refused(Exception):  # noqa: N818 - named for what is so, not for being an error
    """The request cannot be carried out as things stand; nothing was changed."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


@contextmanager
def opened(desk: "Desk", *, make: bool = True, rehearsal: bool = False) -> "Iterator[Logbook]":
    """The desk's logbook, open for one use case in this thread, and closed after it.

    One that is not there yet is made, unless `make` is False. For a `rehearsal`, which stores
    nothing, it is made in a folder that goes away afterwards.
    """
    from platebook.logbook import LogbookError, open_logbook

    try:
        with contextlib.ExitStack() as stack:
            path = desk.path
            if rehearsal and not path.exists():
                path = Path(stack.enter_context(TemporaryDirectory())) / path.name
            yield stack.enter_context(open_logbook(path, create=make))
    except LogbookError as fault:
        raise LogbookUnusable(str(fault), fault.cause) from fault
