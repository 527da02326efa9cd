"""A person who asks to be erased: their bytes, and their name on what they did for others."""

from pathlib import Path

import pytest
from tests.logbook.books import (
    AUTHOR,
    GONE,
    ME,
    NOTE,
    NOW,
    a_book,
    a_book_with_setter,
    log,
    receive,
    receive_revisions,
    signed,
    some_attempts,
    with_a_second_person,
)
from tests.logbook.handed_on import bundle_of, revisions_by

from platebook.logbook import Logbook, LogbookError, defaults, open_logbook, setter_records
from platebook.logbook.attempts.attempt_queries import count_attempts, select_attempts
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.logbook.erasures import erasing
from platebook.logbook.erasures.held_back import obey
from platebook.logbook.file import integrity
from platebook.logbook.file.copying import copy_into
from platebook.logbook.file.place import companions, new_file
from platebook.logbook.history import undo_redo
from platebook.logbook.history.revisions import history_of
from platebook.logbook.records import (
    add_attempts,
    add_inspections,
    add_setter,
    add_sign_off,
    add_tools,
    merge_setters,
)
from platebook.practice.attempt import Attempt
from platebook.practice.records import Inspection, SignOff
from platebook.practice.revision import NOBODY
from platebook.trade.records import Tool
from platebook.values import replace


def bytes_on_disk(folder: Path) -> bytes:
    """All bytes of all files of a folder."""
    return b"".join(path.read_bytes() for path in sorted(folder.iterdir()))


def test_an_erased_person_is_gone_to_the_byte(tmp_path: Path) -> None:
    """Neither the name nor a note is in any file of the folder, while the logbook is open.

    Some builds of SQLite overwrite what is deleted; that help is turned off here.
    """
    with a_book_with_setter(tmp_path) as book:
        book._db.execute("PRAGMA secure_delete = OFF")
        log(book, 3)
        other = with_a_second_person(book)
        book.tell(defaults.set_default, "setter", other)
        for trace in (GONE, NOTE):
            assert trace.encode() in bytes_on_disk(tmp_path)
        assert book.tell(erasing.erase, book.path, other, NOW).attempts == 5
        for trace in (GONE, NOTE):
            assert trace.encode() not in bytes_on_disk(tmp_path)
        assert [setter.name for setter in book.ask(setter_records.setters)] == [AUTHOR]
        assert book.ask(count_attempts) == book.ask(count_attempts, Wanted(setter_id=ME)) == 3
        assert (book.ask(defaults.default, "setter"), book.ask(defaults.digest, other)) == (
            None,
            "",
        )
        assert (
            book.ask(setter_records.tools, other),
            book.ask(setter_records.plates, other),
            book.ask(setter_records.inspections),
        ) == ((), (), ())
        assert len(book.ask(revisions_by)) == 4
        assert book.ask(integrity.problems_in) == ()


def test_an_erased_person_is_gone_with_the_entries_made_one_with_theirs(tmp_path: Path) -> None:
    """Also one that had no record of its own, and whatever the other entry was called."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 1)
        person = with_a_second_person(book)
        first = book.tell(add_setter, "Z. Quill", signed(book, "add"))
        empty = book.tell(add_setter, GONE, signed(book, "add"))
        book.tell(
            add_tools, str(first.setter_id), [Tool(kind="pin")], book.stamp("Z. Quill", NOW, "add")
        )
        for other in (first, empty):
            book.tell(merge_setters, person, str(other.setter_id), signed(book, "merge"))
        book.tell(erasing.erase, book.path, person, NOW)
        assert {r.record_id for r in book.ask(revisions_by) if r.kind == "setter"} == {ME}
        assert (book.ask(integrity.problems_in), book.ask(count_attempts)) == ((), 1)
    left = bytes_on_disk(tmp_path)
    assert (GONE.encode() in left, b"Z. Quill" in left) == (False, False)


def test_what_the_person_did_for_others_stays_unsigned(tmp_path: Path) -> None:
    """Their name leaves the changes they made to other people's records."""
    with a_book_with_setter(tmp_path) as book:
        other = with_a_second_person(book)
        (record_id,) = book.tell(add_attempts, some_attempts(1), book.stamp(GONE, NOW, "record"))
        book.tell(erasing.erase, book.path, other, NOW)
        past = book.ask(history_of, "attempt", record_id)
        assert [version.revision.change.author for version in past.versions] == ["erased"]


def test_a_name_that_two_people_bear_stays_with_the_other(tmp_path: Path) -> None:
    """Changes signed with it may be the other one's."""
    with a_book_with_setter(tmp_path) as book:
        twin = book.tell(add_setter, AUTHOR, signed(book, "add"))
        log(book, 1)
        assert twin.setter_id is not None
        book.tell(erasing.erase, book.path, twin.setter_id, NOW)
        assert {r.change.author for r in book.ask(revisions_by)} == {AUTHOR}
        assert book.tell(undo_redo.undo, signed(book, "undo")).done


def test_an_import_of_several_people_loses_only_the_one(tmp_path: Path) -> None:
    """The change stays for the others, and can still be taken back for them."""
    with a_book_with_setter(tmp_path) as book:
        other = with_a_second_person(book)
        mixed = [*some_attempts(2), Attempt(setter_id=other)]
        book.tell(add_attempts, mixed, signed(book, "import"))
        book.tell(erasing.erase, book.path, other, NOW)
        assert book.ask(count_attempts) == 2
        step = book.tell(undo_redo.undo, signed(book, "undo"))
        assert step.words == "Taken back: import of 2 attempts."


