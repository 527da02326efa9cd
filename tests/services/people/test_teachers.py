"""Whoever teaches: in use as themselves, signing by name, with no log of their own."""

from pathlib import Path

import pytest
from tests.services.bench import ADA, a_row, ada_at, logged, new_session

from platebook.services.attempts.log import attempt_with, inspections_of
from platebook.services.attempts.recording import undo
from platebook.services.classes.inspections import inspect
from platebook.services.now.now_view import now
from platebook.services.people.setters import (
    add_setter,
    is_new,
    list_setters,
    use_nobody,
    use_setter,
)
from platebook.services.people.teachers import (
    add_teacher,
    begin_teaching,
    change_teacher,
    erase_teacher,
    list_teachers,
    switch_teacher,
    use_teacher,
)
from platebook.services.session import Refused, Session, session_at

ISOLDE = "Isolde Crane"


def anew(session: Session) -> Session:
    """The session as the next command finds it."""
    return session_at(session.path, clock=session.clock)


def test_the_first_setter_added_leaves_a_teacher_in_use(tmp_path: Path) -> None:
    """So that an instructor who adds students goes on as the instructor."""
    session = begin_teaching(new_session(tmp_path), name=ISOLDE)
    add_setter(session, ADA)
    found = anew(session)
    assert (found.author, found.setter_id, found.teacher_id) == (ISOLDE, None, session.teacher_id)
    assert [p.in_use for p in list_setters(found)] == [False]
    assert not is_new(found)


def test_one_is_in_use_at_a_time_or_nobody(tmp_path: Path) -> None:
    """Choosing a setter takes the teacher's place, and the other way round."""
    session = ada_at(tmp_path)
    add_teacher(session, ISOLDE)
    assert anew(session).teacher_id is not None
    use_setter(session, ADA)
    assert (anew(session).setter_name, anew(session).teacher_id) == (ADA, None)
    use_teacher(session, ISOLDE)
    assert (anew(session).setter_id, anew(session).author) == (None, ISOLDE)
    use_nobody(session)
    assert (anew(session).setter_id, anew(session).teacher_id) == (None, None)


def test_a_teacher_has_no_next_exercise(tmp_path: Path) -> None:
    """It is said why, and what to do."""
    session = begin_teaching(new_session(tmp_path), name=ISOLDE)
    with pytest.raises(Refused, match="who teaches and has no log"):
        now(session)


def test_a_look_is_signed_by_the_teacher_and_shown_by_name(tmp_path: Path) -> None:
    """By the one in use, or by the one named."""
    session = ada_at(tmp_path)
    one, two = logged(session, a_row(), a_row())
    add_teacher(session, ISOLDE)
    inspect(switch_teacher(session, ISOLDE), one, "0")
    inspect(session, two, "0", by="isolde crane")
    for attempt_id in (one, two):
        (look,) = inspections_of(session, attempt_with(session, attempt_id))
        assert look.inspector == ISOLDE


def test_a_teacher_who_also_sets_is_not_their_own_inspector(tmp_path: Path) -> None:
    """The setter of that name is theirs; their own log they cannot look at as the teacher."""
    session = ada_at(tmp_path)
    (one,) = logged(session, a_row())
    add_teacher(session, ADA, also_sets=True)
    assert [t.sets_as for t in list_teachers(session)] == [ADA]
    with pytest.raises(Refused, match="someone else's look"):
        inspect(switch_teacher(session, ADA), one, "0")


def test_a_teacher_is_corrected_and_that_is_taken_back(tmp_path: Path) -> None:
    """Name, note, whether they still teach, whether they also set."""
    session = begin_teaching(new_session(tmp_path), name="Isolde")
    change_teacher(session, "isolde", name=ISOLDE, note="Thursdays", active=False)
    (listed,) = list_teachers(session)
    assert (listed.teacher.name, listed.teacher.note, listed.teacher.active) == (
        ISOLDE,
        "Thursdays",
        False,
    )
    undo(session)
    assert [t.teacher.name for t in list_teachers(session)] == ["Isolde"]
    change_teacher(session, "Isolde", also_sets=True)
    assert [p.setter.name for p in list_setters(session)] == ["Isolde"]


def test_an_erased_teacher_is_gone_and_their_look_stays(tmp_path: Path) -> None:
    """Without their name, and nobody is in use."""
    session = ada_at(tmp_path)
    (one,) = logged(session, a_row())
    add_teacher(session, ISOLDE)
    inspect(switch_teacher(session, ISOLDE), one, "0")
    assert "erased for good" in erase_teacher(session, ISOLDE)
    (look,) = inspections_of(session, attempt_with(session, one))
    assert (look.inspector, list_teachers(session)) == ("an instructor", ())
    assert anew(session).teacher_id is None
