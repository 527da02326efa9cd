"""The invented class, as somebody meets it who looks around."""

from pathlib import Path

import pytest
from tests.patience import PATIENCE

from platebook.demo.evening_class import evening_class
from platebook.logbook import open_logbook
from platebook.services.attempts.log import log_page
from platebook.services.attempts.recording import record
from platebook.services.demo import FILE_NAME, demo_session
from platebook.services.files import check
from platebook.services.findings import findings
from platebook.services.now.now_view import now
from platebook.services.people.setters import list_setters, tools
from platebook.services.session import Refused, session_at


@pytest.mark.slow
def test_a_dozen_invented_setters_whose_habits_are_found(tmp_path: Path) -> None:
    """Marked as invented wherever it is opened; what was planted for the one shown is found."""
    invented = evening_class()
    session = demo_session(tmp_path)
    assert session.invented
    assert session_at(session.path).invented
    people = {x.setter.setter_id or "": x.attempts for x in list_setters(session)}
    assert people == {i: len(log) for i, log in invented.attempts_by_setter.items()}
    assert len(people) == 12
    assert log_page(session).total == people[session.setter_id or ""]
    assert tools(session)
    assert check(session) == ()
    found = {(f.variable, f.defect) for f in findings(session).findings}
    truth = {
        (p.variable, p.defect) for p in invented.truth if p.setter in {None, session.setter_name}
    }
    assert found & truth


@pytest.mark.slow
def test_the_clock_stands_on_an_evening_after_the_last(tmp_path: Path) -> None:
    """So that nobody looks as if they had not practised for a year."""
    session = demo_session(tmp_path)
    last = max(
        a.began for log in evening_class().attempts_by_setter.values() for a in log if a.began
    )
    assert 0 < (session.clock() - last).days < 14


@pytest.mark.slow
def test_a_kept_class_is_opened_as_it_was_left(tmp_path: Path) -> None:
    """What was logged in it stands; another logbook of that name is left alone."""
    record(demo_session(tmp_path), [{"result": "good", "grade": "copper-1.5"}])
    before = log_page(session_at(tmp_path / FILE_NAME)).total
    assert log_page(demo_session(tmp_path)).total == before
    assert [file.name for file in tmp_path.glob(".*")] == []
    other = tmp_path / "other"
    other.mkdir()
    open_logbook(other / FILE_NAME).close()
    with pytest.raises(Refused, match="holds no invented class"):
        demo_session(other)


@pytest.mark.slow
def test_a_kept_class_is_looked_at_on_the_same_evening(tmp_path: Path) -> None:
    """A command and the app stand at one time; what is done later comes after what was done."""
    shown = demo_session(tmp_path)
    again = session_at(shown.path)
    assert again.invented
    assert abs((again.clock() - shown.clock()).total_seconds()) < PATIENCE
    assert now(again).days_since == now(shown).days_since
    earlier = again.clock()
    record(again, [{"result": "good", "grade": "copper-1.5"}])
    assert session_at(shown.path).clock() > earlier
