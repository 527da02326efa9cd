"""Copies made aside: when, where, told in words, and cleared of whoever is erased."""

from datetime import timedelta
from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, NOW, ZONE, a_row, a_row_a_minute, ada_at, logged
from tests.services.school import School, a_school, all_share

from platebook.logbook import LogbookError, defaults
from platebook.logbook.file.copies import copies_folder, kept_copies
from platebook.logbook.file.copying import copy_into
from platebook.services.attempts.recording import amend
from platebook.services.backups import (
    copy_now,
    copy_numbered,
    keep_copies_in,
    look_after,
    whereabouts,
)
from platebook.services.files import backup, check, restore, restored_words
from platebook.services.people.setters import erase_setter, list_setters
from platebook.services.session import LogbookUnusable, Refused, Session, opened
from platebook.services.sharing.erasings import obey_erasing
from platebook.services.sharing.share_folder import share
from platebook.values import replace


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """Ada with three attempts, logged on the evening of `NOW`."""
    ada = ada_at(tmp_path)
    logged(ada, *a_row_a_minute(3))
    return ada


def _later(session: Session, **after: float) -> Session:
    moment = NOW + timedelta(**after)
    return replace(session, clock=lambda: moment)


def _whys(session: Session) -> list[str]:
    return [copy.before for copy in kept_copies(copies_folder(session.path))]


def test_a_copy_by_the_day_is_made_once_it_is_due(session: Session) -> None:
    """Not in the first hour, once a day from then on, and only where something is new."""
    assert look_after(_later(session, minutes=30)) == ()
    assert _whys(session) == []
    for hours in (2, 3, 26):
        look_after(_later(session, hours=hours))
        assert _whys(session) == [""]
    logged(session, a_row(note="new"))
    look_after(_later(session, hours=27))
    look_after(_later(session, hours=28))
    assert _whys(session) == ["", ""]


def test_a_copy_is_made_before_others_work_comes_in(tmp_path: Path) -> None:
    """Before sharing takes anything in, unless one was made ten minutes ago or less."""
    school = a_school(tmp_path)
    logged(school.ada, a_row())
    logged(school.bram, a_row())
    all_share(school, school.bram, school.ada)
    assert _whys(school.ada) == []
    for minutes, whys in ((11, ["share"]), (20, ["share"]), (22, ["share", "share"])):
        logged(school.ada, a_row(note=str(minutes)))
        logged(school.bram, a_row(note=str(minutes)))
        all_share(school, school.bram)
        share(_later(school.ada, minutes=minutes), school.folder)
        assert _whys(school.ada) == whys


def test_the_copies_are_told_in_words_and_put_back_by_number(session: Session) -> None:
    """As a person says it, with how much is in it."""
    copy_now(session)
    logged(session, a_row(note="a fourth"))
    later = _later(session, days=1)
    copy_now(_later(session, hours=1))
    found = whereabouts(later)
    words = [copy.words(later.clock(), ZONE) for copy in found.copies]
    assert words == ["yesterday 20:30, 4 attempts", "yesterday 19:30, 3 attempts"]
    assert (found.attempts, found.copies_size) == (4, sum(copy.size for copy in found.copies))
    restore(session, copy_numbered(session, 2))
    assert whereabouts(session).attempts == 3
    with pytest.raises(Refused, match="read 3, expected 1 to 2"):
        copy_numbered(session, 3)


def test_a_damaged_logbook_still_lists_its_copies(session: Session) -> None:
    """That is when they are needed, and the list says what is wrong."""
    copy = copy_now(session)
    session.path.write_bytes(b"\0" * 4096)
    found = whereabouts(session)
    assert [kept.file for kept in found.copies] == [copy.file]
    assert "is not a logbook" in found.notes[0]


def test_the_copies_on_a_stick_of_a_logbook_that_is_gone_are_listed(
    session: Session, tmp_path: Path
) -> None:
    """A note beside the logbook says where they are, the newest of all first."""
    beside = copy_now(session)
    stick = tmp_path / "stick"
    stick.mkdir()
    keep_copies_in(_later(session, days=1), stick)
    (on_stick,) = kept_copies(next(stick.iterdir()))
    session.path.unlink()
    assert [kept.file for kept in whereabouts(session).copies] == [on_stick.file, beside.file]
    restore(session, copy_numbered(session, 1))
    assert session.path.exists()


