"""What the system raises, as a sentence that says what to do."""

import re
import sqlite3
from pathlib import Path

import pytest
from tests.logbook.books import ME, a_book_with_setter, log

from platebook.logbook import LogbookError, open_logbook
from platebook.logbook.attempts.attempt_queries import attempts_by_id, plain_rows, select_attempts
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.logbook.errors import Cause, from_sqlite, logbook_errors
from platebook.logbook.file.place import new_file
from platebook.logbook.history.revisions import revisions_of


def test_a_stick_that_was_pulled_out_is_said_and_not_crashed_over(tmp_path: Path) -> None:
    """What the operating system says of the file stands in the sentence."""
    target = tmp_path / "new.sqlite"
    with pytest.raises(LogbookError, match="No such file") as caught:  # noqa: SIM117 - in its order
        with logbook_errors(target), new_file(target) as draft:
            draft.unlink()
    assert caught.value.cause == "disk"


@pytest.mark.parametrize(
    ("name", "cause", "says"),
    [
        ("SQLITE_BUSY_SNAPSHOT", "busy", "in use by another program"),
        ("SQLITE_FULL", "full", "Make room"),
        ("SQLITE_IOERR_WRITE", "disk", "Check the disk"),
        ("SQLITE_CORRUPT", "damaged", "restore the latest backup"),
        ("SQLITE_NOTADB", "not a logbook", "Name another file"),
        ("SQLITE_ERROR", "sqlite", "did not do it: it broke (SQLITE_ERROR)"),
    ],
)
def test_each_error_of_sqlite_has_a_cause_and_says_what_to_do(
    name: str, cause: Cause, says: str
) -> None:
    """By the start of the name that SQLite gives it; the file is named, and nothing was changed."""
    error = sqlite3.OperationalError("it broke")
    error.sqlite_errorname = name
    refused = from_sqlite(error, Path("book.sqlite"))
    assert refused.cause == cause
    assert str(refused).startswith("The logbook book.sqlite ")
    assert says in str(refused)
    assert str(refused).endswith("Nothing was changed; all that was saved before still stands.")


def test_a_text_that_is_no_text_is_damage_and_is_not_repeated(tmp_path: Path) -> None:
    """Python's own word for it has no name of SQLite's."""
    db = sqlite3.connect(tmp_path / "book.sqlite")
    with pytest.raises(LogbookError) as caught, logbook_errors(tmp_path / "book.sqlite"):
        db.execute("SELECT CAST(x'1bff' AS TEXT) AS note").fetchone()
    db.close()
    assert (caught.value.cause, "decode" in str(caught.value)) == ("damaged", False)


@pytest.mark.parametrize(
    ("edit", "says"),
    [
        ("UPDATE attempt SET result = '5'", "result reads '5', which this program did not save."),
        ("UPDATE attempt SET began_offset_min = 1e9", "began reads "),
        ("UPDATE revision SET parents = '['", "what a revision follows reads '['"),
    ],
)
def test_a_cell_that_holds_no_value_of_its_column_is_told_as_damage(
    edit: str, says: str, tmp_path: Path
) -> None:
    """The column and what it reads stand in the sentence, and what to do."""
    with a_book_with_setter(tmp_path) as book:
        (attempt_id,) = log(book, 1)
    with sqlite3.connect(tmp_path / "book.sqlite") as connection:
        connection.execute(edit)
    connection.close()
    with (
        open_logbook(tmp_path / "book.sqlite") as book,
        pytest.raises(LogbookError, match="is damaged") as caught,
    ):
        (*book.ask(attempts_by_id, [attempt_id]), book.ask(revisions_of, "attempt", [attempt_id]))
    assert caught.value.cause == "damaged"
    assert says in str(caught.value)
    assert str(caught.value).endswith("Keep it as it is, and restore the latest backup.")


def test_an_attempt_that_is_another_setters_by_an_index_is_damage(tmp_path: Path) -> None:
    """One bit of an id in an index, from which SQLite reads whose the attempt is."""
    path = tmp_path / "book.sqlite"
    with a_book_with_setter(tmp_path) as book:
        first, *_ = log(book, 6)
    whole = path.read_bytes()
    (place,) = re.finditer(f"{ME}[^-]{{4,9}}{first}".encode(), whole, re.DOTALL)
    path.write_bytes(whole[: place.start() + 35] + b"3" + whole[place.start() + 36 :])
    with open_logbook(path) as book:
        with pytest.raises(LogbookError, match="damaged: whose an attempt is reads"):
            book.ask(select_attempts, Wanted(setter_id=ME))
        with pytest.raises(LogbookError, match="damaged: whose an attempt is reads"):
            book.ask(plain_rows, ME)
