"""How far long work has come, on stderr, and getting the class ready after attempts came in.

The bar is drawn only where stderr is a terminal, only once the work has lasted half a second, and
is wiped away at the end. Where nobody can say how many steps there are it shows the seconds.

With the class made ready its screen's first opening takes no longer than the next. That is nothing
that could be lost: stopped, or never done, it is worked out when the screen is opened.
"""

import contextlib
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from shutil import get_terminal_size
from typing import TYPE_CHECKING, NoReturn

import click

from platebook.cli.start import STOPPED
from platebook.cli.terminal.options import say

if TYPE_CHECKING:
    from platebook.services.session import Session


SHOWN_AFTER_S = 0.5
REDRAWN_S = 0.1
_WIDTH = 24
_FULL, _EMPTY = "#", "."


@dataclass
class Work:
    """Long work under way; called with the steps done and how many there are, as a `Watch` is."""

    label: str
    done: int = 0
    of: int = 0
    _far: float = 0.0
    began: float = field(default_factory=time.monotonic)

    def __call__(self, done: float, of: int) -> None:
        """Remember how far it is."""
        self.done, self.of, self._far = int(done), of, done

    def begins(self, label: str) -> None:
        """Go on with something else, of which nobody knows yet how much there is."""
        self.label, self.done, self.of, self._far = label, 0, 0, 0.0

    def line(self) -> str:
        """How far it is, in a line."""
        seconds = int(time.monotonic() - self.began)
        if not self.of:
            return f"{self.label}, {seconds} s (Ctrl-C stops it)"
        full = int(min(self._far, self.of) * _WIDTH / self.of)
        bar = _FULL * full + _EMPTY * (_WIDTH - full)
        return f"{self.label} [{bar}] {self.done} of {self.of} (Ctrl-C stops it)"


@contextmanager
def long_work(label: str, left: Callable[[Work], str]) -> Iterator[Work]:
    """Show how far the work in the block is; Ctrl-C ends the command with exit code 130.

    `left` says, after the stop, what was done and what was not: by what is there then, not by what
    the work had in mind.
    """
    work = Work(label)
    ended = threading.Event()
    drawer: threading.Thread | None = None
    if sys.stderr.isatty():
        drawer = threading.Thread(target=_draw, args=(work, ended), daemon=True)
        drawer.start()
    try:
        yield work
    except KeyboardInterrupt:
        _wiped(drawer, ended)
        _stop(work, left)
    finally:
        _wiped(drawer, ended)


def new_file_left(file: Path, work: Work) -> str:  # noqa: ARG001 - as `long_work` asks
    """What is left where the writing of a new file is stopped: the whole file or none."""
    if file.exists():
        return f"{file} was written whole before it could be stopped."
    return f"{file} was not written, and the logbook is as it was."


def storing(session: "Session", file: Path) -> AbstractContextManager[Work]:
    """Shows how far the taking in is; after Ctrl-C the logbook itself says whether it came in."""
    from platebook.services.progress_callback import whether_changed

    changed = whether_changed(session)

    def left(_: Work) -> str:
        if changed():
            return f"{file.name} was stored whole before it could be stopped; undo takes it back."
        return f"nothing of {file.name} was stored, and the logbook is as it was."

    return long_work(f"Taking in {file.name}", left)


def _stop(work: Work, left: Callable[[Work], str]) -> NoReturn:
    # A second Ctrl-C while the sentence is found would end in a traceback.
    with contextlib.suppress(ValueError):
        signal.signal(signal.SIGINT, signal.SIG_IGN)
    say(f"Stopped: {left(work)}")
    sys.exit(STOPPED)


def _wiped(drawer: threading.Thread | None, ended: threading.Event) -> None:
    if drawer is not None:
        ended.set()
        drawer.join()


def _draw(work: Work, ended: threading.Event) -> None:
    if ended.wait(SHOWN_AFTER_S):
        return
    while True:
        room = max(get_terminal_size().columns - 1, 10)
        click.echo(f"\r\x1b[K{work.line()[:room]}", err=True, nl=False)
        if ended.wait(REDRAWN_S):
            click.echo("\r\x1b[K", err=True, nl=False)
            return


def make_ready(session: "Session") -> None:
    """Work out what a large class's screen shows, where something of it has changed."""
    from platebook.services.classes.class_answers import read_ahead

    with long_work("Reading the class for its screen", left_unread) as work:
        read_ahead(session, work)


def left_unread(work: "Work") -> str:  # noqa: ARG001 - as `long_work` asks
    """What is left where the reading is stopped."""
    return "everything came in; the class screen reads the rest when it is opened."
