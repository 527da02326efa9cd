"""Logbooks that share a folder: each gets what concerns it, and no file can do harm."""

import dataclasses
import shutil
import zipfile
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from tests.logbook.test_survival import files_no_larger_than
from tests.services.bench import (
    ADA,
    BRAM,
    COURSE,
    NOW,
    ZONE,
    a_row,
    a_row_a_minute,
    logged,
    ticking,
)

from platebook.exchange.bundle_reading import read_bundle
from platebook.logbook import open_logbook
from platebook.practice.inspection import Inspection
from platebook.services.answers import bench_of
from platebook.services.desk import Desk
from platebook.services.desks import seated
from platebook.services.faults import LogbookUnusable, Refused, opened
from platebook.services.first_run import begin
from platebook.services.keeping import backup, check, restore
from platebook.services.log import attempt_history, attempts_of, log_page
from platebook.services.recording import amend, undo
from platebook.services.roster import add_setter, erase_setter, listed, merge_setters
from platebook.services.sharing import Shared, export_bundle, import_bundle, share


def desk_of(folder: Path, name: str, setter: str | None = None) -> Desk:
    """The desk of one machine; with a setter in use where one is named."""
    (folder / name).mkdir(exist_ok=True)
    desk = Desk(path=folder / name / "logbook.sqlite", clock=ticking(), zone=ZONE)
    return desk if setter is None else begin(desk, name=setter, course_id=COURSE, tools=())


@dataclasses.dataclass(frozen=True)
class School:
    """Two students and an instructor, each with a machine, and a folder they all can open."""

    ada: Desk
    bram: Desk
    tutor: Desk
    folder: Path


@pytest.fixture
def school(tmp_path: Path) -> School:
    """Nothing is logged yet."""
    (tmp_path / "shared").mkdir()
    return School(
        ada=desk_of(tmp_path, "ada", ADA),
        bram=desk_of(tmp_path, "bram", BRAM),
        tutor=desk_of(tmp_path, "tutor"),
        folder=tmp_path / "shared",
    )


def own_file(school: School, desk: Desk) -> Path:
    """Where a desk's bundle lies in the folder."""
    with opened(desk) as book:
        return school.folder / f"{book.replica}.platebook"


def all_share(school: School, *desks: Desk) -> list[Shared]:
    """Each shares once, in this order."""
    return [share(desk, school.folder) for desk in desks]


def test_each_writes_one_file_and_takes_in_the_others(school: School) -> None:
    """The instructor has everyone; a student has what concerns them."""
    logged(school.ada, *a_row_a_minute(2))
    logged(school.bram, a_row())
    done = all_share(school, school.ada, school.bram, school.tutor, school.ada)
    assert {p.name for p in school.folder.iterdir()} == {
        own_file(school, d).name for d in (school.ada, school.bram, school.tutor)
    }
    assert [len(one.received) for one in done] == [0, 1, 2, 2]
    assert {(p.setter.name, p.attempts) for p in listed(school.tutor)} == {(ADA, 2), (BRAM, 1)}
    assert [p.setter.name for p in listed(school.ada)] == [ADA]
    assert {one.records for one in done[2].received} == {
        (("attempt", 2), ("setter", 1)),
        (("attempt", 1), ("setter", 1)),
    }


def test_everyone_is_taken_in_where_that_is_asked_for(school: School) -> None:
    """`--all` with a setter in use."""
    logged(school.bram, a_row())
    share(school.bram, school.folder)
    share(school.ada, school.folder, everyone=True)
    assert {p.setter.name for p in listed(school.ada)} == {ADA, BRAM}


def test_sharing_twice_is_sharing_once(school: School) -> None:
    """Nothing new comes in, and a file that would say the same is not written again."""
    logged(school.ada, a_row())
    all_share(school, school.ada, school.tutor)
    before = own_file(school, school.ada).stat().st_mtime_ns
    again = all_share(school, school.ada, school.tutor)
    assert [[one.revisions for one in done.received] for done in again] == [[0], [0]]
    assert own_file(school, school.ada).stat().st_mtime_ns == before


