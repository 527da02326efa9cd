"""From a place and a name to a desk."""

from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, NOW, ada_at, new_desk

from platebook.logbook import defaults, open_logbook, records
from platebook.services.session import (
    INVENTED,
    LogbookUnusable,
    Refused,
    Session,
    session_at,
    with_setter_of,
)
from platebook.services.setters import add_setter


def _at(session: Session, setter: str | None = None) -> Session:
    return session_at(session.path, setter=setter, clock=session.clock)


def test_asking_for_a_desk_makes_no_logbook(tmp_path: Path) -> None:
    """Looking leaves no file behind."""
    session = _at(new_desk(tmp_path))
    assert (session.setter_id, session.path.exists()) == (None, False)


def test_a_name_without_a_logbook_is_refused_with_the_place(tmp_path: Path) -> None:
    """Nobody can be in use where nothing is."""
    with pytest.raises(Refused, match=r"setter: read 'Ada Quill', but there is no logbook yet at"):
        _at(new_desk(tmp_path), ADA)


def test_the_logbooks_own_setter_sits_down(tmp_path: Path) -> None:
    """The default setter is in use and signs the changes."""
    ada = ada_at(tmp_path)
    session = _at(ada)
    assert (session.setter_id, session.setter_name, session.author) == (ada.setter_id, ADA, ADA)


def test_another_name_is_for_this_desk_alone(tmp_path: Path) -> None:
    """Naming someone, by name in any spelling or by id, does not change the default."""
    ada = ada_at(tmp_path)
    bram = add_setter(ada, BRAM)
    assert bram.setter_id is not None
    for named in ("bram  OSK", bram.setter_id):
        assert _at(ada, named).setter_id == bram.setter_id
    assert _at(ada).setter_id == ada.setter_id


def test_an_unknown_name_is_refused_with_those_there_are(tmp_path: Path) -> None:
    """The sentence lists who could have been meant."""
    with pytest.raises(Refused, match="read 'Cleo', expected one of: Ada Quill"):
        _at(ada_at(tmp_path), "Cleo")


def test_a_shared_name_is_refused_until_the_id_is_given(tmp_path: Path) -> None:
    """Two of one name are told apart by group and id; an id is enough."""
    ada = ada_at(tmp_path)
    other = add_setter(ada, ADA, group="Tuesdays")
    with pytest.raises(Refused, match=rf"Ada Quill of Tuesdays \({other.setter_id}\)"):
        _at(ada, ADA)
    assert _at(ada, other.setter_id).setter_id == other.setter_id


def test_a_desk_is_had_without_looking_into_the_file(tmp_path: Path) -> None:
    """What does not need the logbook works beside one that is broken; what does says so."""
    broken = tmp_path / "logbook.sqlite"
    broken.write_text("not a logbook at all", encoding="utf-8")
    assert session_at(broken, look=False).path == broken
    with pytest.raises(LogbookUnusable) as fault:
        session_at(broken)
    assert fault.value.cause == "not a logbook"


def test_an_invented_logbook_is_marked_wherever_it_is_opened(tmp_path: Path) -> None:
    """The mark is in the file, and stays with whoever sits down."""
    ada = ada_at(tmp_path)
    assert not _at(ada).invented
    with open_logbook(ada.path) as book:
        book.tell(defaults.set_default, INVENTED, "yes")
    assert (_at(ada).invented, _at(ada, ADA).invented) == (True, True)


def test_a_setter_in_use_who_is_gone_leaves_the_desk_free(tmp_path: Path) -> None:
    """A default that names nobody any more is nobody."""
    ada = ada_at(tmp_path)
    with open_logbook(ada.path) as book:
        book.tell(records.hide, "setter", [ada.setter_id or ""], book.stamp(ADA, NOW, "hide"))
        assert with_setter_of(new_desk(tmp_path), book).setter_id is None
