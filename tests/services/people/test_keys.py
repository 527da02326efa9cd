"""The keys of a logbook: another machine by a paper code or a hand-over, and what others hear."""

import shutil
import sqlite3
from pathlib import Path

import pytest
from tests.services.bench import ADA, a_row, ada_at, logged
from tests.services.school import School, a_school, all_share, desk_of, own_file

from platebook.logbook.file.place import keys_folder
from platebook.services.attempts.log import attempts_of
from platebook.services.backups import look_after
from platebook.services.files import backup, check, restore, unsigned_words
from platebook.services.people.keys import (
    forget,
    hand_over_to,
    keys_here,
    own_paper_code,
    put_back_key,
    trust,
)
from platebook.services.people.setters import add_setter, merge_setters
from platebook.services.session import Refused, Session
from platebook.services.sharing.share_folder import share
from platebook.services.sharing.unsigned import how_to_answer, left_out_here, left_out_words
from platebook.values import replace


@pytest.fixture
def school(tmp_path: Path) -> School:
    """The tutor has met Ada's key."""
    school = a_school(tmp_path)
    logged(school.ada, a_row(note="at home"))
    all_share(school, school.ada, school.tutor)
    return school


def new_machine(tmp_path: Path, school: School) -> Session:
    """Ada's logbook restored from a backup on another machine: no key came along."""
    backup(school.ada, tmp_path / "copy.sqlite")
    desk = desk_of(tmp_path, "second")
    restore(desk, tmp_path / "copy.sqlite")
    return replace(desk, setter_id=school.ada.setter_id, setter_name=ADA, author=ADA)


def notes(session: Session, school: School) -> list[str]:
    """The notes of Ada's attempts there."""
    whose = session.for_setter(str(school.ada.setter_id), ADA)
    return sorted(str(a.note) for a in attempts_of(whose))


def key_here(session: Session) -> str:
    """The letters of the key with which Ada signs there."""
    return next(k.fingerprint for k in keys_here(session) if k.signs_here and k.name == ADA)


def test_a_paper_code_brings_the_key_to_another_machine(tmp_path: Path, school: School) -> None:
    """Others notice nothing of the change."""
    code, letters = own_paper_code(school.ada)
    second = new_machine(tmp_path, school)
    said = put_back_key(second, code.lower())
    assert said == f"{ADA} signs with the key {letters} again."
    assert put_back_key(second, code) == f"This is the key of {ADA} already."
    logged(second, a_row(note="elsewhere"))
    done = all_share(school, second, school.tutor)
    assert (done[0].notices, done[1].left_out) == ((), ())
    assert notes(school.tutor, school) == ["at home", "elsewhere"]


def test_what_was_signed_before_the_code_was_typed_is_hers_too(
    tmp_path: Path, school: School
) -> None:
    """The key that comes back hands over to the one that the machine had made meanwhile."""
    code, _ = own_paper_code(school.ada)
    second = new_machine(tmp_path, school)
    logged(second, a_row(note="before the code"))
    all_share(school, second, school.tutor)
    assert notes(school.tutor, school) == ["at home"]
    put_back_key(second, code)
    all_share(school, second, school.tutor)
    assert notes(school.tutor, school) == ["at home", "before the code"]


def test_a_damaged_key_is_told_and_comes_back_from_paper(tmp_path: Path) -> None:
    """Whoever works, checks and shares hears that nothing is signed, and of the code."""
    ada = ada_at(tmp_path)
    logged(ada, a_row())
    code, letters = own_paper_code(ada)
    file = keys_folder(ada.path) / f"{ada.setter_id}.key"
    file.write_bytes(file.read_bytes()[:40])
    logged(ada, a_row(note="while it was damaged"))
    (told,) = check(ada)
    assert told.startswith(f"The private key of {ADA} cannot be read ({file}), so what")
    assert told in look_after(ada)
    assert told not in look_after(ada)
    with pytest.raises(Refused) as refused:
        own_paper_code(ada)
    assert refused.value.sentence == told
    (tmp_path / "shared").mkdir()
    assert told in share(ada, tmp_path / "shared").notices
    assert put_back_key(ada, code).startswith(f"{ADA} signs with the key {letters} again.")
    assert check(ada) == ()
    assert unsigned_words(ada) == (
        "1 of 3 revisions is not signed: done here later, while no key could be read or kept, or"
        " written anew without a name."
    )


def test_a_closed_folder_of_keys_is_told(tmp_path: Path) -> None:
    """A file in its place is as closed as one that its owner may not read."""
    ada = ada_at(tmp_path)
    shutil.rmtree(keys_folder(ada.path))
    keys_folder(ada.path).write_text("", encoding="ascii")
    (told,) = check(ada)
    assert told.startswith(f"The folder of private keys {keys_folder(ada.path)} cannot be read")


