"""Course texts from elsewhere: held back, told, taken or refused; a clash of two is a person's."""

import dataclasses
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.logbook.handed_on import bundle_of
from tests.services.bench import NOW, a_row, logged
from tests.services.courses.test_in_force import ONE, SAID, counted
from tests.services.school import School, a_school, all_share, desk_of

from platebook.logbook import Logbook, course_records
from platebook.logbook.bundles.importing import Terms, take_in
from platebook.logbook.defaults import course_texts
from platebook.practice.courses.course_file import shipped_course
from platebook.practice.revision import Bundle, CourseCopy
from platebook.services.attempts.recording import redo, undo
from platebook.services.courses.in_force import use_course
from platebook.services.courses.shelf import course_shown
from platebook.services.courses.waiting import refuse_course, take_course, waiting_courses
from platebook.services.people.setters import add_setter, switch_setter
from platebook.services.session import Refused, Session, opened
from platebook.services.sharing.share_folder import share
from platebook.values import replace


@pytest.fixture
def school(tmp_path: Path) -> School:
    """Ada follows the tutor's evening course and has set three stones."""
    made = a_school(tmp_path)
    add_setter(made.tutor, "Marta Corvo")
    made = dataclasses.replace(made, tutor=_in_use(made.tutor, "Marta Corvo"))
    use_course(made.tutor, "evening", ONE)
    all_share(made, made.tutor)
    share(made.ada, made.folder, everyone=True)
    use_course(made.ada, "evening")
    logged(made.ada, *(a_row(grade="copper-2.0") for _ in range(3)))
    all_share(made, made.ada, made.tutor)
    return made


def _in_use(session: Session, name: str) -> Session:
    return switch_setter(session, name)


def test_the_first_text_of_a_course_is_gone_by_and_the_next_one_waits(school: School) -> None:
    """Taking it in is one change; until then nothing has changed."""
    use_course(school.tutor, "evening", SAID)
    done = all_share(school, school.tutor, school.ada)
    (waiting,) = done[1].courses
    assert waiting.sentence == (
        "Version 3 of the course Small to large (evening) by Marta Corvo waits. "
        "It touches 2 setters, 3 attempts; 2.0 mm in copper goes on as cu-2 with its 3 attempts."
    )
    assert (counted(school.ada), course_shown(school.ada, "evening").text) == (
        [("copper-2.0", 3)],
        ONE,
    )
    take_course(school.ada, waiting.key)
    assert (counted(school.ada), waiting_courses(school.ada)) == ([("cu-2", 3)], ())
    assert undo(school.ada) == "Taken back: taking in the course evening, version 3."
    assert (counted(school.ada), len(waiting_courses(school.ada))) == ([("copper-2.0", 3)], 1)
    redo(school.ada)
    # Who only took it says nothing of their own to others.
    assert all_share(school, school.ada, school.tutor)[1].courses == ()
    # The teacher takes it back, and that waits in its turn.
    undo(school.tutor)
    (back,) = all_share(school, school.tutor, school.ada)[1].courses
    assert back.version == 2


def test_a_text_that_is_refused_is_not_asked_about_again(school: School) -> None:
    """Until there is another one."""
    use_course(school.tutor, "evening", SAID)
    all_share(school, school.tutor, school.ada)
    assert "what was in force stays" in refuse_course(school.ada, "evening")
    assert all_share(school, school.tutor, school.ada)[1].courses == ()
    assert counted(school.ada) == [("copper-2.0", 3)]
    use_course(school.tutor, "evening", SAID.replace("version = 3", "version = 4", 1))
    assert [w.version for w in all_share(school, school.tutor, school.ada)[1].courses] == [4]
    with pytest.raises(Refused, match="expected the key of one that waits"):
        take_course(school.ada, "nothing")


def test_two_texts_of_one_version_are_a_conflict_for_a_person(
    school: School, tmp_path: Path
) -> None:
    """Each stays in force where it was made, whatever its digest, until somebody chooses."""
    other = desk_of(tmp_path, "other", "Otto Vale")
    share(other, school.folder, everyone=True)
    theirs = SAID.replace("Small to large", "Another")
    use_course(school.tutor, "evening", SAID)
    use_course(other, "evening", theirs)
    share(other, school.folder, everyone=True)
    done = share(school.tutor, school.folder, everyone=True)
    share(other, school.folder, everyone=True)
    (here,), (there,) = done.courses, waiting_courses(other)
    assert (here.conflict, there.conflict) == (True, True)
    assert here.sentence.startswith(
        "Another text of version 3 of the course Another (evening) by Otto Vale waits: both"
    )
    assert course_shown(school.tutor, "evening").text == SAID
    assert course_shown(other, "evening").text == theirs
    take_course(school.tutor, here.key)
    assert course_shown(school.tutor, "evening").text == theirs


def test_a_shipped_course_is_replaced_by_nobody(school: School) -> None:
    """An older program's bundle brings another text under its id: it waits."""
    text = shipped_course("small-to-large").replace("version = 3", "version = 9", 1)
    with opened(school.bram) as book:
        bundle = book.ask(bundle_of)
        copy = CourseCopy(course="small-to-large", version=9, text=text)
        old = replace(bundle, replica="x", courses=(copy,))
        _take_in(book, old)
    assert course_shown(school.bram, "small-to-large").course.version == 3
    assert [w.version for w in waiting_courses(school.bram)] == [9]


def _take_in(book: Logbook, bundle: Bundle) -> None:
    terms = Terms(digest=book.new_id(NOW), shipped=frozenset({"small-to-large"}))
    book.tell(take_in, book.path, bundle, terms)


def _known(book: Logbook) -> object:
    """All that a logbook has heard of a course, whichever text is in force."""
    return (
        book.ask(course_records.named_digests, "evening"),
        book.ask(course_records.in_force_of_others, "evening"),
        [kept.digest for kept in book.ask(course_texts, "evening")],
    )


TEXTS = (ONE, SAID, SAID.replace("Small to large", "Another"))


@pytest.fixture(scope="module")
def bundles(tmp_path_factory: pytest.TempPathFactory) -> list[Bundle]:
    """What three logbooks give on, of which each put another text in force."""
    folder = tmp_path_factory.mktemp("bundles")
    made = []
    for number, text in enumerate(TEXTS):
        desk = desk_of(folder, f"d{number}", f"Setter {number}")
        use_course(desk, "evening", text)
        with opened(desk) as book:
            made.append(book.ask(bundle_of))
    return made


@settings(max_examples=15, deadline=None, derandomize=True)
@given(data=st.data())
def test_in_any_order_the_same_is_known_and_what_is_taken_is_the_same(
    tmp_path_factory: pytest.TempPathFactory, bundles: list[Bundle], data: st.DataObject
) -> None:
    """Three logbooks put texts in force; two others hear of it in whatever order, some twice."""
    folder = tmp_path_factory.mktemp("order")
    again = data.draw(st.lists(st.sampled_from(bundles), max_size=2))
    shuffled = data.draw(st.permutations([*bundles, *again]))
    one, two = desk_of(folder, "one"), desk_of(folder, "two")
    for session, order in ((one, bundles), (two, shuffled)):
        with opened(session) as book:
            for bundle in order:
                _take_in(book, bundle)
    with opened(one) as first, opened(two) as second:
        assert _known(first) == _known(second)
    for session in (one, two):
        if course_shown(session, "evening").text != TEXTS[1]:
            (meant,) = [w for w in waiting_courses(session) if w.by == ("Setter 1",)]
            take_course(session, meant.key)
        assert course_shown(session, "evening").text == TEXTS[1]