def test_a_clash_is_shown_and_settled_by_whoever_amends(school: School) -> None:
    """Everywhere the same one counts meanwhile; the history has both."""
    (attempt_id,) = logged(school.ada, a_row())
    all_share(school, school.ada, school.tutor)
    amend(school.ada, attempt_id, {"note": "mine"})
    amend(school.tutor, attempt_id, {"note": "yours"})
    done = all_share(school, school.ada, school.tutor, school.ada)
    found = (("attempt", attempt_id),)
    assert [one.clashes for one in done] == [(), found, found]
    assert [one.clashes for one in done[2].received] == [found]
    assert attempts_of(school.ada) == attempts_of(school.tutor)
    assert "Two versions stand side by side" in attempt_history(school.ada, attempt_id)[-1]
    assert log_page(school.ada).rows[0].note.startswith("two versions: ")
    amend(school.ada, attempt_id, {"note": "ours"})
    done = all_share(school, school.ada, school.tutor)
    assert [one.clashes for one in done] == [(), ()]
    assert [a.note for a in attempts_of(school.tutor)] == ["ours"]


def test_undo_reaches_only_what_was_done_here(school: School) -> None:
    """What came in stays."""
    logged(school.ada, a_row())
    all_share(school, school.ada, school.tutor)
    with pytest.raises(Refused, match="nothing to take back"):
        undo(school.tutor)
    assert len(attempts_of(school.tutor)) == 1


def test_clocks_that_are_off_decide_nothing(school: School) -> None:
    """A year ahead or an hour behind: the correction made last is the one that counts."""
    (attempt_id,) = logged(school.ada, a_row())
    share(school.ada, school.folder)
    late = dataclasses.replace(school.tutor, clock=ticking(NOW + timedelta(days=365)))
    early = dataclasses.replace(school.ada, clock=ticking(NOW - timedelta(hours=1)))
    share(late, school.folder)
    amend(late, attempt_id, {"note": "a year ahead"})
    all_share(school, late, early)
    amend(early, attempt_id, {"note": "an hour behind"})
    done = all_share(school, early, late)
    assert [one.clashes for one in done] == [(), ()]
    assert [a.note for a in attempts_of(late)] == ["an hour behind"]


def test_two_people_of_one_name_stay_two_until_they_are_made_one(school: School) -> None:
    """The notice names the command; a student's own logbook follows it."""
    mine = add_setter(school.tutor, ADA)
    logged(school.ada, a_row())
    share(school.ada, school.folder)
    done = share(school.tutor, school.folder)
    assert "stands for 2 people" in done.notices[0]
    command = done.notices[0].partition("platebook setter merge ")[2]
    assert set(command.split()) == {mine.setter_id, school.ada.setter_id}
    assert share(school.tutor, school.folder).notices == ()
    theirs = str(school.ada.setter_id)
    merge_setters(school.tutor, str(mine.setter_id), theirs)
    all_share(school, school.tutor, school.ada)
    with opened(school.ada) as book:
        now = seated(school.ada, book)
    assert (now.setter_id, len(attempts_of(now))) == (mine.setter_id, 1)
    assert check(school.ada) == ()


def test_a_logbook_restored_elsewhere_takes_back_what_it_had_shared(
    school: School, tmp_path: Path
) -> None:
    """From a backup of before: what was shared since is there again, and both may go on."""
    logged(school.ada, a_row(note="before"))
    backup(school.ada, tmp_path / "copy.sqlite")
    logged(school.ada, a_row(note="since"))
    share(school.ada, school.folder)
    second = desk_of(tmp_path, "second")
    restore(second, tmp_path / "copy.sqlite")
    second = dataclasses.replace(second, setter_id=school.ada.setter_id, setter_name=ADA)
    with opened(second) as book, opened(school.ada) as old:
        assert book.replica != old.replica
        assert book.former_replicas == (old.replica,)
    share(second, school.folder)
    assert [a.note for a in attempts_of(second)] == ["before", "since"]
    logged(second, a_row(note="elsewhere"))
    logged(school.ada, a_row(note="here"))
    done = all_share(school, second, school.ada, second)
    assert [one.clashes for one in done] == [(), (), ()]
    notes = {a.note for a in attempts_of(school.ada)}
    assert (
        notes == {a.note for a in attempts_of(second)} == {"before", "since", "elsewhere", "here"}
    )