def test_what_is_not_signed_says_since_when(school: School) -> None:
    """Done before there were keys, or later without one."""
    file = keys_folder(school.ada.path) / f"{school.ada.setter_id}.key"
    db = sqlite3.connect(school.ada.path)
    with db:
        db.execute("DELETE FROM signature")
    db.close()
    assert unsigned_words(school.ada) is None
    logged(school.ada, a_row())
    file.unlink()
    file.write_text("", encoding="ascii")
    logged(school.ada, a_row())
    said = str(unsigned_words(school.ada))
    assert "done before this logbook had keys; 1 done here later" in said


def test_a_wrong_code_changes_nothing(school: School) -> None:
    """It says what to look at."""
    before = keys_here(school.ada)
    with pytest.raises(Refused, match="code: read 4 letters, expected 28"):
        put_back_key(school.ada, "7K2M")
    assert keys_here(school.ada) == before


def test_a_hand_over_travels(tmp_path: Path, school: School) -> None:
    """The machine of before says that the new key is Ada's, and the tutor hears of it."""
    second = new_machine(tmp_path, school)
    logged(second, a_row(note="elsewhere"))
    done = all_share(school, second, school.tutor, school.ada)
    letters = key_here(second)
    assert f"platebook key hand-over {letters}" in done[0].notices[0]
    (left,) = left_out_here(school.tutor)
    assert left_out_words(left) == (
        f"1 attempt in the name of {ADA} is signed with another key, {letters}."
    )
    assert "let them hand over" in how_to_answer(left)
    assert hand_over_to(school.ada, letters).startswith(f"{ADA} signs with {letters} too")
    all_share(school, school.ada, school.tutor)
    share(school.tutor, school.folder)
    assert notes(school.tutor, school) == ["at home", "elsewhere"]
    assert left_out_here(school.tutor) == ()
    share(school.ada, school.folder)
    assert notes(school.ada, school) == ["at home", "elsewhere"]


def test_a_hand_over_and_what_it_lets_in_come_by_one_share(tmp_path: Path, school: School) -> None:
    """Whichever of the two files is read first; what was left out before is said no more."""
    second = new_machine(tmp_path, school)
    logged(second, a_row(note="elsewhere"))
    all_share(school, second, school.tutor, school.ada)
    hand_over_to(school.ada, key_here(second))
    share(school.ada, school.folder)
    done = share(school.tutor, school.folder)
    assert notes(school.tutor, school) == ["at home", "elsewhere"]
    assert (done.left_out, [one.left_out for one in done.received]) == ((), [(), ()])
    came = {one.file: one.records for one in done.received}
    assert came[own_file(school, second).name] == (("attempt", 1),)


def test_a_key_that_was_compared_is_trusted(tmp_path: Path, school: School) -> None:
    """Where the machine of before is gone and no paper was written."""
    second = new_machine(tmp_path, school)
    logged(second, a_row(note="elsewhere"))
    all_share(school, second, school.tutor)
    with pytest.raises(Refused, match="no bundle brought a key 0000 of"):
        trust(school.tutor, ADA, "0000")
    trust(school.tutor, ADA, key_here(second))
    share(school.tutor, school.folder)
    assert notes(school.tutor, school) == ["at home", "elsewhere"]


def test_a_key_that_was_forgotten_signs_for_nobody(school: School) -> None:
    """What was signed with it before stays; one that signs here is not forgotten."""
    letters = key_here(school.ada)
    forget(school.tutor, ADA, letters)
    assert [key.name for key in keys_here(school.tutor)] == []
    with pytest.raises(Refused, match="signs in this logbook itself"):
        forget(school.ada, ADA, letters)


def test_a_merge_takes_the_key_along(school: School) -> None:
    """Two entries of Ada's made one on her own machine: she goes on with the key others know."""
    letters = key_here(school.ada)
    kept = str(add_setter(school.ada, "Ada Q.").setter_id)
    merge_setters(school.ada, kept, str(school.ada.setter_id))
    ada = school.ada.for_setter(kept, ADA)
    logged(ada, a_row(note="as one"))
    assert {k.fingerprint for k in keys_here(ada) if k.signs_here} == {letters}
    done = all_share(school, ada, school.tutor)
    assert done[1].left_out == ()
    assert own_file(school, ada).exists()


def test_an_invented_class_signs_nothing(tmp_path: Path) -> None:
    """It is never exchanged."""
    invented = replace(ada_at(tmp_path), invented=True)
    with pytest.raises(Refused, match="made up"):
        own_paper_code(invented)
