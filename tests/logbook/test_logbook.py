"""An open logbook: what it refuses, and whose it is."""

import sqlite3
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from tests.logbook.books import a_book_with_setter, log, signed

from platebook.logbook import LogbookError, defaults, open_logbook
from platebook.logbook.attempts.attempt_queries import count_attempts
from platebook.logbook.history import undo_redo


def test_reading_only_changes_nothing(tmp_path: Path) -> None:
    """A logbook opened to be read refuses every kind of change."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 2)
    with open_logbook(tmp_path / "book.sqlite", read_only=True) as book:
        assert book.ask(count_attempts) == 2
        with pytest.raises(LogbookError):
            book.tell(defaults.set_default, "setter", "x")
        with pytest.raises(LogbookError):
            book.tell(undo_redo.undo, signed(book, "undo"))


def test_a_connection_stays_with_its_thread_and_another_thread_gets_its_own(
    tmp_path: Path,
) -> None:
    """Using one from another thread is a fault of the program, not of the logbook."""
    found: list[object] = []
    with a_book_with_setter(tmp_path) as book:

        def look() -> None:
            try:
                book.ask(count_attempts)
            except sqlite3.ProgrammingError as error:
                found.append(type(error))
            with book.beside() as own:
                found.append(own.ask(count_attempts))

        thread = threading.Thread(target=look)
        thread.start()
        thread.join()
    assert found == [sqlite3.ProgrammingError, 0]


def test_naming_the_package_loads_no_database() -> None:
    """The public names come from their rooms when they are first asked for."""
    program = (
        "import sys, platebook.logbook as logbook\n"
        "print('sqlite_utils' in sys.modules, hasattr(logbook, 'nothing'))\n"
        "logbook.LogbookError, logbook.logbook_path\n"
        "print('sqlite_utils' in sys.modules)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=False
    )
    assert (done.stdout, done.stderr) == ("False False\nFalse\n", "")