def test_nothing_brings_an_erased_person_back(tmp_path: Path) -> None:
    """Not what another logbook still holds, and not the id in a later import."""
    with a_book_with_setter(tmp_path) as book, a_book(tmp_path, "other.sqlite") as holder:
        other = with_a_second_person(book)
        receive_revisions(holder, book.ask(revisions_by))
        all_of_it = holder.ask(revisions_by)
        book.tell(erasing.erase, book.path, other, NOW)
        united = receive_revisions(book, all_of_it)
        assert (united.added, united.erased) == (0, len(all_of_it) - 1)
        assert [setter.name for setter in book.ask(setter_records.setters)] == [AUTHOR]
        assert book.ask(count_attempts) == 0
        with pytest.raises(LogbookError, match="is taken already"):
            book.tell(
                add_attempts,
                [
                    Attempt(attempt_id=a.attempt_id, setter_id=ME)
                    for a in holder.ask(select_attempts)
                ],
                signed(book, "record"),
            )


def test_erasing_beside_a_reader_is_done_and_says_what_the_reader_keeps(tmp_path: Path) -> None:
    """The rows are gone; the bytes go when the last program that has the file open lets go."""
    with a_book_with_setter(tmp_path) as opener:
        other = with_a_second_person(opener)
    path = tmp_path / "book.sqlite"
    with open_logbook(path, wait_s=0.1) as book, open_logbook(path) as reader:
        reader._db.execute("BEGIN")
        reader.ask(count_attempts)
        erased = book.tell(erasing.erase, book.path, other, NOW)
        assert (erased.attempts, erased.cleared) == (5, False)
        assert [setter.name for setter in book.ask(setter_records.setters)] == [AUTHOR]
        again = book.tell(erasing.erase, book.path, other, NOW)
        assert (again.attempts, again.cleared) == (0, False)
        reader._db.execute("COMMIT")
    assert GONE.encode() not in path.read_bytes()
    assert [beside for beside in companions(path) if beside.exists()] == []


def test_erasing_reaches_what_a_killed_program_had_begun_to_write(tmp_path: Path) -> None:
    """A hidden half of a copy is removed; one that is still being written is left to its writer."""
    with a_book_with_setter(tmp_path) as book:
        other = with_a_second_person(book)
        dead = tmp_path / ".book.sqlite.0a1b.new"
        dead.write_bytes(GONE.encode())
        with new_file(tmp_path / "copy.sqlite") as alive:
            alive.write_bytes(b"half")
            book.tell(erasing.erase, book.path, other, NOW)
            assert (dead.exists(), alive.exists()) == (False, True)


def test_copies_that_may_still_hold_the_person_are_named(tmp_path: Path) -> None:
    """Erasing does not reach into them, so it says where they are."""
    with a_book_with_setter(tmp_path) as book:
        other = with_a_second_person(book)
        copy = tmp_path / "book.before-schema-2-1.sqlite"
        book.ask(copy_into, copy)
        assert book.tell(erasing.erase, book.path, other, NOW).copies == (copy,)


def test_only_a_known_person_can_be_erased(tmp_path: Path) -> None:
    """An id with a typing error erases nobody."""
    with a_book_with_setter(tmp_path) as book:
        with pytest.raises(LogbookError, match="Nothing was erased") as caught:
            book.tell(erasing.erase, book.path, "unknown", NOW)
        assert caught.value.cause == "unknown"


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
        assert book.ask(integrity.problems_in) == ()


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
        # Their own entry stays until somebody here obeys.
        mine.tell(obey, mine.path, tutor)
        assert not in_bytes(home)
        assert mine.ask(integrity.problems_in) == ()
        # An old bundle that comes late does not bring the name back.
        receive(mine, named, only=ME, spared=ME)
        assert signers(mine) == [NOBODY, NOBODY, OTHER, NOBODY]


def test_it_goes_where_the_person_was_never_known(tmp_path: Path) -> None:
    """A logbook that has the look alone takes the name off it as the class's did."""
    with a_book_with_setter(tmp_path, "class.sqlite") as book, a_book(tmp_path) as mine:
        tutor = looked_at(book)
        some = [r for r in book.ask(revisions_by) if r.kind != "setter" or r.record_id == ME]
        receive_revisions(mine, some)
        book.tell(erasing.erase, book.path, tutor, NOW)
        others = (r for r in book.ask(revisions_by) if r.record_id != tutor)
        done = receive_revisions(mine, others)
        assert (done.unnamed, signers(mine)) == (3, [NOBODY, NOBODY, OTHER, NOBODY])


def test_nothing_else_of_a_look_may_differ(tmp_path: Path) -> None:
    """Without its name it is compared all the same."""
    with a_book_with_setter(tmp_path, "class.sqlite") as book, a_book(tmp_path) as mine:
        tutor = looked_at(book)
        receive_revisions(mine, book.ask(revisions_by))
        book.tell(erasing.erase, book.path, tutor, NOW)
        forged = [
            replace(r, record=r.record.replace("again", "never")) for r in book.ask(revisions_by)
        ]
        with pytest.raises(LogbookError, match="with another content"):
            receive_revisions(mine, forged)
        assert NOBODY not in signers(mine)
