"""Opening: what is made, how it is set, and every file that is refused and left alone."""

import os
import sqlite3
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from tests.logbook.books import a_book_with_setter, log, signed
from tests.logbook.handed_on import revisions_by

from platebook.logbook import LogbookError, open_logbook, records
from platebook.logbook.attempts.attempt_queries import count_attempts
from platebook.logbook.errors import Cause
from platebook.logbook.file import integrity
from platebook.logbook.file.copying import copy_into
from platebook.logbook.file.place import companions
from platebook.logbook.history.revisions import replica_of
from platebook.logbook.records import add_setter

NOBODY = 65534


@contextmanager
def as_nobody() -> Iterator[None]:
    """Without the rights of root, where the tests run as root."""
    root = os.geteuid() == 0
    if root:
        os.seteuid(NOBODY)
    try:
        yield
    finally:
        if root:
            os.seteuid(0)


@contextmanager
def a_folder_that_cannot_be_written() -> Iterator[Path]:
    """A folder with a closed logbook of three attempts in it, that nobody may write to."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        with a_book_with_setter(folder) as book:
            log(book, 3)
        folder.chmod(0o555)
        (folder / "book.sqlite").chmod(0o444)
        try:
            yield folder
        finally:
            folder.chmod(0o755)


def refused(path: Path, *, create: bool = True, read_only: bool = False) -> tuple[Cause, str]:
    """Why a file is refused; fails where it is opened, or where the file is changed by it."""
    before = path.read_bytes() if path.is_file() else None
    with pytest.raises(LogbookError) as caught:
        open_logbook(path, create=create, read_only=read_only)
    after = path.read_bytes() if path.is_file() else None
    assert after == before
    return caught.value.cause, str(caught.value)


def test_a_logbook_is_made_for_its_owner_alone(tmp_path: Path) -> None:
    """File mode 0600 in a folder of mode 0700, and nothing left beside it once closed."""
    path = tmp_path / "new" / "book.sqlite"
    open_logbook(path).close()
    assert path.stat().st_mode & 0o777 == 0o600
    assert path.parent.stat().st_mode & 0o777 == 0o700
    assert os.listdir(path.parent) == ["book.sqlite"]  # noqa: PTH208 - hidden ones count


def test_the_files_beside_an_open_logbook_are_for_its_owner_alone(tmp_path: Path) -> None:
    """What is not in the file yet is as private as the file."""
    with a_book_with_setter(tmp_path):
        beside = [path for path in companions(tmp_path / "book.sqlite") if path.exists()]
        assert [path.stat().st_mode & 0o777 for path in beside] == [0o600, 0o600]


def test_no_logbook_is_made_where_none_is_wanted(tmp_path: Path) -> None:
    """Reading what is not there is said, and leaves nothing."""
    assert refused(tmp_path / "a" / "b.sqlite", create=False)[0] == "missing"
    assert refused(tmp_path / "a" / "b.sqlite", read_only=True)[0] == "missing"
    assert list(tmp_path.iterdir()) == []


def test_an_empty_file_is_damage_and_not_a_start(tmp_path: Path) -> None:
    """A file of 0 bytes once held a logbook; starting afresh would hide the loss."""
    path = tmp_path / "book.sqlite"
    path.touch()
    cause, words = refused(path)
    assert cause == "empty"
    assert "Restore a backup" in words


def test_a_file_of_another_program_is_refused(tmp_path: Path) -> None:
    """Another program's database is not touched, not even to switch its journal."""
    path = tmp_path / "other.sqlite"
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE attempt (attempt_id TEXT)")
    connection.commit()
    connection.close()
    assert refused(path)[0] == "foreign"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize(
    "content", [b"attempt_id;setter\n1;Ottoline\n" * 9, b"SQLite format 3\x00"]
)
def test_what_is_no_database_is_refused(content: bytes, tmp_path: Path) -> None:
    """Also one that has the first bytes of one and nothing after them."""
    path = tmp_path / "book.sqlite"
    path.write_bytes(content)
    assert refused(path)[0] == "not a logbook"


def test_a_folder_is_refused(tmp_path: Path) -> None:
    """It says that a file in it is wanted."""
    assert refused(tmp_path)[0] == "place"


def test_a_folder_that_cannot_be_made_is_refused(tmp_path: Path) -> None:
    """A file stands where the folder should."""
    (tmp_path / "a").touch()
    assert refused(tmp_path / "a" / "book.sqlite")[0] == "place"


