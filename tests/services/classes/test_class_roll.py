"""Who a class is: its roster, what its setters are called, and what answers about them rest on."""

from datetime import timedelta
from pathlib import Path

import pytest
from tests.services.bench import (
    ADA,
    BRAM,
    NOW,
    a_row,
    ada_at,
    logged,
    minutes_on,
    new_session,
    ticking,
)

from platebook.practice.courses.course_file import shipped_courses
from platebook.services.attempts.recording import undo
from platebook.services.classes.class_roll import enrol, pupils, roster_of
from platebook.services.classes.inspections import class_now, queue
from platebook.services.courses.in_force import use_course
from platebook.services.people.setters import add_setter, change_setter
from platebook.services.session import Refused, Session, opened
from platebook.values import replace

CLEO = "Cleo Vane"


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """Ada and Bram of one evening with two attempts each, Cleo of another with one."""
    begun = ada_at(tmp_path)
    change_setter(begun, ADA, group="Thursday")
    add_setter(begun, BRAM, group="Thursday")
    add_setter(begun, CLEO, group="Saturday")
    for n in range(2):
        for name in (ADA, BRAM):
            logged(begun, a_row(setter=name, began=minutes_on(n), plate="1", position=str(n + 1)))
    logged(begun, a_row(setter=CLEO, began=minutes_on(9)))
    return begun


def test_a_group_is_those_who_still_come(session: Session) -> None:
    """Names in any case; someone who left stays on the roster and out of the class."""
    assert [m.setter.name for m in pupils(session, "thursday")] == [ADA, BRAM]
    change_setter(session, BRAM, active=False)
    assert [m.setter.name for m in pupils(session, "Thursday")] == [ADA]
    assert [(p.setter.name, p.setter.active) for p in roster_of(session, "Thursday")] == [
        (ADA, True),
        (BRAM, False),
    ]
    undo(session)
    assert len(pupils(session, "Thursday")) == 2
    with pytest.raises(Refused, match="read 'Friday', expected one of: Thursday, Saturday"):
        pupils(session, "Friday")


def test_without_a_group_it_is_everyone(session: Session) -> None:
    """The whole logbook in the order added, each with as many attempts as were logged."""
    everyone = [(ADA, 2), (BRAM, 2), (CLEO, 1)]
    assert [(p.setter.name, p.attempts) for p in pupils(session)] == everyone
    assert [(p.setter.name, p.attempts) for p in roster_of(session)] == everyone


def test_a_logbook_without_anybody_is_a_class_of_nobody(tmp_path: Path) -> None:
    """Everyone is nobody; a group has to be made first, and it says how."""
    session = new_session(tmp_path)
    assert (roster_of(session), pupils(session)) == ((), ())
    with pytest.raises(Refused, match="expected one of: none yet"):
        pupils(session, "Thursday")


def test_a_group_that_nobody_comes_to_any_more_is_no_class(session: Session) -> None:
    """It is still known: its roster stands, and nothing is refused."""
    change_setter(session, CLEO, active=False)
    assert [p.setter.name for p in roster_of(session, "Saturday")] == [CLEO]
    assert pupils(session, "Saturday") == ()


def test_people_of_one_name_are_called_apart(session: Session) -> None:
    """From the second on they are numbered, in the order added; their records keep their name."""
    for _ in range(2):
        add_setter(session, BRAM, group="Thursday")
    members = pupils(session, "Thursday")
    assert [pupil.called for pupil in members] == [ADA, BRAM, f"{BRAM} (2)", f"{BRAM} (3)"]
    assert [pupil.setter.name for pupil in members] == [ADA, BRAM, BRAM, BRAM]
    assert len({pupil.setter_id for pupil in members}) == 4


