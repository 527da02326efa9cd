"""The invented class, as somebody meets it who looks around."""

from pathlib import Path

import pytest

from platebook.demo.evening_class import evening_class
from platebook.services.answers import findings
from platebook.services.demo import demo_desk
from platebook.services.desks import desk_at
from platebook.services.keeping import check
from platebook.services.log import log_page
from platebook.services.roster import listed, tools


@pytest.mark.slow
def test_a_dozen_invented_setters_whose_habits_are_found(tmp_path: Path) -> None:
    """Marked as invented wherever it is opened; what was planted for the one shown is found."""
    invented = evening_class()
    desk = demo_desk(tmp_path)
    assert desk.invented
    assert desk_at(desk.path).invented
    people = {x.setter.setter_id or "": x.attempts for x in listed(desk)}
    assert people == {i: len(log) for i, log in invented.attempts_by_setter.items()}
    assert len(people) == 12
    assert log_page(desk).total == people[desk.setter_id or ""]
    assert tools(desk)
    assert check(desk) == ()
    found = {(f.variable, f.defect) for f in findings(desk).findings}
    truth = {(p.variable, p.defect) for p in invented.truth if p.setter in {None, desk.setter_name}}
    assert found & truth


@pytest.mark.slow
def test_the_clock_stands_on_an_evening_after_the_last(tmp_path: Path) -> None:
    """So that nobody looks as if they had not practised for a year."""
    desk = demo_desk(tmp_path)
    last = max(
        a.began for log in evening_class().attempts_by_setter.values() for a in log if a.began
    )
    assert 0 < (desk.clock() - last).days < 14
