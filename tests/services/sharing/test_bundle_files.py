"""Files in the shared folder that are not what they should be: none of them does harm."""

import itertools
import os
import shutil
import zipfile
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from tests.logbook.test_survival import files_no_larger_than
from tests.services.bench import ADA, BRAM, a_row, a_row_a_minute, logged, ticking
from tests.services.school import School, a_school, all_share, own_file

from platebook.services.attempts.log import attempts_of
from platebook.services.files import check
from platebook.services.people.setters import add_setter, list_setters
from platebook.services.session import LogbookUnusable, Refused
from platebook.services.sharing.share_folder import share
from platebook.values import replace


@pytest.fixture
def school(tmp_path: Path) -> School:
    """Nothing is logged yet."""
    return a_school(tmp_path)


def cut_short(data: bytes) -> bytes:
    """The file as a stick pulled too early leaves it."""
    return data[: len(data) // 2]


def touched_up(data: bytes) -> bytes:
    """The file with one word replaced by somebody."""
    return data.replace(b"good", b"high")


def newer(data: bytes) -> bytes:
    """The file as a later program might begin it."""
    return data.replace(b'"format":1', b'"format":9')


@pytest.mark.parametrize(
    ("damage", "words"),
    [
        (cut_short, "was cut short"),
        (touched_up, "was altered after it was written"),
        (newer, "was written by a newer platebook (format 9"),
        (lambda _: b"", "is empty"),
        (lambda _: b"{}", "is not a bundle that platebook wrote"),
    ],
)
def test_one_bad_file_is_named_and_the_others_come_in(
    school: School, damage: Callable[[bytes], bytes], words: str
) -> None:
    """Nothing of it is taken in, and nobody else waits for it."""
    logged(school.ada, a_row())
    logged(school.bram, a_row())
    all_share(school, school.ada, school.bram)
    bad = own_file(school, school.bram)
    bad.write_bytes(damage(bad.read_bytes()))
    (done,) = all_share(school, school.tutor)
    assert [one.file for one in done.unread] == [bad.name]
    assert words in done.unread[0].sentence
    assert done.unread[0].sentence.endswith("Nothing of it was taken in.")
    assert [p.setter.name for p in list_setters(school.tutor)] == [ADA]
    # Its owner is told, keeps what stands there, and goes on once it is moved away.
    with pytest.raises(Refused, match="this logbook's own file, so nothing was shared"):
        share(school.bram, school.folder)
    bad.unlink()
    all_share(school, school.bram, school.tutor)
    assert {p.setter.name for p in list_setters(school.tutor)} == {ADA, BRAM}


def test_odd_things_in_the_folder_are_named(school: School) -> None:
    """A zip in disguise, a link, a folder, a bundle under another's name; other files are not."""
    logged(school.bram, a_row())
    share(school.bram, school.folder)
    own = own_file(school, school.bram)
    with zipfile.ZipFile(school.folder / "a.platebook", "w") as archive:
        archive.write(own, own.name)
    (school.folder / "b.platebook").symlink_to(own)
    (school.folder / "c.platebook").mkdir()
    shutil.copy(own, school.folder / "d.platebook")
    (school.folder / "notes.txt").write_text("not for us", encoding="utf-8")
    (school.folder / ".e.platebook").write_text("half written", encoding="utf-8")
    (done,) = all_share(school, school.tutor)
    said = {one.file: one.sentence for one in done.unread}
    assert sorted(said) == ["a.platebook", "b.platebook", "c.platebook", "d.platebook"]
    assert "is a zip archive" in said["a.platebook"]
    assert "is a link to another file" in said["b.platebook"]
    assert "under another name; give it that name, or import it" in said["d.platebook"]
    assert [one.file for one in done.received] == [own.name]


def test_another_logbooks_bundle_under_the_own_name_is_not_written_over(school: School) -> None:
    """It may be the only copy there is."""
    logged(school.bram, a_row())
    share(school.bram, school.folder)
    theirs = own_file(school, school.bram).read_bytes()
    mine = own_file(school, school.ada)
    mine.write_bytes(theirs)
    with pytest.raises(Refused, match="under another name"):
        share(school.ada, school.folder)
    assert mine.read_bytes() == theirs


def test_a_folder_that_is_not_there_is_not_made(school: School) -> None:
    """A stick that is not plugged in."""
    gone = school.folder / "stick"
    with pytest.raises(Refused, match="is not a folder that is there"):
        share(school.ada, gone)
    assert not gone.exists()


def test_a_full_disk_leaves_the_file_that_was_there(school: School) -> None:
    """And no half file beside it; with room again it goes on."""
    logged(school.ada, a_row())
    share(school.ada, school.folder)
    own = own_file(school, school.ada)
    before = own.read_bytes()
    logged(school.ada, *a_row_a_minute(30, position="7"))
    with files_no_larger_than(len(before) + 1000), pytest.raises((Refused, LogbookUnusable)):
        share(school.ada, school.folder)
    assert own.read_bytes() == before
    assert [p.name for p in school.folder.iterdir()] == [own.name]
    share(school.ada, school.folder)
    assert len(own.read_bytes()) > len(before)


def test_a_folder_that_vanishes_while_sharing(school: School) -> None:
    """Before the own file is written: nothing was shared. After it: the others are named."""
    logged(school.ada, a_row())
    logged(school.bram, a_row())
    all_share(school, school.ada, school.bram, school.tutor)
    logged(school.ada, a_row())
    # Written at another time, the own file is read again before it is written.
    os.utime(own_file(school, school.ada), (0, 0))
    tick = ticking()

    def pulled() -> datetime:
        shutil.rmtree(school.folder, ignore_errors=True)
        return tick()

    with pytest.raises(Refused, match="No such file or directory"):
        share(replace(school.ada, clock=pulled), school.folder)
    assert (len(attempts_of(school.ada)), check(school.ada)) == (2, ())
    school.folder.mkdir()
    all_share(school, school.ada, school.bram)
    own_file(school, school.tutor).unlink(missing_ok=True)
    asked = itertools.count()
    after_the_copy = replace(school.tutor, clock=lambda: pulled() if next(asked) else tick())
    done = share(after_the_copy, school.folder)
    assert (len(done.received), len(done.unread)) == (1, 1)
    assert "No such file or directory. Nothing of it was taken in." in done.unread[0].sentence


def test_names_with_markup_formulas_and_emoji_arrive_as_they_are(school: School) -> None:
    """They are text, here and there; marks that turn text around never get in."""
    names = ["[red]Ada[/red]", "=1+1", "@click", "Ada \N{ZERO WIDTH JOINER}\N{FIRE}"]
    for name in names:
        add_setter(school.ada, name)
    all_share(school, school.ada, school.tutor)
    assert {p.setter.name for p in list_setters(school.tutor)} == {ADA, *names}
    own = own_file(school, school.ada)
    assert add_setter(school.bram, "a\u202eb").name == "ab"
    assert "\u202e".encode() not in own.read_bytes()