def test_whoever_is_enrolled_keeps_their_place_and_count(session: Session) -> None:
    """A class is in the order it was handed over, each with the attempts said, and their course."""
    ada, bram, _ = (listed.setter for listed in roster_of(session))
    with opened(session) as book:
        members = tuple(enrol(book, [(bram, 7), (ada, 0)]))
    assert [(pupil.called, pupil.attempts) for pupil in members] == [(BRAM, 7), (ADA, 0)]
    assert {pupil.course.id for pupil in members} == {"small-to-large"}


def test_a_draw_is_counted_and_changes_nothing_else(session: Session) -> None:
    """No answer but the queue rests on it, so none of the others is asked again."""
    before = {pupil.called: pupil for pupil in pupils(session, "Thursday")}
    drawn = [row.setter for row in queue(session, "Thursday") if row.drawn]
    after = {pupil.called: pupil for pupil in pupils(session, "Thursday")}
    assert {name: pupil.draws for name, pupil in before.items()} == {ADA: 0, BRAM: 0}
    assert {name: pupil.draws for name, pupil in after.items()} == {
        name: drawn.count(name) for name in (ADA, BRAM)
    }
    assert len(drawn) == 2
    assert {name: pupil.rests_on for name, pupil in before.items()} == {
        name: pupil.rests_on for name, pupil in after.items()
    }


def test_another_text_of_the_course_is_something_else_to_rest_on(session: Session) -> None:
    """Only for the one who follows it."""
    before = {pupil.called: pupil.rests_on for pupil in pupils(session)}
    text = shipped_courses()[0].replace('id = "small-to-large"', 'id = "strict"', 1)
    use_course(session, "strict", f"failure_from = 1\n{text}")
    members = pupils(session)
    assert [p.called for p in members if p.rests_on != before[p.called]] == [ADA]
    assert {p.called: p.course.id for p in members} == {
        ADA: "strict",
        BRAM: "small-to-large",
        CLEO: "small-to-large",
    }


def not_seen(session: Session, group: str | None = None) -> dict[str, str]:
    """Who is missed, with the reason in words."""
    return {
        row.setter: reason.sentence
        for row in queue(session, group)
        for reason in row.reasons
        if reason.why == "not seen"
    }


def test_who_has_not_come_for_three_weeks_is_missed_by_their_class(session: Session) -> None:
    """Counted from its newest evening: a class that pauses misses nobody, nor another class's."""
    assert not_seen(session) == {}
    session = replace(session, clock=ticking(NOW + timedelta(days=100)))
    assert not_seen(session) == {}
    later = (NOW + timedelta(days=29)).isoformat()
    logged(session, a_row(setter=ADA, began=later))
    missed = {BRAM: "not seen for 4 weeks, last on 3 February"}
    assert not_seen(session) == not_seen(session, "Thursday") == missed
    assert not_seen(session, "Saturday") == {}
    _, shown = class_now(session)
    assert shown == queue(session)


@pytest.mark.parametrize(("active", "group"), [(False, None), (None, "Saturday")])
def test_who_is_put_aside_or_left_the_class_is_not_missed(
    session: Session, *, active: bool | None, group: str | None
) -> None:
    """Their old class does not ask for them."""
    session = replace(session, clock=ticking(NOW + timedelta(days=30)))
    logged(session, a_row(setter=ADA, began=(NOW + timedelta(days=29)).isoformat()))
    assert set(not_seen(session)) == {BRAM}
    change_setter(session, BRAM, active=active, group=group)
    assert not_seen(session) == {}


def test_without_any_class_all_are_one(tmp_path: Path) -> None:
    """A logbook that knows no groups misses people too."""
    session = ada_at(tmp_path)
    add_setter(session, BRAM)
    logged(session, a_row(setter=BRAM, began=minutes_on(0)))
    session = replace(session, clock=ticking(NOW + timedelta(days=30)))
    logged(session, a_row(setter=ADA, began=(NOW + timedelta(days=21)).isoformat()))
    assert not_seen(session) == {BRAM: "not seen for 3 weeks, last on 3 February"}
