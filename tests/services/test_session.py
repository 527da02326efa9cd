"""From a place and a name to a session, its setter, and the course they follow."""

from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, COURSE, NOW, a_row, ada_at, logged, new_session

from platebook.logbook import defaults, open_logbook, records
from platebook.practice.courses.course_file import shipped_course
from platebook.practice.records import Setter
from platebook.services.answers import progress
from platebook.services.attempts.log import attempts_of
from platebook.services.courses.followed import course_of
from platebook.services.courses.in_force import use_course
from platebook.services.now.next_up import next_with_sizes
from platebook.services.people.setters import add_setter, list_setters
from platebook.services.session import (
    INVENTED,
    LogbookUnusable,
    Refused,
    Session,
    find_setter,
    same_name,
    session_at,
    with_setter_of,
)


def _at(session: Session, setter: str | None = None) -> Session:
    return session_at(session.path, setter=setter, clock=session.clock)


def test_asking_for_a_session_makes_no_logbook(tmp_path: Path) -> None:
    """Looking leaves no file behind."""
    session = _at(new_session(tmp_path))
    assert (session.setter_id, session.path.exists()) == (None, False)


def test_a_name_without_a_logbook_is_refused_with_the_place(tmp_path: Path) -> None:
    """Nobody can be in use where nothing is."""
    with pytest.raises(Refused, match=r"setter: read 'Ada Quill', but there is no logbook yet at"):
        _at(new_session(tmp_path), ADA)


def test_the_logbooks_own_setter_sits_down(tmp_path: Path) -> None:
    """The default setter is in use and signs the changes."""
    ada = ada_at(tmp_path)
    session = _at(ada)
    assert (session.setter_id, session.setter_name, session.author) == (ada.setter_id, ADA, ADA)


def test_another_name_is_for_this_session_alone(tmp_path: Path) -> None:
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


def test_a_session_is_had_without_looking_into_the_file(tmp_path: Path) -> None:
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


def test_a_setter_in_use_who_is_gone_leaves_the_session_free(tmp_path: Path) -> None:
    """A default that names nobody any more is nobody."""
    ada = ada_at(tmp_path)
    with open_logbook(ada.path) as book:
        book.tell(records.hide, "setter", [ada.setter_id or ""], book.stamp(ADA, NOW, "hide"))
        assert with_setter_of(new_session(tmp_path), book).setter_id is None


OWN = (
    shipped_course(COURSE)
    .replace(f'id = "{COURSE}"', 'id = "tarnwick"')
    .replace('title = "Small to large"', 'title = "Tarnwick evenings"')
)


def test_a_course_of_ones_own_is_kept_and_followed(tmp_path: Path) -> None:
    """The logbook has its text, so it is followed after the file is gone."""
    session = ada_at(tmp_path)
    use_course(session, "tarnwick", OWN)
    assert [x.setter.course for x in list_setters(session)] == ["tarnwick"]
    with open_logbook(session.path) as book:
        assert [kept.text for kept in book.ask(defaults.course_texts, "tarnwick")] == [OWN]
    assert progress(session).course == "tarnwick"
    assert next_with_sizes(session)[0].course == "tarnwick"
    logged(session, a_row())
    assert [a.course for a in attempts_of(session)] == ["tarnwick"]


def test_the_newest_version_kept_is_the_one_followed(tmp_path: Path) -> None:
    """Older texts stay for the attempts that were made with them."""
    session = ada_at(tmp_path)
    use_course(session, "tarnwick", OWN)
    use_course(session, "tarnwick", OWN.replace("\nversion = 3\n", "\nversion = 4\n"))
    assert progress(session).course_version == 4
    with open_logbook(session.path) as book:
        assert [kept.version for kept in book.ask(defaults.course_texts, "tarnwick")] == [3, 4]


def test_another_course_leaves_the_old_ones_track_behind(tmp_path: Path) -> None:
    """The track belonged to the course before; name and group stay."""
    session = ada_at(tmp_path)
    before = list_setters(session)[0].setter
    with open_logbook(session.path) as book:
        on_track = before.model_copy(update={"track": "sterling", "group": "Tuesdays"})
        book.tell(
            records.amend,
            "setter",
            session.setter_id or "",
            on_track,
            book.stamp("Ada Quill", session.clock(), "amend"),
        )
    use_course(session, "large-to-small")
    assert list_setters(session)[0].setter == on_track.model_copy(
        update={"course": "large-to-small", "track": None}
    )


def test_an_unknown_course_is_refused_with_those_there_are(tmp_path: Path) -> None:
    """And the setter follows what they followed."""
    session = ada_at(tmp_path)
    with pytest.raises(Refused, match="course: read 'backwards', expected one of: small-to-large"):
        use_course(session, "backwards")
    assert [x.setter.course for x in list_setters(session)] == [COURSE]


def test_nobody_or_a_lost_course_gets_the_one_offered_first(tmp_path: Path) -> None:
    """Work goes on."""
    session = ada_at(tmp_path)
    with open_logbook(session.path) as book:
        assert course_of(book, None).id == COURSE
        assert course_of(book, Setter(name="Bram Osk", course="lost")).id == COURSE
        assert course_of(book, Setter(name="Bram Osk", course="large-to-small")).id == (
            "large-to-small"
        )


ADA_KNOWN = Setter(setter_id="a", name="Ada Quill")
BRAM_KNOWN = Setter(setter_id="b", name="Bram Osk")
OTHER_BRAM = Setter(setter_id="c", name="bram  osk", group="Tuesdays")


@pytest.mark.parametrize("wanted", ["a", "Ada Quill", " ada  QUILL "])
def test_an_id_or_a_name_in_any_spelling_finds_the_setter(wanted: str) -> None:
    """Case and blanks do not matter in a name."""
    assert find_setter((BRAM_KNOWN, ADA_KNOWN), wanted) == ADA_KNOWN


def test_an_id_goes_before_a_name() -> None:
    """Somebody whose name is another's id hides nobody."""
    assert find_setter((Setter(setter_id="z", name="a"), ADA_KNOWN), "a") == ADA_KNOWN


def test_with_nobody_there_the_sentence_says_so() -> None:
    """An empty logbook has no names to list."""
    with pytest.raises(Refused, match="read 'Ada', expected one of: nobody yet"):
        find_setter((), "Ada")


def test_a_shared_name_is_refused_with_all_who_bear_it() -> None:
    """None is chosen."""
    with pytest.raises(Refused) as refused:
        find_setter((ADA_KNOWN, BRAM_KNOWN, OTHER_BRAM), "Bram Osk")
    assert refused.value.sentence == (
        "setter: read 'Bram Osk', which is Bram Osk (b); bram  osk of Tuesdays (c). "
        "Say which by id."
    )
    assert same_name((ADA_KNOWN,)) == "Ada Quill (a)"
