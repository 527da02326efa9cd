"""Start files: nobody becomes two people, and a teacher has everyone who is theirs."""

import json
from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, a_row, logged
from tests.services.school import answered, desk_of

from platebook.logbook.file import integrity
from platebook.logbook.history.revisions import clashes
from platebook.services.attempts.log import attempt_with, inspections_of
from platebook.services.classes.enrolment import Details, list_classes, new_class
from platebook.services.classes.inspections import inspect
from platebook.services.classes.listed_names import read_names
from platebook.services.people.doubles import doubles, unite
from platebook.services.people.setters import add_setter, list_setters
from platebook.services.people.teachers import begin_teaching
from platebook.services.session import Refused, Session, opened
from platebook.services.sharing.let_in import let_in_from_folder, let_into, waiting_people
from platebook.services.sharing.share_folder import share
from platebook.services.sharing.start_files import (
    begin_from,
    begin_with_file,
    kept_folder,
    share_there_too,
    write_start_files,
)
from platebook.values import replace

ISOLDE = "Isolde Crane"
FAY = "Fay Moor"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The folder of the class."""
    (tmp_path / "shared").mkdir()
    return tmp_path / "shared"


@pytest.fixture
def teaching(tmp_path: Path) -> Session:
    """Isolde's machine, with Ada and Bram on Thursdays."""
    session = begin_teaching(desk_of(tmp_path, "tutor"), name=ISOLDE)
    new_class(session, "Thursday", read_names(session, [ADA, BRAM], {}), Details())
    return session


def test_a_student_who_begins_with_their_file_is_the_person_of_the_list(
    tmp_path: Path, teaching: Session, folder: Path
) -> None:
    """The same id, class, teacher and folder; no clash, and what is looked at reaches them."""
    files = write_start_files(teaching, "Thursday", tmp_path / "starts", str(folder))
    assert [each.file.name for each in files] == [f"{ADA}.start.json", f"{BRAM}.start.json"]
    begun = begin_from(desk_of(tmp_path, "ada"), files[0].file)
    ada = begun.session
    assert (ada.setter_id, ada.setter_name, begun.share) == (files[0].setter_id, ADA, str(folder))
    assert "Class: Thursday with Isolde Crane." in begun.sentences
    assert kept_folder(ada) == folder
    (one,) = logged(ada, a_row())
    share(ada, folder)
    share(teaching, folder)
    assert [(p.setter.name, p.attempts) for p in list_setters(teaching)] == [(ADA, 1), (BRAM, 0)]
    inspect(teaching, one, "0", comment="Well closed.")
    share(teaching, folder)
    share(ada, folder)
    (look,) = inspections_of(ada, attempt_with(ada, one))
    assert (look.inspector, look.comment) == (ISOLDE, "Well closed.")
    assert [p.setter.name for p in list_setters(ada)] == [ADA]
    assert [(c.term.name, c.members) for c in list_classes(ada)] == [("Thursday", 1)]
    for session in (ada, teaching):
        with opened(session) as book:
            assert (book.ask(clashes), book.ask(integrity.problems_in)) == ((), ())


def test_beginning_twice_and_writing_again_change_nothing(
    tmp_path: Path, teaching: Session
) -> None:
    """A file is renewed under its name; another one of that name is left."""
    (one, _) = write_start_files(teaching, "Thursday", tmp_path)
    (again, _) = write_start_files(teaching, "Thursday", tmp_path)
    desk = desk_of(tmp_path, "ada")
    assert begin_with_file(desk, f"'{one.file}'").setter_id == again.setter_id
    assert begin_with_file(desk, f"file://{one.file}").setter_id == again.setter_id
    with pytest.raises(Refused, match=r"~nobody_such/a\.start\.json: there is no such home"):
        begin_with_file(desk, "~nobody_such/a.start.json")
    begin_from(desk, again.file)
    assert [p.setter.name for p in list_setters(desk)] == [ADA]
    one.file.write_text("my letter", encoding="utf-8")
    with pytest.raises(Refused, match="is not Ada Quill's start file"):
        write_start_files(teaching, "Thursday", tmp_path)