def test_a_chosen_place_is_kept_to_and_a_wrong_one_refused(
    session: Session, tmp_path: Path
) -> None:
    """Copies go to a folder of their own in it; a folder that is not there is no place."""
    with pytest.raises(Refused, match="is not a folder that is there"):
        keep_copies_in(session, tmp_path / "stick")
    stick = tmp_path / "stick"
    stick.mkdir()
    folder = keep_copies_in(session, stick)
    assert (folder.parent, len(kept_copies(folder))) == (stick, 1)
    logged(session, a_row(note="new"))
    assert copy_now(session).file.parent == folder
    assert keep_copies_in(session, None) == copies_folder(session.path)
    assert not list(tmp_path.rglob("*-copies-in"))


def test_a_place_that_cannot_be_written_is_a_line_and_stops_nothing(
    session: Session, tmp_path: Path
) -> None:
    """The trouble is said until a copy can be made again."""
    stick = tmp_path / "stick"
    stick.mkdir()
    folder = keep_copies_in(session, stick)
    logged(session, a_row(note="new"))
    for file in folder.iterdir():
        file.unlink()
    folder.rmdir()
    folder.write_text("a file in the way", encoding="utf-8")
    due = _later(session, days=1)
    line = f"No copy of the logbook could be made in {folder}: nothing can be written there."
    assert look_after(due) == (line,)
    assert whereabouts(due).notes[0] == line
    with pytest.raises((LogbookUnusable, LogbookError)):
        copy_now(due)
    folder.unlink()
    assert look_after(_later(session, days=2)) == ()
    assert len(kept_copies(folder)) == 1


def test_one_disk_for_all_is_reminded_of_once_a_month(session: Session) -> None:
    """From fifty attempts on."""
    assert look_after(_later(session, days=1)) == ()
    logged(session, *a_row_a_minute(50))
    said = [bool(look_after(_later(session, days=days))) for days in (2, 3, 31, 33)]
    assert said == [True, False, False, True]
    assert "on one disk" in whereabouts(_later(session, days=33)).notes[0]
    assert whereabouts(session).notes == ()


def test_no_byte_of_an_erased_person_stays_in_any_copy(tmp_path: Path) -> None:
    """From copies by the day, those from before a migration, and what a restore kept."""
    school = a_school(tmp_path)
    logged(school.ada, a_row(note="hers"))
    logged(school.bram, a_row(note="his, whispered"))
    all_share(school, school.ada, school.bram, school.tutor)
    tutor, path = school.tutor, school.tutor.path
    copies = [copy_now(tutor).file, path.with_name("logbook.before-schema-13-1.sqlite")]
    with opened(tutor) as book:
        book.ask(copy_into, copies[1])
    kept = restore(tutor, copies[0]).kept
    assert kept is not None
    told = erase_setter(tutor, BRAM).sentence
    assert "1 copy that the program had kept went too. They were taken out of 2 copies" in told
    for word, there in ((BRAM, False), ("his, whispered", False), (ADA, True), ("hers", True)):
        assert (word.encode() in _bytes_beside(path)) == there
    assert whereabouts(tutor).copies[0].attempts == 1


def _erased_since_a_copy_of_ones_own(session: Session, folder: Path) -> Path:
    """A copy in another folder of Ada's logbook, from which a second setter is erased after it."""
    logged(session, a_row(setter=BRAM))
    copy = folder / "stick.sqlite"
    backup(session, copy)
    erase_setter(session, BRAM)
    return copy


def _who_is_in(session: Session) -> list[str]:
    return sorted(listed.setter.name for listed in list_setters(session))


def test_who_was_erased_since_a_copy_of_ones_own_stays_erased(
    session: Session, tmp_path: Path
) -> None:
    """No byte of them is in the restored logbook, the sentence counts them and says the way."""
    copy = _erased_since_a_copy_of_ones_own(session, tmp_path)
    done = restore(session, copy)
    assert (_who_is_in(session), done.still_erased, check(session)) == ([ADA], 1, ())
    assert BRAM.encode() not in session.path.read_bytes()
    said = " ".join(restored_words(session, copy, done))
    assert "1 person erased since this copy stays erased." in said
    assert "--with-erased" in said


def test_an_erasing_is_remembered_where_the_logbook_cannot_be_read(
    session: Session, tmp_path: Path
) -> None:
    """The newest copy of the program's own knows of it."""
    copy_now(session)
    copy = _erased_since_a_copy_of_ones_own(session, tmp_path)
    session.path.write_bytes(b"lost " * 99)
    restore(session, copy)
    assert _who_is_in(session) == [ADA]


