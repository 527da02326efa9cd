"""Killed, full, locked, torn: what was saved stands, and what went wrong is said."""

import multiprocessing
import os
import random
import resource
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import get_args

import pytest
from tests.logbook.books import (
    ME,
    a_book,
    a_book_with_setter,
    log,
    signed,
    some_attempts,
    write_many,
)
from tests.logbook.handed_on import revisions_by

from platebook.logbook import Logbook, LogbookError, defaults, open_logbook, restore
from platebook.logbook.attempts.attempt_queries import count_attempts, select_attempts
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.logbook.errors import Cause, from_sqlite
from platebook.logbook.file import integrity
from platebook.logbook.file.copying import copy_into
from platebook.logbook.records import add_attempts, add_setter

WRITER = Path(__file__).with_name("writer.py")


@contextmanager
def files_no_larger_than(size: int) -> Iterator[None]:
    """The operating system refuses to let any file of this process grow beyond this."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.mark.slow
def test_nothing_saved_is_lost_when_the_program_is_killed(tmp_path: Path) -> None:
    """Ten times kill -9 at a random moment: every change that was confirmed is there, whole."""
    moments = random.Random(20260203)  # noqa: S311 - no secret, a test's seed
    path = tmp_path / "book.sqlite"
    a_book_with_setter(tmp_path).close()
    confirmed: set[str] = set()
    for _ in range(10):
        program = [sys.executable, str(WRITER), str(path), ME, "3"]
        with subprocess.Popen(program, stdout=subprocess.PIPE, text=True) as writer:
            assert writer.stdout is not None
            for _ in range(moments.randint(1, 4)):
                confirmed.add(writer.stdout.readline().strip())
            timer = threading.Timer(moments.uniform(0, 0.15), writer.kill)
            timer.start()
            confirmed.update(line.strip() for line in writer.stdout)
            timer.join()
        with open_logbook(path) as book:
            ids = {attempt.attempt_id for attempt in book.ask(select_attempts)}
            assert confirmed <= ids
            assert len(ids) % 3 == 0
            assert book.ask(integrity.problems_in) == ()
    assert len(confirmed) > 10


def test_a_full_disk_loses_nothing_that_was_saved(tmp_path: Path) -> None:
    """The change that does not fit is not there at all; with room again, work goes on."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 10)
        size = max(path.stat().st_size for path in tmp_path.iterdir())
        with files_no_larger_than(size + 4096), pytest.raises(LogbookError) as caught:
            log(book, 500)
        assert caught.value.cause in {"full", "disk"}
        assert "still stands" in str(caught.value)
        assert (book.ask(count_attempts), book.ask(integrity.problems_in)) == (10, ())
        log(book, 5)
        assert (book.ask(count_attempts), book.ask(integrity.problems_in)) == (15, ())


def test_a_full_disk_while_a_copy_is_made_leaves_no_half_copy(tmp_path: Path) -> None:
    """A backup that is not whole never gets its name."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 500)
        with files_no_larger_than(64 * 1024), pytest.raises(LogbookError) as caught:
            book.ask(copy_into, tmp_path / "copy.sqlite")
        assert caught.value.cause in {"full", "disk"}
    assert [path.name for path in tmp_path.iterdir()] == ["book.sqlite"]


def test_a_full_disk_while_a_backup_is_restored_is_told_of_the_logbooks_place(
    tmp_path: Path,
) -> None:
    """The backup is not blamed, and nothing is left of the try."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 500)
    place = tmp_path / "new" / "logbook.sqlite"
    with files_no_larger_than(64 * 1024), pytest.raises(LogbookError) as caught:
        restore(tmp_path / "book.sqlite", place)
    assert str(place.parent) in str(caught.value)
    assert "book.sqlite is not sound" not in str(caught.value)
    assert caught.value.cause in {"full", "disk"}
    assert list(place.parent.iterdir()) == []


