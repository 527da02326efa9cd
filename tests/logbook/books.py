"""Logbooks that tests start from: empty, with a setter, with a few attempts."""

import contextlib
import functools
import sqlite3
import tempfile
import uuid
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from platebook.logbook import (
    Logbook,
    open_logbook,
    records,
)
from platebook.logbook.bundles.importing import TakenIn, Terms, United, take_in
from platebook.logbook.history.changes import Stamp
from platebook.logbook.records import (
    add_attempts,
    add_inspections,
    add_plate,
    add_setter,
    add_tools,
)
from platebook.practice.attempt import Attempt
from platebook.practice.records import Inspection, Plate, Setter
from platebook.practice.revision import Bundle, Revision
from platebook.trade.records import Tool

NOW = datetime(2026, 2, 3, 18, 30, tzinfo=UTC)


AUTHOR = "Ottoline Marsh"


ME = "019c2000-0000-7000-8000-000000000001"


def a_book(folder: Path, name: str = "book.sqlite") -> Logbook:
    """A logbook in this folder, made where it is not there."""
    return open_logbook(laid_empty(folder / name))


def laid_empty(path: Path) -> Path:
    """An empty logbook with an id of its own at `path`, where nothing is there yet.

    A new one is made step by step through all schemas, which takes ten times as long; what does
    that is tested in `file/`.
    """
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.touch(mode=0o600)
        path.write_bytes(_empty_logbook())
        with contextlib.closing(sqlite3.connect(path)) as db, db:
            db.execute("UPDATE replica SET replica = ?", [str(uuid.uuid4())])
    return path


@functools.cache
def _empty_logbook() -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "empty.sqlite"
        open_logbook(path).close()
        return path.read_bytes()


def a_book_with_setter(folder: Path, name: str = "book.sqlite") -> Logbook:
    """A logbook with one setter, whose id is `ME`."""
    book = a_book(folder, name)
    book.tell(add_setter, Setter(setter_id=ME, name=AUTHOR), signed(book, "add"))
    return book


def signed(book: Logbook, what: str) -> Stamp:
    """What `AUTHOR` signs at `NOW`."""
    return book.stamp(AUTHOR, NOW, what)


def receive(
    book: Logbook,
    bundle: Bundle,
    *,
    only: str | None = None,
    spared: str | None = None,
    rehearsal: bool = False,
) -> TakenIn:
    """Take in another logbook's bundle at `NOW`."""
    terms = Terms(digest=book.new_id(NOW), only=only, spared=spared, rehearsal=rehearsal)
    return book.tell(take_in, book.path, bundle, terms)


def receive_revisions(book: Logbook, revisions: Iterable[Revision]) -> United:
    """Take in revisions from elsewhere, however they came."""
    return receive(book, Bundle(replica="elsewhere", revisions=tuple(revisions))).united


def some_attempts(count: int, *, setter_id: str = ME) -> list[Attempt]:
    """Attempts a minute apart; every third is loose, and two grades take turns."""
    return [
        Attempt(
            setter_id=setter_id,
            began=NOW + timedelta(minutes=number),
            grade=("copper-1.5", "copper-2.0")[number % 2],
            stone_diameter_mm=1.98,
            result=("loose",) if number % 3 == 0 else ("good",),
        )
        for number in range(count)
    ]


def log(book: Logbook, count: int, *, what: str = "record") -> tuple[str, ...]:
    """Add `some_attempts`; gives their ids."""
    return book.tell(add_attempts, some_attempts(count), signed(book, what))


def write_many(path: Path, setter_id: str, times: int) -> None:
    """Add two attempts again and again, as a program of its own."""
    with open_logbook(path, wait_s=30) as book:
        for _ in range(times):
            book.tell(
                add_attempts,
                some_attempts(2, setter_id=setter_id),
                book.stamp(setter_id, NOW, "record"),
            )


GONE = "Zephyrine Quill"


NOTE = "steadied on the window sill"


def with_a_second_person(book: Logbook) -> str:
    """A person with attempts, a tool, a plate and an inspection; gives their id."""
    person = book.tell(add_setter, GONE, book.stamp(GONE, NOW, "add"))
    assert person.setter_id is not None
    book.tell(
        add_tools, person.setter_id, [Tool(kind="bur", name=NOTE)], book.stamp(GONE, NOW, "add")
    )
    plate = Plate(setter_id=person.setter_id, name=NOTE)
    book.tell(add_plate, plate, book.stamp(GONE, NOW, "add"))
    attempts = [a.with_values(note=NOTE) for a in some_attempts(5, setter_id=person.setter_id)]
    ids = book.tell(add_attempts, attempts, book.stamp(GONE, NOW, "record"))
    look = Inspection(attempt_id=ids[0], inspector=AUTHOR, result=("gap",), comment=NOTE)
    book.tell(add_inspections, [look], signed(book, "inspect"))
    book.tell(records.hide, "attempt", [ids[1]], book.stamp(GONE, NOW, "hide"))
    return person.setter_id