@pytest.mark.parametrize(("days", "there"), [(29, [ADA, BRAM]), (31, [ADA])])
def test_a_mistaken_erasing_is_undone_within_thirty_days(
    days: int, there: list[str], session: Session, tmp_path: Path
) -> None:
    """Whoever was erased longer ago than that stays so."""
    copy = _erased_since_a_copy_of_ones_own(session, tmp_path)
    done = restore(_later(session, days=days), copy, with_erased=True)
    assert (_who_is_in(session), done.back) == (there, len(there) - 1)
    assert check(session) == ()


def test_an_erasing_that_others_asked_for_leaves_its_one_copy(tmp_path: Path) -> None:
    """That from before it, for thirty days; they go from every other."""
    school = _both_know_bram(tmp_path)
    copy = copy_now(school.tutor).file
    erase_setter(school.ada, BRAM)
    share(school.ada, school.folder)
    share(school.tutor, school.folder)
    obey_erasing(school.tutor, BRAM)
    holding = [f.name for f in _files(school.tutor.path) if BRAM.encode() in f.read_bytes()]
    assert [name.split("-2026")[0] for name in holding] == ["logbook.before-erasing"]
    assert copy.exists()


def test_a_copy_that_was_out_of_reach_is_cleared_when_it_is_back(tmp_path: Path) -> None:
    """A stick that was not there at the erasing is brought up to it by the next copy of the day."""
    school = _both_know_bram(tmp_path)
    stick = tmp_path / "stick"
    stick.mkdir()
    folder = keep_copies_in(school.tutor, stick)
    away = stick.rename(tmp_path / "in a drawer")
    erase_setter(school.tutor, BRAM)
    with pytest.raises(LogbookUnusable, match="is not there now"):
        copy_now(school.tutor)
    assert not stick.exists()
    away.rename(stick)
    (copy,) = kept_copies(folder)
    assert BRAM.encode() in copy.file.read_bytes()
    look_after(_later(school.tutor, days=1))
    assert [BRAM.encode() in kept.file.read_bytes() for kept in kept_copies(folder)] == [False]


def test_a_copy_that_cannot_be_read_goes_with_the_person(tmp_path: Path) -> None:
    """Nobody can say what stands in it."""
    school = _both_know_bram(tmp_path)
    copy = copy_now(school.tutor).file
    copy.write_bytes(copy.read_bytes()[:50_000])
    erase_setter(school.tutor, BRAM)
    assert not copy.exists()


def test_the_invented_class_and_what_cannot_be_written_are_let_be(session: Session) -> None:
    """No copies, no reminders, nothing kept."""
    invented = replace(_later(session, days=3), invented=True)
    assert look_after(invented) == ()
    nowhere = replace(session, path=session.path.with_name("none.sqlite"))
    assert look_after(nowhere) == ()
    with opened(session) as book:
        assert book.ask(defaults.default, "trouble with copies") is None
    assert _whys(session) == []


def _both_know_bram(folder: Path) -> School:
    school = a_school(folder)
    logged(school.ada, a_row())
    logged(school.bram, a_row())
    all_share(school, school.bram, school.tutor)
    share(school.ada, school.folder, everyone=True)
    return school


def _files(path: Path) -> list[Path]:
    return sorted(file for file in path.parent.rglob("*") if file.is_file())


def _bytes_beside(path: Path) -> bytes:
    return b"".join(file.read_bytes() for file in _files(path))


@pytest.mark.parametrize(
    ("days", "told"),
    [
        (0, []),
        (-0.5, []),
        (-400, ["clock says 30 December 2024 at", "the last change here was saved on"]),
    ],
)
def test_a_clock_behind_the_last_change_is_told_once_a_day(
    days: float, told: list[str], session: Session
) -> None:
    """With both days and the way to set it right; a day in between is nothing."""
    said = " ".join(look_after(_later(session, days=days)))
    assert [words for words in told if words not in said] == []
    assert ("clock" in said) == bool(told)
    assert look_after(_later(session, days=days, hours=1)) == ()


def test_an_attempt_of_a_day_still_to_come_is_told(session: Session) -> None:
    """As one that was logged while the clock was a year ahead; once it is amended no more."""
    attempt = logged(session, a_row(began="2027-02-03T18:30+00:00"))[0]
    said = " ".join(look_after(_later(session, hours=1)))
    assert "1 attempt is of a day still to come (3 February 2027)" in said
    amend(session, attempt, {"began": "2026-02-03T18:30+00:00"})
    assert look_after(_later(session, days=2)) == ()