def test_a_restored_logbook_hands_on_what_was_never_shared(school: School, tmp_path: Path) -> None:
    """The machine it was made on is gone for good."""
    logged(school.ada, a_row())
    backup(school.ada, tmp_path / "copy.sqlite")
    second = desk_of(tmp_path, "second")
    restore(second, tmp_path / "copy.sqlite")
    all_share(school, second, school.tutor)
    assert len(attempts_of(school.tutor)) == 1


def test_the_same_file_copied_to_two_machines_loses_nothing(school: School, tmp_path: Path) -> None:
    """Both bear one id and write one file, so each takes the file in before writing it."""
    logged(school.ada, a_row(note="before"))
    twin = desk_of(tmp_path, "twin")
    shutil.copy(school.ada.path, twin.path)
    twin = dataclasses.replace(twin, setter_id=school.ada.setter_id, setter_name=ADA)
    logged(school.ada, a_row(note="one"))
    logged(twin, a_row(note="two"))
    all_share(school, school.ada, twin, school.ada)
    assert {a.note for a in attempts_of(school.ada)} == {"before", "one", "two"}
    assert {a.note for a in attempts_of(twin)} == {"before", "one", "two"}


def test_erasing_travels_and_spares_the_persons_own_logbook(school: School) -> None:
    """Gone from the class and from its bundle; not from where the person is in use."""
    logged(school.ada, a_row())
    logged(school.bram, a_row())
    all_share(school, school.ada, school.bram, school.tutor)
    share(school.ada, school.folder, everyone=True)
    erase_setter(school.tutor, BRAM)
    done = all_share(school, school.tutor, school.ada, school.bram, school.tutor)
    assert [p.setter.name for p in listed(school.tutor)] == [ADA]
    assert [p.setter.name for p in listed(school.ada)] == [ADA]
    assert [(p.setter.name, p.attempts) for p in listed(school.bram)] == [(BRAM, 1)]
    assert {name for one in done[1].received for name in one.people_erased} == {BRAM}
    assert BRAM.encode() not in own_file(school, school.tutor).read_bytes()


