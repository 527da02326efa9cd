"""People who may be in the logbook twice: what tells them apart."""

from datetime import date
from pathlib import Path

from tests.services.bench import ADA, BRAM, a_row, ada_at, logged

from platebook.services.people.doubles import doubles, known_people
from platebook.services.people.setters import add_setter
from platebook.services.session import opened, today_at


def test_first_and_last_day_are_those_of_where_it_was_made(tmp_path: Path) -> None:
    """Wherever that is; who has logged nothing has none."""
    ada = ada_at(tmp_path)
    add_setter(ada, BRAM)
    logged(
        ada,
        a_row(began="2026-01-31T00:30:00+01:00"),
        a_row(began="2026-01-30T19:00:00-08:00"),
        a_row(began="2026-02-02T23:30:00-08:00"),
    )
    with opened(ada) as book:
        people = known_people(book, today_at(ada))
    assert [(known.name, known.first, known.last) for known in people] == [
        (ADA, date(2026, 1, 30), date(2026, 2, 2)),
        (BRAM, None, None),
    ]


def test_of_two_entries_the_one_in_a_class_goes_on(tmp_path: Path) -> None:
    """A name begun alone has the attempts; the entry of the start file has the class."""
    ada = ada_at(tmp_path)
    logged(ada, a_row(began="2026-01-31T00:30:00+01:00"))
    add_setter(ada, ADA + "a", group="Thursday")
    (pair,) = doubles(ada)
    assert (pair.keep.name, pair.gone.name) == (ADA + "a", ADA)
