"""Two entries of one person, and a person who asks to be erased."""

import sqlite3
from pathlib import Path

import pytest
from tests.logbook.books import (
    AUTHOR,
    ME,
    NOW,
    a_book,
    a_book_with_setter,
    log,
    signed,
    some_attempts,
)

from platebook.logbook import (
    Logbook,
    LogbookError,
    defaults,
    erasing,
    open_logbook,
    records,
    setter_records,
    undo_redo,
)
from platebook.logbook.attempt_queries import Wanted, count_attempts, select_attempts
from platebook.logbook.bundles.importing import unite
from platebook.logbook.file import integrity
from platebook.logbook.file.opening import copy_into
from platebook.logbook.file.place import companions
from platebook.logbook.records import (
    add_attempts,
    add_inspections,
    add_plate,
    add_setter,
    add_tools,
    merge_setters,
)
from platebook.logbook.revisions import history_of, revisions_by
from platebook.practice.attempt import Attempt
from platebook.practice.records import Inspection, Plate
from platebook.trade.records import Tool

GONE = "Zephyrine Quill"
NOTE = "steadied on the window sill"


def with_a_second_person(book: Logbook) -> str:
    """A person with attempts, a tool, a plate and an inspection; gives their id."""
    person = book.tell(add_setter, GONE, book.stamp(GONE, NOW, "add"))
    assert person.setter_id is not None
    book.tell(
        add_tools, person.setter_id, [Tool(kind="bur", name=NOTE)], book.stamp(GONE, NOW, "add")
    )
    plate = Plate(setter_id=person.setter_id, name=NOTE)
    book.tell(add_plate, plate, book.stamp(GONE, NOW, "add"))
    attempts = [a.with_values(note=NOTE) for a in some_attempts(5, setter_id=person.setter_id)]
    ids = book.tell(add_attempts, attempts, book.stamp(GONE, NOW, "record"))
    look = Inspection(attempt_id=ids[0], inspector=AUTHOR, result=("gap",), comment=NOTE)
    book.tell(add_inspections, [look], signed(book, "inspect"))
    book.tell(records.hide, "attempt", [ids[1]], book.stamp(GONE, NOW, "hide"))
    return person.setter_id


def bytes_on_disk(folder: Path) -> bytes:
    """All bytes of all files of a folder."""
    return b"".join(path.read_bytes() for path in sorted(folder.iterdir()))


