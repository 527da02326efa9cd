"""A message reaches one student or a class, and nobody else; it is taken back as any change."""

from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, a_row, logged
from tests.services.school import School, a_school, all_share, answered

from platebook.services.attempts.recording import undo
from platebook.services.classes.messages import SENTENCE, write_to
from platebook.services.from_others import news, read_news
from platebook.services.people.setters import change_setter
from platebook.services.people.teachers import add_teacher
from platebook.services.session import Refused, Session


@pytest.fixture
def school(tmp_path: Path) -> School:
    """Two students with a setting each, in one group, and an instructor who has them all."""
    found = a_school(tmp_path)
    for session in (found.ada, found.bram):
        logged(session, a_row())
    all_share(found, found.ada, found.bram, found.tutor)
    return found


def edda(school: School) -> Session:
    """The instructor in person."""
    teacher = add_teacher(school.tutor, "Edda Vale")
    return school.tutor.for_teacher(teacher.teacher_id or "", teacher.name)


def test_a_message_to_one_student_is_theirs_alone(school: School) -> None:
    """By the writer's name, until it is read."""
    session = edda(school)
    done = write_to(session, "Bring your x10 loupe.", setter=ADA)
    assert done.sentence == SENTENCE.format(whom=ADA)
    all_share(school, session, school.ada, school.bram)
    assert (news(school.ada), news(school.bram)) == ("a message from Edda Vale: l opens it", "")
    (word,) = read_news(school.ada).words
    assert (word.text, word.to, word.kind) == ("Bring your x10 loupe.", "", "message")
    assert news(school.ada) == ""


def test_a_message_to_a_class_reaches_everyone_in_it(school: School) -> None:
    """Also where the class is known by what setters' entries say of their group, once let in."""
    session = edda(school)
    for name in (ADA, BRAM):
        change_setter(session, name, group="Thursday")
    write_to(session, "No class next week.", whole_class="Thursday")
    all_share(school, session, school.ada, school.bram)
    all_share(school, answered(school.ada), answered(school.bram))
    for student in (school.ada, school.bram):
        (word,) = read_news(student).words
        assert (word.text, word.to) == ("No class next week.", "Thursday")


def test_undo_takes_a_message_back(school: School) -> None:
    """It is told no more, here and, shared again, there."""
    session = edda(school)
    write_to(session, "Slower.", setter=ADA)
    assert undo(session).startswith("Taken back: 1 message")
    all_share(school, session, school.ada)
    assert (news(school.ada), read_news(school.ada).words) == ("", ())


@pytest.mark.parametrize(
    ("text", "setter", "whole_class", "says"),
    [
        (" ", ADA, "", "text: read nothing"),
        ("x", "", "", "expected one student, or one class"),
        ("x", ADA, "Thursday", "expected one student, or one class"),
        ("x", "Nobody Known", "", "setter: read 'Nobody Known'"),
        ("x", "", "Nowhere", "class: read 'Nowhere'"),
    ],
)
def test_a_message_to_nobody_is_refused(
    school: School, text: str, setter: str, whole_class: str, says: str
) -> None:
    """With what was expected; nothing is written."""
    with pytest.raises(Refused) as caught:
        write_to(edda(school), text, setter=setter, whole_class=whole_class)
    assert says in caught.value.sentence


def test_nobody_writes_to_themselves(school: School) -> None:
    """A student may write to another one."""
    with pytest.raises(Refused, match="somebody else"):
        write_to(school.ada, "x", setter=ADA)
