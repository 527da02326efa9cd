"""Copies that the program makes by itself: named, kept by the rule, let go."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from tests.logbook.books import NOW, a_book_with_setter, log

from platebook.logbook import LogbookError
from platebook.logbook.file.copies import (
    Copy,
    attempts_in,
    copies_folder,
    kept_copies,
    make_copy,
    may_be_one_disk,
    surplus,
    too_large,
)

TODAY = date(2026, 2, 3)


def _at(moment: datetime) -> Copy:
    return Copy(Path(f"{moment:%Y%m%dT%H%M%S}"), moment, "", 1)


def test_a_copy_is_found_again_by_what_its_name_says(tmp_path: Path) -> None:
    """When it was made, before what, and how much is in it."""
    folder = tmp_path / "copies"
    with a_book_with_setter(tmp_path) as book:
        log(book, 3)
        made = book.ask(make_copy, 1, folder, NOW, "import")
    (folder / "notes.txt").write_text("none of ours", encoding="utf-8")
    assert kept_copies(folder) == (made,)
    assert (made.made, made.before, attempts_in(made.file)) == (NOW, "import", 3)
    assert [file.name for file in folder.iterdir() if file.name.startswith(".")] == []


def test_a_copy_that_says_it_all_serves_again(tmp_path: Path) -> None:
    """One more is made once something is new, in the same second too."""
    folder = tmp_path / "copies"
    with a_book_with_setter(tmp_path) as book:
        first = book.ask(make_copy, 1, folder, NOW)
        assert book.ask(make_copy, 1, folder, NOW + timedelta(days=1)) == first
        log(book, 1)
        second = book.ask(make_copy, 1, folder, NOW)
        assert second.file != first.file
    assert {copy.file for copy in kept_copies(folder)} == {first.file, second.file}


def test_a_damaged_copy_does_not_serve(tmp_path: Path) -> None:
    """What cannot be read back is no copy, whatever its name."""
    folder = tmp_path / "copies"
    with a_book_with_setter(tmp_path) as book:
        first = book.ask(make_copy, 1, folder, NOW)
        first.file.write_bytes(first.file.read_bytes()[:5000])
        assert attempts_in(first.file) is None
        assert book.ask(make_copy, 1, folder, NOW).file != first.file


def test_what_a_killed_program_left_in_the_folder_goes(tmp_path: Path) -> None:
    """Hidden halves of copies are removed when the next one is made."""
    folder = copies_folder(tmp_path / "book.sqlite")
    folder.mkdir()
    half = folder / ".2026-02-03T000000Z.sqlite.0a1b.new"
    half.write_bytes(b"half of a copy")
    with a_book_with_setter(tmp_path) as book:
        book.ask(make_copy, 1, folder, NOW)
    assert not half.exists()


def test_where_there_is_no_room_none_is_made(tmp_path: Path) -> None:
    """The logbook goes first: a copy may not take the last of a disk."""
    with a_book_with_setter(tmp_path) as book, pytest.raises(LogbookError) as refusal:
        book.ask(make_copy, 2**60, tmp_path / "copies", NOW)
    assert refusal.value.cause == "full"
    assert not (tmp_path / "copies").exists()


def test_ten_of_today_seven_days_and_eight_weeks_stay() -> None:
    """Of a copy every two hours for a hundred days, and the newest always."""
    noon = datetime(2026, 2, 3, 23, tzinfo=UTC)
    copies = [_at(noon - timedelta(hours=2 * n)) for n in range(12 * 100)]
    too_many = surplus(copies, TODAY, UTC)
    kept = [copy.made for copy in copies if copy not in too_many]
    assert kept[:10] == [noon - timedelta(hours=2 * n) for n in range(10)]
    days = [TODAY - timedelta(days=n) for n in range(1, 8)]
    assert [moment.date() for moment in kept[10:17]] == days
    # Sundays end weeks; two of the eight are told by today and by a day already.
    weeks = [date(2026, 1, 25) - timedelta(days=7 * n) for n in range(6)]
    assert [moment.date() for moment in kept[17:]] == weeks
    assert {moment.hour for moment in kept[10:]} == {23}


def test_a_clock_set_wrong_lets_nothing_go_but_what_is_too_many() -> None:
    """Copies dated later than today count as today's; one copy alone always stays."""
    later = [_at(datetime(2030, 1, day, tzinfo=UTC)) for day in range(1, 4)]
    assert surplus(later, TODAY, UTC) == ()
    old = [_at(datetime(2020, 1, 1, tzinfo=UTC))]
    assert surplus([*later, *old], TODAY, UTC) == tuple(old)


def test_copies_take_a_tenth_of_the_disk_but_the_newest_stay(tmp_path: Path) -> None:
    """Three of them, however large the logbook has grown."""
    large = [Copy(Path(str(n)), NOW, "", 2**60) for n in range(5)]
    assert too_large(large, tmp_path) == tuple(large[3:])
    assert too_large([_at(NOW)] * 20, tmp_path) == ()


def test_two_places_of_one_disk_are_told(tmp_path: Path) -> None:
    """The same folder is; a place that is not there counts as the same, to be on the safe side."""
    assert may_be_one_disk(tmp_path, tmp_path)
    assert may_be_one_disk(tmp_path, tmp_path / "none")
    if Path("/proc/self").exists():
        assert not may_be_one_disk(tmp_path, Path("/proc"))