def test_a_full_disk_is_no_reason_not_to_read(tmp_path: Path) -> None:
    """Not even the file that readers share finds room: all that was saved is read."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 10)
    with files_no_larger_than(16 * 1024), open_logbook(tmp_path / "book.sqlite") as book:
        assert (book.ask(count_attempts), book.ask(integrity.problems_in)) == (10, ())
        with pytest.raises(LogbookError, match="does not fit on the disk any more") as caught:
            log(book, 1)
        assert caught.value.cause == "full"
    with open_logbook(tmp_path / "book.sqlite") as book:
        log(book, 1)
        assert (book.read_only, book.ask(count_attempts)) == (False, 11)


def test_no_room_for_a_new_logbook_leaves_nothing(tmp_path: Path) -> None:
    """A logbook is made whole or not at all, so the next start can try again."""
    with files_no_larger_than(8192), pytest.raises(LogbookError) as caught:
        open_logbook(tmp_path / "book.sqlite")
    assert caught.value.cause in {"full", "disk"}
    assert list(tmp_path.iterdir()) == []
    open_logbook(tmp_path / "book.sqlite").close()


def test_a_logbook_locked_by_another_program_is_said_and_read(tmp_path: Path) -> None:
    """A write waits, then gives up with a sentence; reading goes on meanwhile."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 2)
    path = tmp_path / "book.sqlite"
    program = (
        "import sqlite3, sys\n"
        "connection = sqlite3.connect(sys.argv[1], isolation_level=None)\n"
        "connection.execute('BEGIN IMMEDIATE')\n"
        "print('locked', flush=True)\n"
        "sys.stdin.read()\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", program, str(path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as other:
        assert other.stdin is not None
        assert other.stdout is not None
        assert other.stdout.readline() == "locked\n"
        with open_logbook(path, wait_s=0.1) as book:
            assert book.ask(count_attempts) == 2
            with pytest.raises(LogbookError, match="in use by another program") as caught:
                log(book, 1)
            assert caught.value.cause == "busy"
            other.stdin.close()
            other.wait()
            log(book, 1)
            assert book.ask(count_attempts) == 3


@pytest.mark.slow
def test_two_programs_writing_at_once_lose_nothing(tmp_path: Path) -> None:
    """Every change is there, each with a counter of its own."""
    path = tmp_path / "book.sqlite"
    with a_book(tmp_path) as book:
        people = [
            book.tell(add_setter, name, signed(book, "add")) for name in ("Ansel", "Ottoline")
        ]
    spawn = multiprocessing.get_context("spawn")
    writers = [
        spawn.Process(target=write_many, args=(path, person.setter_id, 20)) for person in people
    ]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert [writer.exitcode for writer in writers] == [0, 0]
    with open_logbook(path) as book:
        assert [book.ask(count_attempts, Wanted(setter_id=p.setter_id)) for p in people] == [40, 40]
        counters = {r.change.counter: r.change.change_id for r in book.ask(revisions_by)}
        assert sorted(counters) == list(range(1, 43))
        assert len(set(counters.values())) == 42
        assert book.ask(integrity.problems_in) == ()


def test_a_change_fails_whole_when_its_last_row_cannot_be_stored(tmp_path: Path) -> None:
    """64 rows of which the last one does not fit: none of them lands, and nothing else moves."""
    attempts = some_attempts(64)
    attempts[-1] = attempts[-1].with_values(stone_uses=2**70)
    with a_book_with_setter(tmp_path) as book:
        log(book, 1)
        before = (book.ask(revisions_by), book.ask(defaults.digest, ME))
        with pytest.raises(LogbookError, match="too large") as caught:
            book.tell(add_attempts, attempts, signed(book, "import"))
        assert caught.value.cause == "value"
        assert (book.ask(revisions_by), book.ask(defaults.digest, ME)) == before


def test_half_a_character_is_refused_in_words(tmp_path: Path) -> None:
    """A lone surrogate, as a damaged file name or paste brings it, has no bytes in UTF-8."""
    with a_book_with_setter(tmp_path) as book:
        attempt = some_attempts(1)[0].with_values(note="burr \ud800")
        with pytest.raises(LogbookError, match="half of a character pair") as caught:
            book.tell(add_attempts, [attempt], signed(book, "record"))
        assert caught.value.cause == "value"
        assert book.ask(count_attempts) == 0


@pytest.mark.parametrize(
    ("name", "cause"),
    [
        # Names of result codes as listed at sqlite.org/rescode.html.
        ("SQLITE_BUSY", "busy"),
        ("SQLITE_BUSY_SNAPSHOT", "busy"),
        ("SQLITE_FULL", "full"),
        ("SQLITE_IOERR_WRITE", "disk"),
        ("SQLITE_READONLY_DBMOVED", "read-only"),
        ("SQLITE_CORRUPT_INDEX", "damaged"),
        ("SQLITE_NOTADB", "not a logbook"),
        ("SQLITE_CANTOPEN", "place"),
        ("SQLITE_MISUSE", "sqlite"),
        (None, "sqlite"),
    ],
)
def test_every_error_of_sqlite_has_a_sentence(name: str | None, cause: str) -> None:
    """It names the file and says that what was saved stands."""
    error = sqlite3.OperationalError("as SQLite says it")
    if name is not None:
        error.sqlite_errorname = name
    found = from_sqlite(error, Path("/plates/book.sqlite"))
    assert found.cause == cause
    assert str(found).startswith("The logbook /plates/book.sqlite ")
    assert str(found).endswith("Nothing was changed; all that was saved before still stands.")


def test_every_cause_is_explained_to_the_reader() -> None:
    """The page on the logbook names each of them."""
    page = Path(__file__).parents[2].joinpath("docs", "logbook.md").read_text(encoding="utf-8")
    assert [cause for cause in get_args(Cause) if f"`{cause}`" not in page] == []


def test_a_failed_change_leaves_no_transaction_open(tmp_path: Path) -> None:
    """The next change stands on its own, and another connection sees it at once."""
    with a_book_with_setter(tmp_path) as book, book.beside() as other:
        with pytest.raises(LogbookError):
            book.tell(
                add_attempts,
                some_attempts(1, setter_id="nobody"),
                signed(book, "record"),
            )
        log(book, 1)
        assert other.ask(count_attempts) == 1


def test_the_folder_disappears_while_the_logbook_is_open(tmp_path: Path) -> None:
    """A stick that was pulled out is said, not crashed over."""
    folder = tmp_path / "stick"
    book: Logbook = a_book_with_setter(folder)
    with book:
        for path in folder.iterdir():
            os.unlink(path)  # noqa: PTH108 - the name is the point
        folder.rmdir()
        with pytest.raises(LogbookError):
            book.beside()
