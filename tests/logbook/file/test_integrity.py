"""A restore takes a sound backup only and loses nothing; the check names what was altered."""

import sqlite3
from pathlib import Path

import pytest
from tests.logbook.books import ME, a_book, a_book_with_setter, log, signed, some_attempts

from platebook.logbook import LogbookError, open_logbook, records, restore
from platebook.logbook.attempts.attempt_queries import count_attempts
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.logbook.file import integrity
from platebook.logbook.file.copying import copy_into
from platebook.logbook.file.migrating import Migration, shipped_steps
from platebook.logbook.file.place import companions
from platebook.logbook.history import undo_redo
from platebook.logbook.history.revisions import replica_of
from platebook.logbook.records import add_attempts

SAVED = "Ottoline Marsh, saved last on 3 February 2026 at 18:30"
LAMP = Migration(len(shipped_steps()) + 1, "lamp", "ALTER TABLE plate ADD COLUMN lamp TEXT;")


def test_a_restored_logbook_is_the_backup_and_the_old_one_is_kept(tmp_path: Path) -> None:
    """It goes on as a logbook of its own, and what was there before lies beside it."""
    path = tmp_path / "book.sqlite"
    with a_book_with_setter(tmp_path) as book:
        log(book, 5)
        replica = book.ask(replica_of)
        book.ask(copy_into, tmp_path / "copy.sqlite")
        log(book, 2)
    kept = restore(tmp_path / "copy.sqlite", path).kept
    assert kept == tmp_path / "book.replaced-1.sqlite"
    with open_logbook(path) as book, open_logbook(kept) as old:
        assert (book.ask(count_attempts), old.ask(count_attempts)) == (5, 7)
        assert (book.ask(integrity.problems_in), old.ask(integrity.problems_in)) == ((), ())
        assert old.ask(replica_of) == replica
        assert book.ask(replica_of) != replica
        assert (
            book.tell(undo_redo.undo, signed(book, "undo")).words
            == "There is nothing to take back."
        )
        assert path.stat().st_mode & 0o777 == 0o600
    left = {file.name for file in tmp_path.iterdir()}
    assert left == {"book.sqlite", "book.replaced-1.sqlite", "copy.sqlite"}


def test_a_logbook_is_restored_where_there_is_none(tmp_path: Path) -> None:
    """As on a new machine."""
    with a_book_with_setter(tmp_path, "copy.sqlite") as book:
        log(book, 3)
    path = tmp_path / "new" / "book.sqlite"
    assert restore(tmp_path / "copy.sqlite", path).kept is None
    with open_logbook(path) as book:
        assert book.ask(count_attempts, Wanted(setter_id=ME)) == 3