def cut_short(data: bytes) -> bytes:
    """The file as a stick pulled too early leaves it."""
    return data[: len(data) // 2]


def touched_up(data: bytes) -> bytes:
    """The file with one word replaced by somebody."""
    return data.replace(b"good", b"loos")


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
    done = share(school.tutor, school.folder)
    assert [one.file for one in done.unread] == [bad.name]
    assert words in done.unread[0].sentence
    assert done.unread[0].sentence.endswith("Nothing of it was taken in.")
    assert [p.setter.name for p in listed(school.tutor)] == [ADA]
    # Its owner is told, keeps what stands there, and goes on once it is moved away.
    with pytest.raises(Refused, match="this logbook's own file, so nothing was shared"):
        share(school.bram, school.folder)
    bad.unlink()
    all_share(school, school.bram, school.tutor)
    assert {p.setter.name for p in listed(school.tutor)} == {ADA, BRAM}


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
    done = share(school.tutor, school.folder)
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
    tick = ticking()

    def pulled() -> datetime:
        shutil.rmtree(school.folder, ignore_errors=True)
        return tick()

    with pytest.raises(Refused, match="No such file or directory"):
        share(dataclasses.replace(school.ada, clock=pulled), school.folder)
    assert (len(attempts_of(school.ada)), check(school.ada)) == (2, ())
    school.folder.mkdir()
    all_share(school, school.ada, school.bram)
    own_file(school, school.tutor).unlink(missing_ok=True)
    done = share(dataclasses.replace(school.tutor, clock=pulled), school.folder)
    assert (len(done.received), len(done.unread)) == (1, 1)
    assert "No such file or directory. Nothing of it was taken in." in done.unread[0].sentence


def test_names_with_markup_formulas_and_emoji_arrive_as_they_are(school: School) -> None:
    """They are text, here and there; marks that turn text around never get in."""
    names = ["[red]Ada[/red]", "=1+1", "@click", "Ada \N{ZERO WIDTH JOINER}\N{FIRE}"]
    for name in names:
        add_setter(school.ada, name)
    all_share(school, school.ada, school.tutor)
    assert {p.setter.name for p in listed(school.tutor)} == {ADA, *names}
    own = own_file(school, school.ada)
    assert add_setter(school.bram, "a\u202eb").name == "ab"
    assert "\u202e".encode() not in own.read_bytes()


def test_a_bundle_travels_by_mail(school: School, tmp_path: Path) -> None:
    """Under any name; first as a rehearsal; never over a file that is there."""
    logged(school.ada, *a_row_a_minute(3))
    file = tmp_path / "evening.platebook"
    assert export_bundle(school.ada, file) == 4
    with pytest.raises(Refused, match="is there already"):
        export_bundle(school.ada, file)
    tried, _ = import_bundle(school.tutor, file, dry_run=True)
    assert (tried.records, attempts_of(school.tutor)) == ((("attempt", 3), ("setter", 1)), ())
    done, _ = import_bundle(school.tutor, file)
    assert (done.records, len(attempts_of(school.tutor))) == (tried.records, 3)
    file.write_bytes(cut_short(file.read_bytes()))
    with pytest.raises(
        Refused, match=r"evening\.platebook: was cut short.*Nothing of it was taken"
    ):
        import_bundle(school.tutor, file)


def test_one_persons_bundle_has_nobody_else_in_it(school: School, tmp_path: Path) -> None:
    """What an instructor mails to a student, inspections included."""
    logged(school.ada, a_row())
    (theirs,) = logged(school.bram, a_row())
    all_share(school, school.ada, school.bram, school.tutor)
    with opened(school.tutor) as book:
        look = Inspection(attempt_id=theirs, inspector="Tutor Vale", result=("gap",))
        book.add_inspections([look], author="Tutor Vale", now=NOW)
    file = tmp_path / "bram.platebook"
    export_bundle(school.tutor, file, about=school.bram.setter_id)
    with file.open("rb") as stream:
        bundle = read_bundle(stream)
    assert {r.kind for r in bundle.revisions} == {"setter", "attempt", "inspection"}
    assert ADA.encode() not in file.read_bytes()
    import_bundle(school.bram, file)
    with opened(school.bram) as book:
        assert [i.inspector for i in book.inspections()] == ["Tutor Vale"]


def test_the_invented_class_is_not_exchanged(school: School) -> None:
    """Nobody who takes it in could tell it from people."""
    invented = dataclasses.replace(school.ada, invented=True)
    with pytest.raises(Refused, match="made up"):
        share(invented, school.folder)
    assert list(school.folder.iterdir()) == []


def test_a_class_of_six_tells_each_member_what_the_others_showed(
    school: School, tmp_path: Path
) -> None:
    """As sums of five or more; fewer tell nothing, and nobody is told of themselves."""
    students = [desk_of(tmp_path, f"s{n}", f"Setter {n}") for n in range(6)]
    for number, desk in enumerate(students):
        rows = a_row_a_minute(24)
        for place in range(number % 3, 24, 3):
            rows[place] |= {"result": "loose", "fit": "5"}
        logged(desk, *rows)
        share(desk, school.folder)
        share(school.tutor, school.folder)
    share(school.tutor, school.folder)
    first = students[0]
    assert bench_of(first).class_sums == ""
    share(first, school.folder)
    sums = bench_of(first).class_sums
    assert '"setters":5' in sums
    assert not any(f"Setter {n}" in sums for n in range(6))
    erase_setter(first, "Setter 0")
    with open_logbook(first.path) as book:
        assert book.default(f"class prior of {first.setter_id}") is None
