"""What stands is what the revisions make it, though a change writes both from its own values."""

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.logbook.any_attempt import any_attempts, full_attempt
from tests.logbook.books import ME, NOW, a_book_with_setter, signed

from platebook.logbook import Logbook, records, setter_records
from platebook.logbook.file import integrity
from platebook.logbook.file.connection import Database, connect
from platebook.logbook.history import undo_redo
from platebook.logbook.history.changes import standing_row
from platebook.logbook.history.revisions import revisions_of
from platebook.logbook.record_kinds import kinds
from platebook.practice.attempt import Attempt
from platebook.practice.records import Inspection, Plate, Setter
from platebook.trade.records import Tool


def rows_that_stand(db: Database) -> dict[tuple[str, str], dict[str, Any]]:
    """Every row of every kind, by kind and key, as it lies in the file."""
    return {
        (kind.name, row[kind.key]): dict(row)
        for kind in kinds().values()
        for row in db.query(f"SELECT * FROM {kind.name}")  # noqa: S608 - names of our own
    }


def rows_from_revisions(db: Database) -> dict[tuple[str, str], dict[str, Any]]:
    """The same, computed from nothing but the revisions."""
    ids = db.execute("SELECT DISTINCT kind, record_id FROM revision").fetchall()
    return {
        (name, record_id): standing_row(
            kinds()[name], revisions_of(db, name, [record_id])[record_id]
        )
        for name, record_id in ids
    }


def assert_stands_as_revised(book: Logbook) -> None:
    """Row by row, column by column."""
    db = connect(book.path, mode="ro")
    try:
        assert rows_that_stand(db) == rows_from_revisions(db)
    finally:
        db.close()


def test_every_way_of_changing_a_record_leaves_the_row_its_revisions_make(tmp_path: Path) -> None:
    """Added, corrected, hidden, put back, taken back and given to another: always the same."""
    with a_book_with_setter(tmp_path) as book:
        book.tell(
            records.add_tools, ME, [Tool(kind="bur", name="hart", size_mm=1.9)], signed(book, "add")
        )
        book.tell(
            records.add_plate,
            Plate(setter_id=ME, name="plate 1", pitch_mm=4.5),
            signed(book, "add"),
        )
        first, second = book.tell(
            records.add_attempts, [full_attempt(ME), full_attempt(ME)], signed(book, "record")
        )
        look = Inspection(attempt_id=first, inspector=ME, result=("gap",), looked=NOW)
        book.tell(records.add_inspections, [look], signed(book, "inspect"))
        assert_stands_as_revised(book)
        book.tell(
            records.amend,
            "attempt",
            first,
            full_attempt(ME).with_values(attempt_id=first, note=None, began=None, fit="3"),
            signed(book, "amend"),
        )
        book.tell(records.hide, "attempt", [second], signed(book, "hide"))
        assert_stands_as_revised(book)
        for move in ("undo", "undo", "redo", "redo", "undo"):
            assert book.tell(
                {"undo": undo_redo.undo, "redo": undo_redo.redo}[move], signed(book, move)
            ).done
            assert_stands_as_revised(book)
        book.tell(records.add_setter, Setter(name="Ansel Reed"), signed(book, "add"))
        (other,) = (s.setter_id for s in book.ask(setter_records.setters) if s.setter_id != ME)
        book.tell(records.merge_setters, str(other), ME, signed(book, "merge"))
        assert_stands_as_revised(book)
        assert book.tell(undo_redo.undo, signed(book, "undo")).done
        assert_stands_as_revised(book)
        assert book.ask(integrity.problems_in) == ()


@settings(max_examples=25, deadline=None)
@given(attempts=st.lists(any_attempts(ME), min_size=1, max_size=3))
def test_any_attempt_stands_as_revised(
    attempts: list[Attempt], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Whatever was typed: the row and the revision hold the same."""
    folder = tmp_path_factory.mktemp("book")
    with a_book_with_setter(folder) as book:
        ids = book.tell(records.add_attempts, attempts, signed(book, "record"))
        assert len(set(ids)) == len(attempts)
        assert_stands_as_revised(book)
