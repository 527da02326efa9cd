"""The Textual app: screens that own frozen values, call use cases in workers and post messages."""

from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from platebook.services.session import Session

__all__ = ["run"]


def run(desk_factory: "Callable[[], Session]", logbook: "Path") -> int:
    """Open the app on the desk that `desk_factory` gives, and return the exit code.

    `logbook` is where its logbook is, or will be. The factory is called in a worker after the first
    paint; it may raise `LogbookUnusable`.
    """
    from platebook.tui.app import run_app

    return run_app(desk_factory, logbook)
