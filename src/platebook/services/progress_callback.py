"""How far long work has come, and stopping it between two steps, where nothing is half done.

Whoever starts long work hands over a `Watch`; the work calls it with how many steps are done and
how many there are. To stop the work, the watch raises `Stopped`.
"""

from collections.abc import Callable

from platebook.logbook.defaults import digests
from platebook.services.session import Session, opened

Watch = Callable[[float, int], None]
"""Told how many steps are done, of how many; 0 of 0 where nobody can say how many there are.

Of a step that takes long the part of it that is done counts too: 2.5 of 10.
"""


def within(watch: Watch, first: int, count: int, parts: int) -> Watch:
    """The watch for some of the equal parts that work on each of the same things goes through.

    Of 100 rows, half way through the second of two parts, 75 are told as done.
    """

    def told(done: float, of: int) -> None:
        watch((first * of + count * done) // parts, of)

    return told


def inside(watch: Watch, done: int, of: int) -> Watch:
    """The watch for the step that follows on `done` of them, told in parts of its own."""

    def told(part: float, parts: int) -> None:
        watch(done + (part / parts if parts else 0), of)

    return told


class Stopped(Exception):  # noqa: N818 - named for what is so, not for being an error
    """The work was stopped between two steps: nothing was changed, nothing written."""


def unwatched(done: float, of: int) -> None:
    """Nobody looks, and nobody stops it."""


def whether_changed(session: Session) -> Callable[[], bool]:
    """Takes down how the records stand; gives what says, after a stop, whether they changed."""
    before = _digests(session)
    return lambda: _digests(session) != before


def _digests(session: Session) -> dict[str, str]:
    if not session.path.exists():
        return {}

    with opened(session, make=False) as book:
        return book.ask(digests)