@pytest.mark.parametrize("damage", ["empty", "truncated", "text"])
def test_a_damaged_logbook_is_replaced_and_kept(damage: str, tmp_path: Path) -> None:
    """What a restore is for; the damaged file and what lay beside it may yet be rescued."""
    path = tmp_path / "book.sqlite"
    with a_book_with_setter(tmp_path) as book:
        log(book, 300)
        book.ask(copy_into, tmp_path / "copy.sqlite")
    whole = path.read_bytes()
    broken = {"empty": b"", "truncated": whole[: len(whole) // 2], "text": b"lost " * 99}[damage]
    path.write_bytes(broken)
    beside = companions(path)[0]
    beside.write_bytes(b"what was not taken in yet")
    kept = restore(tmp_path / "copy.sqlite", path).kept
    assert kept is not None
    assert kept.read_bytes() == broken
    assert companions(kept)[0].read_bytes() == b"what was not taken in yet"
    with open_logbook(path) as book:
        assert (book.ask(count_attempts), book.ask(integrity.problems_in)) == (300, ())


def test_a_logbook_that_is_open_is_not_replaced(tmp_path: Path) -> None:
    """Another program would go on writing to a file that nobody reads any more."""
    with a_book_with_setter(tmp_path) as book:
        book.ask(copy_into, tmp_path / "copy.sqlite")
        log(book, 1)
        with pytest.raises(LogbookError, match="in use") as caught:
            restore(tmp_path / "copy.sqlite", tmp_path / "book.sqlite")
        assert caught.value.cause == "busy"
        log(book, 1)
        assert (book.ask(count_attempts), book.ask(integrity.problems_in)) == (2, ())
    names = sorted(path.name for path in tmp_path.iterdir())
    assert names == ["book.sqlite", "copy.sqlite"]


def test_only_a_sound_backup_is_restored(tmp_path: Path) -> None:
    """A file that is missing, foreign, torn or the logbook itself changes nothing."""
    path = tmp_path / "book.sqlite"
    with a_book_with_setter(tmp_path) as book:
        log(book, 300)
        book.ask(copy_into, tmp_path / "torn.sqlite")
        book.ask(copy_into, tmp_path / "edited.sqlite")
    torn = tmp_path / "torn.sqlite"
    torn.write_bytes(torn.read_bytes()[:-8192])
    edited = sqlite3.connect(tmp_path / "edited.sqlite")
    edited.execute("UPDATE attempt SET note = 'never said' WHERE note IS NULL")
    edited.commit()
    edited.close()
    foreign = sqlite3.connect(tmp_path / "foreign.sqlite")
    foreign.execute("CREATE TABLE stock (n)")
    foreign.commit()
    foreign.close()
    later = tmp_path / "later.sqlite"
    with open_logbook(later, steps=(*shipped_steps(), LAMP)) as book:
        book.ask(copy_into, tmp_path / "newer.sqlite")
    before = {file: file.read_bytes() for file in tmp_path.iterdir()}
    for name, cause in (
        ("missing.sqlite", "missing"),
        ("foreign.sqlite", "foreign"),
        ("torn.sqlite", "damaged"),
        ("edited.sqlite", "damaged"),
        ("newer.sqlite", "newer"),
        ("book.sqlite", "refused"),
    ):
        with pytest.raises(LogbookError) as caught:
            restore(tmp_path / name, path)
        assert caught.value.cause == cause, name
        assert {file: file.read_bytes() for file in tmp_path.iterdir()} == before, name


def test_another_programs_file_is_not_replaced(tmp_path: Path) -> None:
    """A mistyped name does not push another program's file aside."""
    a_book(tmp_path, "copy.sqlite").close()
    foreign = sqlite3.connect(tmp_path / "stock.sqlite")
    foreign.execute("CREATE TABLE stock (n)")
    foreign.commit()
    foreign.close()
    with pytest.raises(LogbookError) as caught:
        restore(tmp_path / "copy.sqlite", tmp_path / "stock.sqlite")
    assert caught.value.cause == "foreign"


def test_a_whole_logbook_has_nothing_to_say(tmp_path: Path) -> None:
    """Every kind of change leaves it whole."""
    with a_book_with_setter(tmp_path) as book:
        ids = log(book, 10)
        book.tell(records.hide, "attempt", [ids[3]], signed(book, "hide"))
        book.tell(undo_redo.undo, signed(book, "undo"))
        assert book.ask(integrity.problems_in) == ()


@pytest.mark.parametrize(
    ("edit", "expected"),
    [
        (
            "UPDATE attempt SET stone_diameter_um = 1983 WHERE attempt_id = '{id}'",
            f"The attempt {{id}} ({SAVED}) is not what its revisions make it.",
        ),
        (
            "DELETE FROM attempt WHERE attempt_id = '{id}'",
            f"The attempt {{id}} ({SAVED}) is not what its revisions make it.",
        ),
        (
            "INSERT INTO setter (setter_id, name, revision_id, hidden, clash) VALUES (1,2,3,0,0)",
            "1 of 2 setters has no revision.",
        ),
        (
            "UPDATE tally SET attempts = 7",
            "Setter {me} (Ottoline Marsh) is counted with 7 attempts and has 3.",
        ),
        (
            "DELETE FROM change WHERE counter = 1",
            "Row 1 of revision refers to a change that is not there.",
        ),
    ],
    ids=["edited", "deleted", "added", "counted", "unrooted"],
)
def test_what_was_changed_behind_its_back_is_found(
    edit: str, expected: str, tmp_path: Path
) -> None:
    """Another tool that edits the file leaves a trace, and the check names it."""
    with a_book_with_setter(tmp_path) as book:
        ids = log(book, 3)
    connection = sqlite3.connect(tmp_path / "book.sqlite")
    connection.execute(edit.format(id=ids[1], me=ME))
    connection.commit()
    connection.close()
    with a_book(tmp_path) as book:
        assert expected.format(id=ids[1], me=ME) in book.ask(integrity.problems_in)


def test_a_damaged_page_is_found_by_the_check(tmp_path: Path) -> None:
    """The check looks through files of any size, and says so instead of failing."""
    path = tmp_path / "book.sqlite"
    with a_book_with_setter(tmp_path) as book:
        log(book, 300)
    with a_book(tmp_path) as book:
        with path.open("r+b") as file:
            file.seek(path.stat().st_size // 2 // 4096 * 4096)
            file.write(bytes(4 * 4096))
        found = book.ask(integrity.problems_in)
    assert found
    assert all("damaged" in sentence for sentence in found)


def test_a_backup_of_an_older_program_is_brought_up_to_date(tmp_path: Path) -> None:
    """The frozen file of the first schema is restored as a logbook of today."""
    text = (Path(__file__).parents[1] / "versions" / "0001.sql").read_text(encoding="utf-8")
    old = sqlite3.connect(tmp_path / "old.sqlite")
    old.executescript(text)
    old.close()
    restore(tmp_path / "old.sqlite", tmp_path / "book.sqlite")
    with open_logbook(tmp_path / "book.sqlite") as book:
        assert (
            book.ask(count_attempts, Wanted(setter_id=ME)),
            book.ask(integrity.problems_in),
        ) == (
            3,
            (),
        )
        book.tell(add_attempts, some_attempts(1), signed(book, "record"))


def test_a_changed_description_of_a_table_is_told_and_not_traced(tmp_path: Path) -> None:
    """One letter of a column's name, as a flipped bit leaves it; a backup goes in its place."""
    path = tmp_path / "book.sqlite"
    with a_book_with_setter(tmp_path) as book:
        log(book, 2)
        book.ask(copy_into, tmp_path / "copy.sqlite")
    db = sqlite3.connect(path)
    with db:
        db.execute("PRAGMA writable_schema = ON")
        db.execute("UPDATE sqlite_master SET sql = replace(sql, 'lubricant', 'lubricanu')")
    db.close()
    with open_logbook(path) as book:
        (told,) = book.ask(integrity.problems_in)
    assert told == "The table attempt lacks or misnames what this program keeps in it: lubricant."
    restore(tmp_path / "copy.sqlite", path)
    with open_logbook(path) as book:
        assert book.ask(integrity.problems_in) == ()


@pytest.mark.parametrize("record", ["{not json", '{"setter_id": 5}', "[]"])
def test_a_revision_that_cannot_be_read_is_named_by_its_record(record: str, tmp_path: Path) -> None:
    """The others of its kind are looked through all the same."""
    with a_book_with_setter(tmp_path) as book:
        damaged, altered = log(book, 2)
        with book._db.conn:
            book._db.execute(
                "UPDATE revision SET record = ? WHERE record_id = ?", [record, damaged]
            )
            book._db.execute("UPDATE attempt SET note = 'not mine' WHERE attempt_id = ?", [altered])
        told = book.ask(integrity.problems_in)
    assert len(told) == 3
    named = f"The attempt {damaged} (Ottoline Marsh) does not read as it was saved on 3 February"
    assert named in told[2]
    assert told[1].startswith(f"The attempt {altered} (Ottoline Marsh")