@pytest.mark.parametrize("kept", [0.9, 0.5, 0.1])
def test_a_truncated_logbook_is_refused(kept: float, tmp_path: Path) -> None:
    """The end of the file is missing, and it is said at the start."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 500)
    path = tmp_path / "book.sqlite"
    path.write_bytes(path.read_bytes()[: int(path.stat().st_size * kept)])
    assert refused(path)[0] == "damaged"


def test_overwritten_pages_are_found_at_the_start(tmp_path: Path) -> None:
    """SQLite's quick check notices pages of zeros in the middle."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 500)
    path = tmp_path / "book.sqlite"
    with path.open("r+b") as file:
        file.seek(path.stat().st_size // 2 // 4096 * 4096)
        file.write(bytes(4 * 4096))
    assert refused(path)[0] == "damaged"


def test_pages_overwritten_after_a_look_are_found(tmp_path: Path) -> None:
    """A program that looked the file through before looks again, since it was written to."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 500)
    path = tmp_path / "book.sqlite"
    for _ in range(2):
        open_logbook(path).close()
    with path.open("r+b") as file:
        file.seek(path.stat().st_size // 2 // 4096 * 4096)
        file.write(bytes(4 * 4096))
    assert refused(path)[0] == "damaged"
    assert refused(path)[0] == "damaged", "and it is not taken for sound since"


def test_a_link_to_a_logbook_is_that_logbook(tmp_path: Path) -> None:
    """What lies beside the file lies beside the real one."""
    folder = tmp_path / "stick"
    with a_book_with_setter(folder) as book:
        log(book, 2)
    link = tmp_path / "link.sqlite"
    link.symlink_to(folder / "book.sqlite")
    with open_logbook(link) as book:
        log(book, 1)
        assert (book.ask(count_attempts), book.path) == (3, folder / "book.sqlite")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["link.sqlite", "stick"]


def test_two_programs_may_start_the_same_logbook_at_once(tmp_path: Path) -> None:
    """One of them makes it; all of them use that one."""
    path = tmp_path / "book.sqlite"
    gate = threading.Barrier(4)
    replicas: list[str] = []

    def start() -> None:
        gate.wait()
        with open_logbook(path) as book:
            replicas.append(book.ask(replica_of))

    threads = [threading.Thread(target=start) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (len(replicas), len(set(replicas))) == (4, 1)
    assert [file.name for file in tmp_path.iterdir()] == ["book.sqlite"]


def test_a_logbook_in_a_folder_that_cannot_be_written_is_read() -> None:
    """It says that it can only be read, and a change is refused in words."""
    with a_folder_that_cannot_be_written() as folder, as_nobody():
        with open_logbook(folder / "book.sqlite") as book:
            assert (book.read_only, book.ask(count_attempts)) == (True, 3)
            with book.beside() as other:
                assert (other.read_only, other.ask(count_attempts)) == (True, 3)
            with pytest.raises(LogbookError, match="can be read but not written") as caught:
                book.tell(add_setter, "Ansel Reed", signed(book, "add"))
        assert caught.value.cause == "read-only"


def test_a_logbook_that_was_read_while_it_could_not_be_written_can_be_written_again() -> None:
    """The files that reading left beside it are given its rights, so that it opens again."""
    with a_folder_that_cannot_be_written() as folder:
        path = folder / "book.sqlite"
        os.chown(folder, NOBODY, -1)
        os.chown(path, NOBODY, -1)
        with as_nobody():
            folder.chmod(0o755)
            path.chmod(0o400)
            with open_logbook(path) as book:
                assert (book.read_only, book.ask(count_attempts)) == (True, 3)
            path.chmod(0o600)
            with open_logbook(path) as book:
                assert not book.read_only
                book.tell(add_setter, "Ansel Reed", signed(book, "add"))


def test_changes_that_cannot_be_read_are_not_passed_over() -> None:
    """Where the last changes lie beside the file and cannot be taken in, it is refused."""
    with a_folder_that_cannot_be_written() as folder:
        folder.chmod(0o755)
        beside = companions(folder / "book.sqlite")[0]
        beside.write_bytes(b"changes not taken in yet")
        beside.chmod(0o000)
        folder.chmod(0o555)
        with as_nobody():
            cause, words = refused(folder / "book.sqlite")
    assert cause == "read-only"
    assert "Copy both" in words


def test_no_logbook_can_be_made_in_a_folder_that_cannot_be_written() -> None:
    """The sentence names the folder."""
    with a_folder_that_cannot_be_written() as folder, as_nobody():
        cause, words = refused(folder / "new.sqlite")
        assert cause == "place"
        assert str(folder) in words


def test_a_backup_is_the_whole_logbook_in_one_file(tmp_path: Path) -> None:
    """Taken while it is open and written to; it holds every version of every record."""
    with a_book_with_setter(tmp_path) as book:
        ids = log(book, 20)
        book.tell(records.hide, "attempt", [ids[0]], signed(book, "hide"))
        book.ask(copy_into, tmp_path / "kept" / "copy.sqlite")
        log(book, 1)
        expected = book.ask(revisions_by)[:-1]
    copy = tmp_path / "kept" / "copy.sqlite"
    assert list(copy.parent.iterdir()) == [copy]
    assert copy.stat().st_mode & 0o777 == 0o600
    with open_logbook(copy, read_only=True) as kept:
        assert kept.ask(revisions_by) == expected
        assert (kept.ask(count_attempts), kept.ask(integrity.problems_in)) == (19, ())


def test_a_backup_takes_no_name_that_is_taken(tmp_path: Path) -> None:
    """Neither a file of another kind nor an older backup is written over."""
    taken = tmp_path / "copy.sqlite"
    taken.write_bytes(b"something dear")
    with a_book_with_setter(tmp_path) as book:
        with pytest.raises(LogbookError, match="left as it is") as caught:
            book.ask(copy_into, taken)
        assert caught.value.cause == "exists"
    assert taken.read_bytes() == b"something dear"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["book.sqlite", "copy.sqlite"]
