"""An erased instructor: their looks and sign-offs stay, and their name goes everywhere."""

import dataclasses
from pathlib import Path

import pytest
from tests.logbook.books import ME, NOW, a_book, a_book_with_setter, log, receive, signed

from platebook.logbook import Logbook, LogbookError, erasing, setter_records
from platebook.logbook.bundles.exporting import bundle_of
from platebook.logbook.bundles.importing import unite
from platebook.logbook.erasing import NOBODY
from platebook.logbook.file import integrity
from platebook.logbook.records import add_inspections, add_setter, add_sign_off
from platebook.logbook.revisions import revisions_by
from platebook.practice.records import Inspection, SignOff

TUTOR = "Zinnia Falk-Aurelio"
OTHER = "Bram Osk"


def looked_at(book: Logbook) -> str:
    """Three attempts looked at: by the tutor's id, by their name as typed, by somebody else."""
    ids = log(book, 3)
    tutor = book.tell(add_setter, TUTOR, book.stamp(TUTOR, NOW, "add")).setter_id or ""
    looks = [
        Inspection(attempt_id=one, inspector=by, result=("gap",), comment="again")
        for one, by in zip(ids, (tutor, TUTOR.upper(), OTHER), strict=True)
    ]
    book.tell(add_inspections, looks, book.stamp(TUTOR, NOW, "inspect"))
    given = SignOff(setter_id=ME, course="c", grade="g", signed_by=TUTOR, attempt_id=ids[0])
    book.tell(add_sign_off, given, book.stamp(TUTOR, NOW, "add"))
    return tutor


def signers(book: Logbook) -> list[str]:
    """Who looked and who signed, as it stands."""
    looks = [look.inspector for look in book.ask(setter_records.inspections, ME)]
    return [*looks, *(one.signed_by for one in book.ask(setter_records.sign_offs, ME))]


def in_bytes(folder: Path) -> bool:
    """Whether the tutor's name is in any byte of any file, in whatever case."""
    return any(
        TUTOR.lower().encode() in path.read_bytes().lower() for path in sorted(folder.iterdir())
    )


def test_the_looks_stay_and_the_name_goes(tmp_path: Path) -> None:
    """By id and by name, in what stands, in the past and in the bytes; others keep theirs."""
    with a_book_with_setter(tmp_path) as book:
        tutor = looked_at(book)
        before = book.ask(setter_records.inspections, ME)
        assert in_bytes(tmp_path)
        book.tell(erasing.erase, book.path, tutor, NOW)
        assert signers(book) == [NOBODY, NOBODY, OTHER, NOBODY]
        assert [look.result for look in book.ask(setter_records.inspections, ME)] == [
            look.result for look in before
        ]
        assert not any(tutor in r.record for r in book.ask(revisions_by))
        assert not in_bytes(tmp_path)
        assert book.ask(integrity.findings) == ()


def test_a_name_that_somebody_else_bears_too_stays(tmp_path: Path) -> None:
    """It may be theirs; what carries the id of the one who is erased loses it."""
    with a_book_with_setter(tmp_path) as book:
        tutor = looked_at(book)
        book.tell(add_setter, TUTOR, signed(book, "add"))
        book.tell(erasing.erase, book.path, tutor, NOW)
        assert signers(book) == [NOBODY, TUTOR.upper(), OTHER, TUTOR]


@pytest.mark.parametrize("times", [1, 2])
def test_it_goes_from_other_logbooks_too(times: int, tmp_path: Path) -> None:
    """The setter's own has the looks already; taking in again changes no more."""
    home = tmp_path / "home"
    home.mkdir()
    with a_book_with_setter(tmp_path, "class.sqlite") as book, a_book(home) as mine:
        tutor = looked_at(book)
        receive(mine, book.ask(bundle_of), only=ME, spared=ME)
        named = book.ask(bundle_of)
        book.tell(erasing.erase, book.path, tutor, NOW)
        for _ in range(times):
            receive(mine, book.ask(bundle_of), only=ME, spared=ME)
        assert signers(mine) == [NOBODY, NOBODY, OTHER, NOBODY]
        assert not in_bytes(home)
        assert mine.ask(integrity.findings) == ()
        # An old bundle that comes late does not bring the name back.
        receive(mine, named, only=ME, spared=ME)
        assert signers(mine) == [NOBODY, NOBODY, OTHER, NOBODY]


def test_it_goes_where_the_person_was_never_known(tmp_path: Path) -> None:
    """A logbook that has the look alone takes the name off it as the class's did."""
    with a_book_with_setter(tmp_path, "class.sqlite") as book, a_book(tmp_path) as mine:
        tutor = looked_at(book)
        some = [r for r in book.ask(revisions_by) if r.kind != "setter" or r.record_id == ME]
        mine.tell(unite, some, mine.new_id(NOW))
        book.tell(erasing.erase, book.path, tutor, NOW)
        done = mine.tell(
            unite, (r for r in book.ask(revisions_by) if r.record_id != tutor), mine.new_id(NOW)
        )
        assert (done.unnamed, signers(mine)) == (3, [NOBODY, NOBODY, OTHER, NOBODY])


def test_nothing_else_of_a_look_may_differ(tmp_path: Path) -> None:
    """Without its name it is compared all the same."""
    with a_book_with_setter(tmp_path, "class.sqlite") as book, a_book(tmp_path) as mine:
        tutor = looked_at(book)
        mine.tell(unite, book.ask(revisions_by), mine.new_id(NOW))
        book.tell(erasing.erase, book.path, tutor, NOW)
        forged = [
            dataclasses.replace(r, record=r.record.replace("again", "never"))
            for r in book.ask(revisions_by)
        ]
        with pytest.raises(LogbookError, match="with another content"):
            mine.tell(unite, forged, mine.new_id(NOW))
        assert NOBODY not in signers(mine)