def test_the_teacher_shares_where_the_students_do(
    tmp_path: Path, teaching: Session, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A folder that is here is kept as it is found from anywhere; a place kept before stays."""
    monkeypatch.chdir(tmp_path)
    assert not share_there_too(teaching, "on the student's machine")
    assert share_there_too(teaching, folder.name)
    assert kept_folder(teaching) == folder
    (tmp_path / "another").mkdir()
    assert not share_there_too(teaching, "another")
    (first, *_) = write_start_files(teaching, "Thursday", tmp_path / "starts", folder.name)
    assert kept_folder(begin_from(desk_of(tmp_path, "ada"), first.file).session) == folder


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"platebook": "letter"}, "no start file"),
        ({"format": 2}, "newer platebook"),
        ({"bundle": "AAAA"}, "Ask for it again"),
        ({"bundle": "no base 64"}, "Ask for it again"),
        ({"setter_id": "somebody"}, "does not hold the person"),
        ({"name": None}, "lacks who it is for"),
    ],
    ids=str,
)
def test_a_file_that_is_not_sound_is_refused(
    change: dict[str, object], said: str, tmp_path: Path, teaching: Session
) -> None:
    """In one sentence, with nothing taken in."""
    (one, _) = write_start_files(teaching, "Thursday", tmp_path)
    start = json.loads(one.file.read_text(encoding="utf-8")) | change
    one.file.write_text(json.dumps(start), encoding="utf-8")
    desk = desk_of(tmp_path, "ada")
    with pytest.raises(Refused, match=said):
        begin_from(desk, one.file)
    assert list_setters(desk) == ()


def test_who_began_by_themselves_is_told_and_made_one(tmp_path: Path, teaching: Session) -> None:
    """Their own log goes to the person of the list, whose place in the class stays."""
    desk = desk_of(tmp_path, "ada", "Ada Quil")
    logged(desk, a_row())
    (one, _) = write_start_files(teaching, "Thursday", tmp_path)
    begun = begin_from(desk, one.file)
    assert any("Ada Quil is in this logbook too" in sentence for sentence in begun.sentences)
    (pair,) = doubles(begun.session)
    assert (pair.keep.name, pair.keep.group, pair.gone.name) == (ADA, "Thursday", "Ada Quil")
    assert "are one now, with 1 attempt" in unite(begun.session, pair)
    assert [(p.setter.name, p.classes) for p in list_setters(desk)] == [(ADA, ("Thursday",))]


def test_strangers_in_the_folder_wait_to_be_let_in(
    tmp_path: Path, teaching: Session, folder: Path
) -> None:
    """They are named, taken in when that is said, and put into a class."""
    fay = desk_of(tmp_path, "fay", FAY)
    logged(fay, a_row(), a_row())
    share(fay, folder)
    done = share(teaching, folder)
    assert [(w.name, w.attempts) for w in done.waiting] == [(FAY, 2)]
    assert len(list_setters(teaching)) == 2
    assert [w.name for w in waiting_people(teaching)] == [FAY]
    wrong = share(teaching, folder, let_in=["Faye Moor"])
    assert wrong.notices == ("Nobody of the name 'Faye Moor' waits to be let in.",)
    done = share(teaching, folder, let_in=[FAY])
    assert (done.waiting, waiting_people(teaching)) == ((), ())
    let_into(teaching, "Thursday", [FAY])
    found = {p.setter.name: (p.attempts, p.classes) for p in list_setters(teaching)}
    assert found[FAY] == (2, ("Thursday",))


def test_one_is_let_in_from_where_they_were_found(
    tmp_path: Path, teaching: Session, folder: Path
) -> None:
    """As the screen does it; a folder that is not there is said."""
    share(desk_of(tmp_path, "fay", FAY), folder)
    share(teaching, folder)
    (waits,) = waiting_people(teaching)
    gone = replace(waits, folder=str(tmp_path / "gone"))
    with pytest.raises(Refused, match="is not there now"):
        let_in_from_folder(teaching, gone)
    assert "joined Thursday" in let_in_from_folder(teaching, waits, "Thursday")


def test_strangers_wait_before_there_is_a_class_and_where_nobody_is_in_use(
    tmp_path: Path, folder: Path
) -> None:
    """A folder brings nobody along who was not let in; whoever has no name is no stranger."""
    teaching = begin_teaching(desk_of(tmp_path, "tutor"), name=ISOLDE)
    add_setter(teaching, BRAM)
    for name, desk in ((ADA, "ada"), (FAY, "fay")):
        share(desk_of(tmp_path, desk, name), folder)
    done = share(teaching, folder)
    assert {each.name for each in done.waiting} == {ADA, FAY}
    share(teaching, folder, let_in=[FAY])
    assert {p.setter.name for p in list_setters(teaching)} == {BRAM, FAY}
    nobody = desk_of(tmp_path, "nobody")
    assert {each.name for each in share(nobody, folder).waiting} == {ADA, BRAM, FAY}
    assert list_setters(nobody) == ()
    assert {each.name for each in waiting_people(nobody)} == {ADA, BRAM, FAY}


def test_whom_a_second_teacher_put_into_the_class_comes_in(
    tmp_path: Path, teaching: Session, folder: Path
) -> None:
    """In whatever order the files are read."""
    share(teaching, folder)
    second = begin_teaching(desk_of(tmp_path, "second"), name="Corin Vale")
    share(second, folder)
    fay = desk_of(tmp_path, "fay", FAY)
    logged(fay, a_row())
    share(fay, folder)
    share(second, folder, everyone=True)
    let_into(second, "Thursday", [FAY])
    share(second, folder)
    done = share(teaching, folder)
    assert [one.kinds for one in done.left_out] == [(("membership", 1),)]
    done = share(answered(teaching), folder)
    assert done.waiting == ()
    assert (FAY, 1) in {(p.setter.name, p.attempts) for p in list_setters(teaching)}
