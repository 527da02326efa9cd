"""Files named as people type them, copies proven readable, putting one back, a whole logbook."""

import os
import sqlite3
from pathlib import Path

import pytest
from tests.services.bench import a_row, a_row_a_minute, ada_at, logged, new_session

from platebook.services.attempts.log import attempts_of
from platebook.services.files import backup, check, read_whole, restore, typed_path, way_back
from platebook.services.session import LogbookUnusable, Refused


def test_a_backup_brings_everything_back(tmp_path: Path) -> None:
    """What was there at the time of the backup, and the newer logbook is kept beside it."""
    session = ada_at(tmp_path)
    logged(session, *a_row_a_minute(3))
    before = attempts_of(session)
    backup(session, tmp_path / "copy.sqlite")
    logged(session, a_row(note="later"))
    kept = restore(session, tmp_path / "copy.sqlite").kept
    assert attempts_of(session) == before
    assert kept is not None
    assert kept.exists()
    assert check(session) == ()


def test_a_backup_is_put_where_nothing_was(tmp_path: Path) -> None:
    """On another machine there is no old file to keep."""
    session = ada_at(tmp_path / "here")
    logged(session, *a_row_a_minute(2))
    backup(session, tmp_path / "copy.sqlite")
    other = new_session(tmp_path / "there")
    other.path.parent.mkdir()
    assert restore(other, tmp_path / "copy.sqlite").kept is None
    assert attempts_of(other, everyone=True) == attempts_of(session)


def test_a_backup_never_overwrites(tmp_path: Path) -> None:
    """The file in the way is left as it was, and the sentence says so."""
    session = ada_at(tmp_path)
    taken = tmp_path / "taken.sqlite"
    taken.write_text("mine", encoding="utf-8")
    with pytest.raises(LogbookUnusable) as fault:
        backup(session, taken)
    assert (fault.value.cause, taken.read_text(encoding="utf-8")) == ("exists", "mine")


def test_what_is_no_backup_is_not_put_back(tmp_path: Path) -> None:
    """The logbook stands as before."""
    session = ada_at(tmp_path)
    logged(session, a_row())
    wrong = tmp_path / "wrong.sqlite"
    wrong.write_text("no logbook, only words " * 50, encoding="utf-8")
    with pytest.raises(LogbookUnusable) as fault:
        restore(session, wrong)
    assert fault.value.cause == "not a logbook"
    for file in (tmp_path / "none.sqlite", tmp_path):
        with pytest.raises(Refused, match="Nothing was changed"):
            restore(session, file)
    assert len(attempts_of(session)) == 1


def test_a_check_tells_what_was_changed_behind_its_back(tmp_path: Path) -> None:
    """A sentence for the attempt that is not what its past says; none for a whole logbook."""
    session = ada_at(tmp_path)
    (one,) = logged(session, a_row())
    assert check(session) == ()
    db = sqlite3.connect(session.path)
    with db:
        db.execute("UPDATE attempt SET note = 'not mine' WHERE attempt_id = ?", [one])
    db.close()
    named = f"The attempt {one} (Ada Quill, saved last on 3 February 2026 at 18:30)"
    assert check(session) == (f"{named} is not what its revisions make it.",)
    assert "platebook restore lists its copies" in (way_back(session, check(session)) or "")


def test_a_logbook_that_is_not_there_is_not_made(tmp_path: Path) -> None:
    """Neither to copy it nor to look at it."""
    session = new_session(tmp_path)
    for ask in (check, lambda d: backup(d, tmp_path / "copy.sqlite")):
        with pytest.raises(LogbookUnusable) as fault:
            ask(session)
        assert fault.value.cause == "missing"
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="a system without pipes in folders")
def test_a_pipe_in_a_folder_is_not_waited_for(tmp_path: Path) -> None:
    """Nobody may ever write into it; what a program hands over has names of its own."""
    pipe = tmp_path / "notes.toml"
    os.mkfifo(pipe)
    with pytest.raises(Refused, match="is not a plain file"):
        read_whole(pipe)
    # A folder of /dev may hold any file, as /dev/shm does: only some of its names hand over.
    with pytest.raises(Refused, match="plain file"):
        read_whole(Path("/dev/null"))


def test_a_file_that_cannot_be_read_is_named_shortly(tmp_path: Path) -> None:
    """A name too long for the file system is not repeated whole, and one with a NUL is refused."""
    with pytest.raises(Refused) as refusal:
        read_whole(tmp_path / ("x" * 300))
    assert len(refusal.value.sentence) < 300
    with pytest.raises(Refused, match="null"):
        read_whole(tmp_path / "a\0b")


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("/notes/book.csv\n", "/notes/book.csv"),
        ("'/notes/my book.csv'", "/notes/my book.csv"),
        ("/notes/my\\ book.csv", "/notes/my book.csv"),
        ("file:///notes/book.csv", "/notes/book.csv"),
    ],
)
def test_quotes_and_the_marks_of_a_dropped_file_are_understood(typed: str, meant: str) -> None:
    """As terminals paste what is dropped on them."""
    assert typed_path(typed) == Path(meant)


def test_a_home_folder_that_is_nobodys_is_refused_in_words() -> None:
    """As it is for a logbook."""
    with pytest.raises(Refused, match=r"~nobody_such/book\.csv: there is no such home folder"):
        typed_path("~nobody_such/book.csv")
