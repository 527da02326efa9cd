"""Single bits that flip in a logbook's file: told where they change what was saved, no trace."""

import random
import shutil
import sqlite3
import time
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from click.testing import CliRunner
from tests.logbook.books import AUTHOR, ME, NOW, a_book_with_setter, log
from tests.logbook.books import with_a_second_person as with_another
from tests.torture.outcome import Outcome

from platebook.cli.main import main
from platebook.logbook import LogbookError, defaults, open_logbook
from platebook.logbook.erasures import erasing
from platebook.logbook.file import integrity
from platebook.logbook.records import add_tools
from platebook.trade.records import Tool

UNSAVED = {"tally", "_sqlite_migrations"}
"""Tables whose bytes hold nothing that was saved but for what the check looks at: the mark by which
answers are kept (a flipped one has them worked out anew) and when a schema's step was taken."""


def a_filled_book(folder: Path) -> Path:
    """Two people's work, one of them erased, a default, a course's text and forty attempts.

    Some of it is signed.
    """
    with a_book_with_setter(folder) as book:
        gone = with_another(book)
        book.tell(defaults.set_default, "setter", ME)
        book.tell(defaults.keep_course, "small-to-large", 3, "id = 'small-to-large'\n" * 20)
        book.tell(erasing.erase, book.path, gone, NOW)
        log(book, 40)
        burs = [Tool(kind="bur", name=f"bur {number}") for number in range(10)]
        book.tell(add_tools, ME, burs, book.stamp(AUTHOR, NOW, "add", signed_by=ME))
    return folder / "book.sqlite"


def saved(path: Path) -> dict[str, list[str]] | None:
    """All rows that say what was saved, and how the file describes them; None for no logbook."""
    connection = sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)
    connection.text_factory = lambda data: data.decode("utf-8", "backslashreplace")
    try:
        named = "SELECT name, type, sql FROM sqlite_master WHERE type <> 'view' ORDER BY name"
        described = connection.execute(named).fetchall()
        tables = [name for name, kind, _ in described if kind == "table" and name not in UNSAVED]
        rows = {
            table: [repr(row) for row in connection.execute(f'SELECT * FROM "{table}"')]  # noqa: S608 - read from the file
            for table in tables
        }
    except (sqlite3.Error, UnicodeDecodeError):
        return None
    finally:
        connection.close()
    return {**rows, "described": [repr(each) for each in described]}


def told(path: Path) -> tuple[str, ...]:
    """What opening the file and looking it through says."""
    try:
        with open_logbook(path) as book:
            return book.ask(integrity.problems_in)
    except LogbookError as error:
        return (str(error),)


@dataclass(frozen=True)
class Book:
    """A whole logbook: its bytes, and what is saved in it."""

    path: Path

    @cached_property
    def whole(self) -> bytes:
        """Its bytes."""
        return self.path.read_bytes()

    @cached_property
    def saved(self) -> dict[str, list[str]] | None:
        """What is saved in it."""
        return saved(self.path)


@dataclass(frozen=True)
class Flip:
    """One bit that was turned: where, whether that changed what was saved, and what is told."""

    place: int
    bit: int
    changed: bool
    told: tuple[str, ...]


def flip(book: Book, path: Path, rng: random.Random) -> Flip:
    """A copy of the book at `path` with one bit turned, opened and looked through."""
    place, bit = rng.randrange(len(book.whole)), rng.randrange(8)
    path.parent.mkdir()
    data = bytearray(book.whole)
    data[place] ^= 1 << bit
    path.write_bytes(data)
    changed = saved(path) != book.saved
    return Flip(place, bit, changed, told(path))


COMMANDS = (("log",), ("next",), ("where",), ("record", "--result", "good"), ("undo",), ("check",))


def torture(folder: Path, seconds: float, seed: int) -> Outcome:
    """Flips for so long; with each of them commands that read and write."""
    outcome = Outcome("flipped bits")
    rng = random.Random(seed)  # noqa: S311 - no secret, a test's seed
    folder.mkdir(parents=True)
    book = Book(a_filled_book(folder))
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        path = folder / "flipped" / "book.sqlite"
        done = flip(book, path, rng)
        outcome.count("flipped")
        where = f"bit {done.bit} of byte {done.place}"
        if done.changed:
            outcome.count("that changed what was saved")
            if not done.told:
                outcome.found.append(f"{where}: changed and not told")
        for words in COMMANDS:
            answer = CliRunner().invoke(main, ["--logbook", str(path), *words])
            if answer.exception is not None and not isinstance(answer.exception, SystemExit):
                outcome.found.append(f"{where}: {' '.join(words)}: {answer.exception!r}")
        shutil.rmtree(path.parent)
    return outcome
