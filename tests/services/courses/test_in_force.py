"""Courses in force: whom a text touches, and that it is a change like any other."""

from pathlib import Path

import pytest
from tests.services.bench import COURSE, a_row, ada_at, logged

from platebook.practice.courses.course_file import load_course, shipped_course
from platebook.services.answers import progress
from platebook.services.attempts.recording import undo
from platebook.services.courses.followed import shipped
from platebook.services.courses.in_force import look_at, use_course
from platebook.services.courses.shelf import course_shown, listed_courses, write_new_course
from platebook.services.session import Refused, Session

ONE = (
    shipped_course("small-to-large")
    .replace('id = "small-to-large"', 'id = "evening"', 1)
    .replace("version = 3", "version = 2", 1)
)
RENAMED = (
    ONE.replace("version = 2", "version = 3", 1)
    .replace('id = "copper-2.0"', 'id = "cu-2"', 1)
    .replace('after = "copper-2.0"', 'after = "cu-2"')
)
SAID = RENAMED.replace('id = "cu-2"', 'id = "cu-2"\nwas = ["copper-2.0"]', 1)


def counted(session: Session) -> list[tuple[str, int]]:
    """The grades with attempts, as progress has them."""
    return [(g.grade, g.attempts) for g in progress(session).grades if g.attempts]


@pytest.fixture
def ada(tmp_path: Path) -> Session:
    """Ada, who follows the evening course and has set three stones at its second grade."""
    session = ada_at(tmp_path)
    use_course(session, "evening", ONE)
    logged(session, *(a_row(grade="copper-2.0") for _ in range(3)))
    return session


def test_a_grade_that_would_lose_its_attempts_is_a_fault_and_whom_it_touches_is_said(
    ada: Session,
) -> None:
    """Saying what it was lets them count on."""
    look = look_at(ada, RENAMED, "evening.toml")
    assert look.course is None
    assert "2.0 mm in copper is renamed, and has 3 attempts" in str(look.problems[-1])
    assert look.touch is not None
    assert look.touch.sentence.startswith(
        '1 setter, 3 attempts; 2.0 mm in copper (3 attempts) is renamed: say was = ["copper-2.0"]'
    )
    with pytest.raises(Refused, match="is renamed"):
        use_course(ada, "evening", RENAMED)
    sound = look_at(ada, SAID, "evening.toml")
    assert sound.touch is not None
    assert (sound.course is not None, sound.touch.sentence) == (
        True,
        "1 setter, 3 attempts; 2.0 mm in copper goes on as cu-2 with its 3 attempts",
    )
    use_course(ada, "evening", SAID)
    assert counted(ada) == [("cu-2", 3)]


def test_a_version_is_taken_back_and_put_back_and_nothing_else_with_it(ada: Session) -> None:
    """Undo after `use` takes back just that; the attempts and the course before stay."""
    use_course(ada, "evening", SAID)
    assert undo(ada) == "Taken back: putting in force the course evening, version 3."
    assert counted(ada) == [("copper-2.0", 3)]
    shown = course_shown(ada, "evening")
    assert (shown.text, shown.course.version) == (ONE, 2)
    assert [(v.version, v.what, v.stands) for v in shown.history] == [
        (2, "use", False),
        (3, "use", False),
        (2, "undo", True),
    ]
    assert undo(ada) == "Taken back: 3 attempts."


def test_the_same_text_once_more_is_no_change(ada: Session) -> None:
    """So that undo afterwards takes back what was done before."""
    use_course(ada, "evening", ONE)
    assert undo(ada) == "Taken back: 3 attempts."
    assert undo(ada) == "Taken back: putting in force the course evening, version 2."
    assert progress(ada).course == "small-to-large"


def test_a_shipped_id_with_another_text_is_refused(ada: Session) -> None:
    """It would stand in the place of the shipped course wherever it came."""
    text = ONE.replace('id = "evening"', 'id = "large-to-small"', 1)
    (problem,) = [p for p in look_at(ada, text, "mine.toml").problems if p.field == "id"]
    assert str(problem).startswith(f"mine.toml, line {ONE.split('id = ')[0].count(chr(10)) + 1}")
    assert "expected an id of your own: large-to-small comes with platebook" in str(problem)
    assert look_at(ada, shipped_course("large-to-small"), "mine.toml").course is not None


def test_the_courses_of_a_logbook_are_listed_with_the_shipped_ones(ada: Session) -> None:
    """And one's own text comes out as it went in."""
    listed = [(one.course.id, one.own, one.setters) for one in listed_courses(ada)]
    assert listed[0] == ("small-to-large", False, 0)
    assert listed[-1] == ("evening", True, 1)
    assert course_shown(ada, "evening").text == ONE
    with pytest.raises(Refused, match=r"expected one of: small-to-large, .*, evening"):
        course_shown(ada, "lost")


def test_a_new_course_file_is_another_one_to_change(ada: Session, tmp_path: Path) -> None:
    """It reads as the same course under an id of its own; nothing is overwritten or guessed."""
    folder = tmp_path / "files"
    folder.mkdir()
    file = folder / "mine.toml"
    mine = shipped()[0].model_copy(update={"id": 'the "mine"', "version": 1})
    write_new_course(ada, file, COURSE, 'the "mine"')
    assert load_course(file.read_text(encoding="utf-8")) == mine
    with pytest.raises(Refused, match="is there already; name another file"):
        write_new_course(ada, file, "large-to-small", "other")
    assert load_course(file.read_text(encoding="utf-8")) == mine
    with pytest.raises(Refused, match=r"--like: read 'backwards', expected one of: small-to"):
        write_new_course(ada, folder / "other.toml", "backwards", "other")
    for known, has_it in (("large-to-small", "comes with"), ("evening", "this logbook has")):
        with pytest.raises(Refused, match=f"id: read '{known}', which {has_it}"):
            write_new_course(ada, folder / "other.toml", COURSE, known)
    with pytest.raises(Refused, match="id: read 'a/b', expected an id of at most 80 letters"):
        write_new_course(ada, folder / "other.toml", COURSE, "a/b")
    with pytest.raises(Refused, match="No such file"):
        write_new_course(ada, folder / "no folder" / "other.toml", COURSE, "other")
    assert [f.name for f in folder.iterdir()] == ["mine.toml"]


def test_a_new_course_file_begins_as_one_of_the_logbook_too(ada: Session, tmp_path: Path) -> None:
    """With the text that is in force there."""
    file = tmp_path / "later.toml"
    write_new_course(ada, file, "evening", "later")
    text = file.read_text(encoding="utf-8")
    assert text == ONE.replace('"evening"', '"later"', 1).replace("version = 2", "version = 1", 1)
