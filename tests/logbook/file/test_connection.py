"""A connection is set to be safe, whatever the file is called."""

import subprocess
import sys
from pathlib import Path

import pytest
from tests.logbook.books import a_book

from platebook.logbook.file.migrating import shipped_steps


@pytest.mark.parametrize(
    ("pragma", "expected"),
    [
        ("journal_mode", "wal"),
        ("synchronous", 2),
        ("fullfsync", 1),
        ("checkpoint_fullfsync", 1),
        ("foreign_keys", 1),
        ("trusted_schema", 0),
        ("application_id", int.from_bytes(b"plat", "big")),
        ("user_version", len(shipped_steps())),
    ],
)
def test_a_connection_is_set_to_be_safe(pragma: str, expected: object, tmp_path: Path) -> None:
    """Documented at sqlite.org/pragma.html: synchronous 2 is FULL."""
    with a_book(tmp_path) as book:
        assert book._db.execute(f"PRAGMA {pragma}").fetchone() == (expected,)


@pytest.mark.parametrize("name", ["a b.sqlite", "50%.sqlite", "what?.sqlite", "Öl#1.sqlite"])
def test_a_name_may_hold_any_character(name: str, tmp_path: Path) -> None:
    """SQLite takes the name as a URI; none of its signs may get through."""
    a_book(tmp_path, name).close()
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_opening_a_logbook_loads_no_numpy_and_no_pandas(tmp_path: Path) -> None:
    """sqlite-utils loads both where they are installed; a logbook needs neither."""
    program = (
        "import sys\n"
        "from platebook.logbook import open_logbook\n"
        "open_logbook(sys.argv[1]).close()\n"
        "print(sorted({'numpy', 'pandas', 'scipy', 'textual'} & set(sys.modules)))\n"
        "import numpy, pandas\n"
        "print(numpy.arange(3).sum(), pandas.Series([1, 2]).sum())\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, str(tmp_path / "book.sqlite")],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.stdout, done.stderr) == ("[]\n3 3\n", "")


def test_reading_a_logbook_loads_nothing_that_makes_tables(tmp_path: Path) -> None:
    """It would take longer than the question."""
    a_book(tmp_path).close()
    program = (
        "import sys\n"
        "from platebook.logbook import open_logbook, setter_records\n"
        "with open_logbook(sys.argv[1]) as book:\n"
        "    print(book.ask(setter_records.setters))\n"
        "print(sorted({'sqlite_utils', 'dateutil', 'pluggy'} & set(sys.modules)))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, *map(str, tmp_path.glob("*.sqlite"))],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.stdout, done.stderr) == ("()\n[]\n", "")
