"""The register of a class in a logbook: its people, its days, and which class is meant."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, NOW, a_row, ada_at, logged, ticking

from platebook.services.classes.enrolment import Details, leave_class, new_class
from platebook.services.classes.listed_names import read_names
from platebook.services.classes.register import EVERYONE, class_register
from platebook.services.people.at_the_bench import view_class
from platebook.services.people.setters import add_setter, change_setter
from platebook.services.session import Refused, Session
from platebook.values import replace

FIRST = datetime(2026, 1, 8, 18, 30, tzinfo=UTC)


def comes(session: Session, name: str, *weeks: float) -> None:
    """A setting of this setter so many weeks after the first evening."""
    rows = [a_row(setter=name, began=(FIRST + timedelta(weeks=week)).isoformat()) for week in weeks]
    logged(session, *rows)


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """Thursday on its fourth evening: Ada came to all, Bram to the first only."""
    begun = replace(ada_at(tmp_path), clock=ticking(FIRST))
    listed = read_names(begun, [ADA, BRAM], {})
    new_class(begun, "Thursday", listed, Details(begins=FIRST.date()))
    now = replace(begun, clock=ticking(NOW))
    comes(now, ADA, -1, 0, 1, 2, 3)
    comes(now, BRAM, 0)
    return now


def test_who_came_on_each_evening_of_the_class(session: Session) -> None:
    """What was logged before it began is not in its register; the weeks missing are whole."""
    found = class_register(session, "thursday")
    assert found.called == "Thursday"
    assert len(found.register.evenings) == 4
    rows = {row.name: row for row in found.register.rows}
    ada, bram = rows[ADA], rows[BRAM]
    assert ada.signs == ("came",) * 4
    assert (bram.came, bram.of, bram.missing_weeks) == (1, 4, 3)
    assert bram.missing_since == date(2026, 1, 15)


def test_without_a_name_it_is_the_class_that_runs_or_is_in_view(session: Session) -> None:
    """Where several run one has to be named."""
    assert class_register(session).called == "Thursday"
    made = new_class(session, "Friday", read_names(session, [BRAM], {}), Details()).term
    with pytest.raises(Refused, match="say which"):
        class_register(session)
    view_class(session, made.class_id)
    assert class_register(session).called == "Friday"
    with pytest.raises(Refused, match="Did you mean Friday"):
        class_register(session, "Frida")


def test_a_logbook_without_classes_has_one_register_of_everyone(tmp_path: Path) -> None:
    """Cleo, who never logged anything, was never seen."""
    begun = ada_at(tmp_path)
    add_setter(begun, "Cleo Vane")
    comes(begun, ADA, 0, 1)
    found = class_register(begun)
    assert (found.class_id, found.called) == (None, EVERYONE)
    assert [row.came for row in found.register.rows] == [2, 0]
    assert found.register.rows[1].last_seen is None


def test_an_evening_is_that_of_the_place(tmp_path: Path) -> None:
    """Half past eleven at night in UTC is the next day an hour further east."""
    begun = ada_at(tmp_path)
    logged(begun, a_row(began="2026-01-09T00:30:00+01:00"), a_row(began="2026-01-08T23:30:00Z"))
    days = class_register(begun).register.evenings
    assert days == (date(2026, 1, 8), date(2026, 1, 9))


def test_who_left_or_is_put_aside_stands_apart(session: Session) -> None:
    """With what they did, and nothing erased."""
    leave_class(session, "Thursday", [BRAM], on=date(2026, 1, 16))
    (gone,) = class_register(session, "Thursday").register.apart
    assert (gone.name, gone.signs) == (BRAM, ("came", "missed", None, None))
    change_setter(session, ADA, active=False)
    assert class_register(session, "Thursday").register.coming == ()
