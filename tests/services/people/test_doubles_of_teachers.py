"""Two entries of one teacher: found, united, parted; and what erasing a teacher takes."""

from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, a_row, ada_at, logged

from platebook.logbook import class_records
from platebook.services.attempts.recording import redo, undo
from platebook.services.classes.enrolment import Details, list_classes, new_class
from platebook.services.classes.inspections import inspect
from platebook.services.classes.listed_names import read_names
from platebook.services.classes.messages import write_to
from platebook.services.from_others import from_others
from platebook.services.people.doubles import teacher_doubles, unite_teachers
from platebook.services.people.going import erase, setter_going, teacher_going
from platebook.services.people.setters import add_setter, switch_setter
from platebook.services.people.teachers import (
    add_teacher,
    change_teacher,
    list_teachers,
    merge_teachers,
    switch_teacher,
)
from platebook.services.session import Refused, Session, opened, session_at

LYNN, LIN = "Lynn Crane", "Lin Crane"


@pytest.fixture
def ada(tmp_path: Path) -> Session:
    """Ada's attempt was looked at by Lin, who teaches Thursday; Lynn wrote to her."""
    ada = ada_at(tmp_path)
    (attempt_id,) = logged(ada, a_row())
    for name in (LYNN, LIN):
        add_teacher(ada, name)
    lin = switch_teacher(ada, LIN)
    new_class(lin, "Thursday", read_names(lin, [ADA], {}), Details())
    inspect(lin, attempt_id, "high", severity="2", comment="Level it first.")
    write_to(switch_teacher(ada, LYNN), "Well done.", setter=ADA)
    return switch_setter(ada, ADA)


def said_by(ada: Session) -> tuple[str, str]:
    """By whom the look and the message are."""
    received = from_others(ada)
    return received.looks[0].by, received.words[0].by


def test_names_that_sound_alike_are_found_and_united_and_undo_parts_them(ada: Session) -> None:
    """Looks, classes and who is in use go to the one that stays; all of it comes back."""
    (pair,) = teacher_doubles(ada)
    assert {pair.keep.name, pair.gone.name} == {LYNN, LIN}
    lin = switch_teacher(ada, LIN)
    done = merge_teachers(lin, LYNN, LIN)
    assert done.sentence == "Lin Crane is now Lynn Crane; undo parts them again."
    assert (said_by(ada), [t.teacher.name for t in list_teachers(ada)]) == ((LYNN, LYNN), [LYNN])
    assert [each.teachers for each in list_classes(ada)] == [(LYNN,)]
    assert session_at(str(ada.path)).author == LYNN
    assert undo(lin) == "Taken back: merge of Lin Crane into Lynn Crane, with 1 class and 1 look."
    assert said_by(ada) == (LIN, LYNN)
    assert [each.teachers for each in list_classes(ada)] == [(LIN,)]
    assert session_at(str(ada.path)).author == LIN
    assert redo(lin).startswith("Put back: merge of Lin Crane into Lynn Crane")
    assert (said_by(ada), teacher_doubles(ada)) == ((LYNN, LYNN), ())


def test_one_key_unites_the_pair_that_is_shown(ada: Session) -> None:
    """As the screen of people does; one entry is not united with itself."""
    (pair,) = teacher_doubles(ada)
    assert unite_teachers(ada, pair).endswith("undo parts them again.")
    with pytest.raises(Refused, match="the same entry already"):
        merge_teachers(ada, pair.keep.name, pair.keep.name)


def test_the_own_entry_as_a_setter_goes_along_and_two_of_them_stay_two(ada: Session) -> None:
    """The sentence names the command for those."""
    change_teacher(ada, LIN, also_sets=True)
    merge_teachers(ada, LYNN, LIN)
    assert [t.sets_as for t in list_teachers(ada)] == [LIN]
    add_teacher(ada, "Lin Crane", also_sets=False)
    add_setter(ada, BRAM)
    change_teacher(ada, LIN, name=BRAM, also_sets=None)
    change_teacher(ada, BRAM, also_sets=True)
    assert "platebook setter merge" in merge_teachers(ada, LYNN, BRAM).sentence


def test_what_erasing_a_teacher_takes_and_leaves_is_said_before_and_is_so(ada: Session) -> None:
    """Looks, messages and the class stay, without the name; one who was made one goes too."""
    merge_teachers(ada, LYNN, LIN)
    going = teacher_going(ada, LYNN)
    for words in (
        "Lynn Crane goes as somebody who teaches. Their 1 look and 1 message stay, without their",
        "Thursday stays, and who is in it.",
        "It cannot be taken back",
        "It travels",
    ):
        assert words in going.sentence
    assert (going.much, going.is_named("lynn  crane"), going.is_named("Lin Crane")) == (1, 1, 0)
    assert erase(ada, going).startswith("Lynn Crane is erased for good; what they signed stays")
    assert said_by(ada) == ("an instructor", "an instructor")
    assert len(list_classes(ada)) == 1
    with opened(ada) as book:
        assert book.ask(class_records.teachers) == ()
    left = b"".join(file.read_bytes() for file in ada.path.parent.iterdir() if file.is_file())
    assert (b"Lin Crane" in left, b"Lynn Crane" in left) == (False, False)


def test_what_goes_with_a_setter_is_counted(ada: Session) -> None:
    """Attempts and looks are much; somebody with nothing is little."""
    going = setter_going(ada, ADA)
    assert going.sentence.startswith("Ada Quill goes with 1 attempt and 1 look at their work")
    add_setter(ada, BRAM)
    assert (going.much, setter_going(ada, BRAM).much) == (True, False)
