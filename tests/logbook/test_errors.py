"""What the system raises, as a sentence that says what to do."""

import sqlite3
from pathlib import Path

import pytest

from platebook.logbook import LogbookError
from platebook.logbook.errors import Cause, from_sqlite, told
from platebook.logbook.file.place import new_file


def test_a_stick_that_was_pulled_out_is_said_and_not_crashed_over(tmp_path: Path) -> None:
    """What the operating system says of the file stands in the sentence."""
    target = tmp_path / "new.sqlite"
    with pytest.raises(LogbookError, match="No such file") as caught:  # noqa: SIM117 - in its order
        with told(target), new_file(target) as draft:
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
