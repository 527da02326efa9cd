"""A bit that flips in the file is told by the check and never traces, wherever it lies."""

import random
import sqlite3
from pathlib import Path

import pytest
from tests.logbook.books import AUTHOR, ME, NOW, a_book, a_book_with_setter, log
from tests.logbook.books import with_a_second_person as with_another
from tests.logbook.handed_on import bundle_of
from tests.torture.flips import Book, a_filled_book, flip, told

from platebook.logbook import LogbookError, defaults
from platebook.logbook.erasures import erasing
from platebook.logbook.file import integrity
from platebook.practice.revision import NOBODY

FLIPS = 300


@pytest.mark.slow
def test_three_hundred_flipped_bits_are_told_and_none_traces(tmp_path: Path) -> None:
    """Each that changes what was saved is told; the places are drawn by a fixed seed."""
    book = Book(a_filled_book(tmp_path))
    rng = random.Random(20260203)  # noqa: S311 - places to flip, not secrets
    flips = [flip(book, tmp_path / str(number) / "book.sqlite", rng) for number in range(FLIPS)]
    assert [(one.place, one.bit) for one in flips if one.changed and not one.told] == []
    assert sum(one.changed for one in flips) > FLIPS // 10


@pytest.mark.parametrize(
    ("edit", "expected"),
    [
        (
            "UPDATE revision SET record = replace(record, '1980', '1981') WHERE record_id = '{id}'",
            "{id} (Ottoline Marsh) does not read as it was saved on 3 February 2026 at 18:30",
        ),
        (
            "UPDATE revision SET hidden = 1 WHERE record_id = '{id}'",
            "{id} (Ottoline Marsh) does not read as it was saved on 3 February 2026 at 18:30",
        ),
        (
            "UPDATE change SET author = 'Ottoline Narsh' WHERE what = 'record'",
            "(record, by Ottoline Narsh) does not read as it was saved on 3 February 2026",
        ),
        (
            "UPDATE course_text SET text = replace(text, 'large', 'lasge')",
            "The text of the course small-to-large, version 3, does not read as it was saved.",
        ),
    ],
    ids=["a length", "hidden", "an author", "a course"],
)
def test_what_was_altered_is_named(edit: str, expected: str, tmp_path: Path) -> None:
    """Kind, id, when it was saved: enough to find it in a backup."""
    with a_book_with_setter(tmp_path) as book:
        ids = log(book, 3)
        book.tell(defaults.keep_course, "small-to-large", 3, "id = 'small-to-large'\n")
    connection = sqlite3.connect(tmp_path / "book.sqlite")
    with connection:
        connection.execute(edit.format(id=ids[1]))
    connection.close()
    assert any(expected.format(id=ids[1]) in each for each in told(tmp_path / "book.sqlite"))


@pytest.mark.parametrize(
    ("table", "edit", "expected"),
    [
        ("default_value", "value = 'x'", "What is kept under the name setter does not read"),
        ("tombstone", "kind = 'setteq'", " was erased does not read as it was saved."),
        ("replica", "replica = 'x'", "The id of this logbook does not read as it was saved."),
        ("course_text", "version = 4", "The name or version of the course text "),
    ],
)
def test_what_is_kept_beside_the_records_is_looked_at_too(
    table: str, edit: str, expected: str, tmp_path: Path
) -> None:
    """It stands twice, and a flip reaches one of the two."""
    path = a_filled_book(tmp_path)
    connection = sqlite3.connect(path)
    with connection:
        triggers = connection.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall()
        for name, _ in triggers:
            connection.execute(f"DROP TRIGGER {name}")
        connection.execute(f"UPDATE {table} SET {edit}")  # noqa: S608 - texts of the test
        for _, sql in triggers:
            connection.execute(sql)
    connection.close()
    assert any(expected in each for each in told(path))


def test_a_damaged_revision_is_not_handed_on(tmp_path: Path) -> None:
    """Nobody else gets what the disk made of it."""
    with a_book_with_setter(tmp_path) as book:
        damaged, _ = log(book, 2)
        with book._db.conn:
            book._db.execute("UPDATE revision SET record = '{' WHERE record_id = ?", [damaged])
        with pytest.raises(LogbookError, match="Nothing was handed on") as caught:
            book.ask(bundle_of)
    assert caught.value.cause == "damaged"


def test_a_name_taken_off_for_good_leaves_a_sound_logbook(tmp_path: Path) -> None:
    """An erasure rewrites who signed, and the checksums with it."""
    with a_book_with_setter(tmp_path) as book:
        with_another(book)
        book.tell(erasing.erase, book.path, ME, NOW)
        changes = book.ask(bundle_of).authors
        assert AUTHOR not in changes
        assert NOBODY in changes
        assert book.ask(integrity.problems_in) == ()


def test_an_older_logbook_gets_its_checksums_at_the_step(tmp_path: Path) -> None:
    """Each change and revision has one from then on."""
    text = (Path(__file__).parents[1] / "versions" / "0008.sql").read_text(encoding="utf-8")
    connection = sqlite3.connect(tmp_path / "book.sqlite")
    connection.executescript(text)
    connection.close()
    a_book(tmp_path).close()
    connection = sqlite3.connect(tmp_path / "book.sqlite")
    for table in ("change", "revision"):
        query = f"SELECT count(*), count(checksum) FROM {table}"  # noqa: S608 - one of two
        rows, sums = connection.execute(query).fetchone()
        assert (rows > 0, sums) == (True, rows)
    connection.close()