def test_two_entries_become_one_and_two_again(tmp_path: Path) -> None:
    """All that was the second one's is the first one's; taking it back restores both."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 3)
        other = with_a_second_person(book)
        book.tell(defaults.set_default, "setter", other)
        before = (
            book.ask(select_attempts),
            book.ask(setter_records.setters),
            book.ask(setter_records.tools, other),
            book.ask(setter_records.inspections, other),
        )
        book.tell(merge_setters, ME, other, signed(book, "merge"))
        assert [setter.setter_id for setter in book.ask(setter_records.setters)] == [ME]
        assert (
            book.ask(count_attempts, Wanted(setter_id=ME)),
            book.ask(count_attempts, Wanted(setter_id=other)),
        ) == (
            7,
            0,
        )
        assert {attempt.setter for attempt in book.ask(select_attempts)} == {AUTHOR}
        assert (
            len(book.ask(setter_records.tools, ME)),
            len(book.ask(setter_records.plates, ME)),
            len(book.ask(setter_records.inspections, ME)),
        ) == (1, 1, 1)
        assert book.ask(defaults.default, "setter") == ME
        assert book.ask(integrity.findings) == ()
        assert book.tell(undo_redo.undo, signed(book, "undo")).words == (
            "Taken back: merge of 5 attempts, 1 plate, 1 setter and 1 tool."
        )
        after = (
            book.ask(select_attempts),
            book.ask(setter_records.setters),
            book.ask(setter_records.tools, other),
            book.ask(setter_records.inspections, other),
        )
        assert after == before
        assert book.ask(defaults.default, "setter") == other
        assert book.ask(integrity.findings) == ()
        book.tell(undo_redo.redo, signed(book, "redo"))
        assert (
            book.ask(defaults.default, "setter"),
            book.ask(count_attempts, Wanted(setter_id=ME)),
        ) == (ME, 7)
        book.tell(undo_redo.undo, signed(book, "undo"))
        assert book.ask(defaults.default, "setter") == other


def test_two_merges_are_taken_back_one_after_the_other(tmp_path: Path) -> None:
    """In use goes back a step at a time, also for entries with nothing to their name."""
    with a_book_with_setter(tmp_path) as book:
        one = book.tell(add_setter, "O. Marsh", signed(book, "add")).setter_id or ""
        two = book.tell(add_setter, "Marsh", signed(book, "add")).setter_id or ""
        book.tell(defaults.set_default, "setter", one)
        book.tell(merge_setters, two, one, signed(book, "merge"))
        book.tell(merge_setters, ME, two, signed(book, "merge"))
        seen = [book.ask(defaults.default, "setter")]
        for _ in range(2):
            book.tell(undo_redo.undo, signed(book, "undo"))
            seen.append(book.ask(defaults.default, "setter"))
        for _ in range(2):
            book.tell(undo_redo.redo, signed(book, "redo"))
            seen.append(book.ask(defaults.default, "setter"))
        assert seen == [ME, two, one, two, ME]


def test_who_was_chosen_since_a_merge_stays_in_use(tmp_path: Path) -> None:
    """Taking the merge back does not take a later choice back."""
    with a_book_with_setter(tmp_path) as book:
        other = book.tell(add_setter, "O. Marsh", signed(book, "add")).setter_id or ""
        third = book.tell(add_setter, "Ansel Reed", signed(book, "add")).setter_id or ""
        book.tell(defaults.set_default, "setter", other)
        book.tell(merge_setters, ME, other, signed(book, "merge"))
        book.tell(defaults.set_default, "setter", third)
        book.tell(undo_redo.undo, signed(book, "undo"))
        assert book.ask(defaults.default, "setter") == third
        assert [name for (name,) in _defaults(tmp_path)] == ["setter"]


def _defaults(folder: Path) -> list[tuple[str]]:
    connection = sqlite3.connect(folder / "book.sqlite")
    try:
        return connection.execute("SELECT name FROM default_value").fetchall()
    finally:
        connection.close()


@pytest.mark.parametrize(
    ("keep", "gone", "cause"),
    [(ME, ME, "refused"), (ME, "unknown", "unknown"), ("unknown", ME, "unknown")],
)
def test_only_two_known_entries_can_be_merged(
    keep: str, gone: str, cause: str, tmp_path: Path
) -> None:
    """One with itself, or with nobody, is refused."""
    with a_book_with_setter(tmp_path) as book:
        with pytest.raises(LogbookError) as caught:
            book.tell(merge_setters, keep, gone, signed(book, "merge"))
        assert caught.value.cause == cause


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
        assert book.ask(integrity.findings) == ()


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
        assert (book.ask(integrity.findings), book.ask(count_attempts)) == ((), 1)
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
        holder.tell(unite, book.ask(revisions_by), holder.new_id(NOW))
        all_of_it = holder.ask(revisions_by)
        book.tell(erasing.erase, book.path, other, NOW)
        united = book.tell(unite, all_of_it, book.new_id(NOW))
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


def test_erasing_again_clears_what_was_left(tmp_path: Path) -> None:
    """Another program that reads keeps old bytes in the file; it is said, and mended later."""
    with a_book_with_setter(tmp_path) as opener:
        other = with_a_second_person(opener)
    path = tmp_path / "book.sqlite"
    with open_logbook(path, wait_s=0.1) as book, open_logbook(path) as reader:
        reader._db.execute("BEGIN")
        reader.ask(count_attempts)
        with pytest.raises(LogbookError, match="erase again") as caught:
            book.tell(erasing.erase, book.path, other, NOW)
        assert caught.value.cause == "busy"
        assert [setter.name for setter in book.ask(setter_records.setters)] == [AUTHOR]
        reader._db.execute("COMMIT")
        assert book.tell(erasing.erase, book.path, other, NOW).attempts == 0
        left = path.read_bytes() + companions(path)[0].read_bytes()
        assert GONE.encode() not in left


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
