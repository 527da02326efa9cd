"""The views for notebooks say what the records say, in millimetres and ISO time."""

import json
import sqlite3
from contextlib import closing
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

from tests.logbook.books import ME, a_book_with_setter, log, signed

from platebook.logbook import open_logbook
from platebook.logbook.file.views import views
from platebook.logbook.records import add_attempts, add_inspections, hide
from platebook.practice.attempt import Attempt
from platebook.practice.fields import fields
from platebook.practice.records import Inspection

WEST = timezone(-timedelta(hours=3, minutes=30))
BEGAN = datetime(2026, 7, 3, 18, 30, tzinfo=WEST)


def asked(path: Path, query: str) -> list[dict[str, Any]]:
    """Rows of a query that knows nothing of this program."""
    with closing(sqlite3.connect(path)) as connection:
        connection.row_factory = sqlite3.Row
        return [dict(row) for row in connection.execute(query)]


def test_an_attempt_is_a_row_in_millimetres_and_iso_time(tmp_path: Path) -> None:
    """Every field of the record, own columns as one object, what was hidden left out."""
    made = Attempt(
        setter_id=ME,
        began=BEGAN,
        stone_diameter_mm=1.981,
        hand_cut=False,
        result=("loose", "tilted"),
        severity=(1, 3),
        extra=(("musik", "radio"), ("lamp", True)),
    )
    with a_book_with_setter(tmp_path) as book:
        one, gone = book.tell(add_attempts, [made, made], signed(book, "record"))
        book.tell(hide, "attempt", [gone], signed(book, "hide"))
        path = book.path
    (row,) = asked(path, "SELECT * FROM attempt_mm")
    assert set(fields()) <= set(row)
    assert (row["attempt_id"], row["began"]) == (one, "2026-07-03T18:30:00-03:30")
    assert datetime.fromisoformat(row["began"]) == BEGAN
    assert (row["stone_diameter_mm"], row["hand_cut"], row["metal"]) == (1.981, 0, None)
    assert (row["result"], row["severity"]) == ("loose;tilted", "1;3")
    assert json.loads(row["extra"]) == {"musik": "radio", "lamp": 1}


def test_a_look_stands_beside_the_own_result(tmp_path: Path) -> None:
    """With who looked by name."""
    with a_book_with_setter(tmp_path) as book:
        (one,) = log(book, 1)
        look = Inspection(attempt_id=one, inspector="Tutor Vale", result=("gap",))
        book.tell(add_inspections, [look], signed(book, "inspect"))
        path = book.path
    (row,) = asked(path, "SELECT * FROM look_mm")
    assert (row["looked_by"], row["result"], row["own_result"]) == ("Tutor Vale", "gap", "loose")


def test_views_of_another_program_are_made_anew(tmp_path: Path) -> None:
    """They hold nothing; the next opening puts them right."""
    path = tmp_path / "book.sqlite"
    open_logbook(path).close()
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("DROP VIEW attempt_mm")
        connection.execute("CREATE VIEW attempt_mm AS SELECT 1 AS one")
        connection.commit()
    open_logbook(path).close()
    made = asked(path, "SELECT name, sql FROM sqlite_master WHERE type = 'view'")
    assert {row["name"]: row["sql"] for row in made} == views()
