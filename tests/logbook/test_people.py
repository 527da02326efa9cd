"""Two entries of one person, and a person who asks to be erased."""

import sqlite3
from pathlib import Path

import pytest
from tests.logbook.books import AUTHOR, ME, NOW, a_book, a_book_with_setter, log, some_attempts

from platebook.logbook import Logbook, LogbookError, open_logbook
from platebook.logbook.durable import companions
from platebook.practice.attempt import Attempt
from platebook.practice.inspection import Inspection
from platebook.practice.plate import Plate
from platebook.trade.drawer import Tool

GONE = "Zephyrine Quill"
NOTE = "steadied on the window sill"


def with_a_second_person(book: Logbook) -> str:
    """A person with attempts, a tool, a plate and an inspection; gives their id."""
    person = book.add_setter(GONE, author=GONE, now=NOW)
    assert person.setter_id is not None
    book.add_tool(person.setter_id, Tool(kind="bur", name=NOTE), author=GONE, now=NOW)
    plate = Plate(setter_id=person.setter_id, name=NOTE)
    book.add_plate(plate, author=GONE, now=NOW)
    attempts = [a.with_values(note=NOTE) for a in some_attempts(5, setter_id=person.setter_id)]
    ids = book.add_attempts(attempts, author=GONE, now=NOW)
    look = Inspection(attempt_id=ids[0], inspector=AUTHOR, result=("gap",), comment=NOTE)
    book.add_inspections([look], author=AUTHOR, now=NOW)
    book.hide("attempt", ids[1], author=GONE, now=NOW)
    return person.setter_id


def bytes_on_disk(folder: Path) -> bytes:
    """All bytes of all files of a folder."""
    return b"".join(path.read_bytes() for path in sorted(folder.iterdir()))


def test_two_entries_become_one_and_two_again(tmp_path: Path) -> None:
    """All that was the second one's is the first one's; taking it back restores both."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 3)
        other = with_a_second_person(book)
        book.set_default("setter", other)
        before = (book.attempts(), book.setters(), book.tools(other), book.inspections(other))
        book.merge_setters(ME, other, author=AUTHOR, now=NOW)
        assert [setter.setter_id for setter in book.setters()] == [ME]
        assert (book.count_attempts(ME), book.count_attempts(other)) == (7, 0)
        assert {attempt.setter for attempt in book.attempts()} == {AUTHOR}
        assert (len(book.tools(ME)), len(book.plates(ME)), len(book.inspections(ME))) == (1, 1, 1)
        assert book.default("setter") == ME
        assert book.check() == ()
        assert book.undo(author=AUTHOR, now=NOW).words == (
            "Taken back: merge of 5 attempts and 1 plate and 1 setter and 1 tool."
        )
        after = (book.attempts(), book.setters(), book.tools(other), book.inspections(other))
        assert after == before
        assert book.default("setter") == other
        assert book.check() == ()
        book.redo(author=AUTHOR, now=NOW)
        assert (book.default("setter"), book.count_attempts(ME)) == (ME, 7)
        book.undo(author=AUTHOR, now=NOW)
        assert book.default("setter") == other


def test_two_merges_are_taken_back_one_after_the_other(tmp_path: Path) -> None:
    """In use goes back a step at a time, also for entries with nothing to their name."""
    with a_book_with_setter(tmp_path) as book:
        one = book.add_setter("O. Marsh", author=AUTHOR, now=NOW).setter_id or ""
        two = book.add_setter("Marsh", author=AUTHOR, now=NOW).setter_id or ""
        book.set_default("setter", one)
        book.merge_setters(two, one, author=AUTHOR, now=NOW)
        book.merge_setters(ME, two, author=AUTHOR, now=NOW)
        seen = [book.default("setter")]
        for _ in range(2):
            book.undo(author=AUTHOR, now=NOW)
            seen.append(book.default("setter"))
        for _ in range(2):
            book.redo(author=AUTHOR, now=NOW)
            seen.append(book.default("setter"))
        assert seen == [ME, two, one, two, ME]


def test_who_was_chosen_since_a_merge_stays_in_use(tmp_path: Path) -> None:
    """Taking the merge back does not take a later choice back."""
    with a_book_with_setter(tmp_path) as book:
        other = book.add_setter("O. Marsh", author=AUTHOR, now=NOW).setter_id or ""
        third = book.add_setter("Ansel Reed", author=AUTHOR, now=NOW).setter_id or ""
        book.set_default("setter", other)
        book.merge_setters(ME, other, author=AUTHOR, now=NOW)
        book.set_default("setter", third)
        book.undo(author=AUTHOR, now=NOW)
        assert book.default("setter") == third
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
            book.merge_setters(keep, gone, author=AUTHOR, now=NOW)
        assert caught.value.cause == cause


def test_an_erased_person_is_gone_to_the_byte(tmp_path: Path) -> None:
    """Neither the name nor a note is in any file of the folder, while the logbook is open.

    Some builds of SQLite overwrite what is deleted; that help is turned off here.
    """
    with a_book_with_setter(tmp_path) as book:
        book._db.execute("PRAGMA secure_delete = OFF")
        log(book, 3)
        other = with_a_second_person(book)
        book.set_default("setter", other)
        for trace in (GONE, NOTE):
            assert trace.encode() in bytes_on_disk(tmp_path)
        assert book.erase(other, now=NOW).attempts == 5
        for trace in (GONE, NOTE):
            assert trace.encode() not in bytes_on_disk(tmp_path)
        assert [setter.name for setter in book.setters()] == [AUTHOR]
        assert book.count_attempts() == book.count_attempts(ME) == 3
        assert (book.default("setter"), book.digest(other)) == (None, "")
        assert (book.tools(other), book.plates(other), book.inspections()) == ((), (), ())
        assert len(book.revisions()) == 4
        assert book.check() == ()


def test_an_erased_person_is_gone_with_the_entries_made_one_with_theirs(tmp_path: Path) -> None:
    """Also one that had no record of its own, and whatever the other entry was called."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 1)
        person = with_a_second_person(book)
        first = book.add_setter("Z. Quill", author=AUTHOR, now=NOW)
        empty = book.add_setter(GONE, author=AUTHOR, now=NOW)
        book.add_tool(str(first.setter_id), Tool(kind="pin"), author="Z. Quill", now=NOW)
        for other in (first, empty):
            book.merge_setters(person, str(other.setter_id), author=AUTHOR, now=NOW)
        book.erase(person, now=NOW)
        assert {r.record_id for r in book.revisions() if r.kind == "setter"} == {ME}
        assert (book.check(), book.count_attempts()) == ((), 1)
    left = bytes_on_disk(tmp_path)
    assert (GONE.encode() in left, b"Z. Quill" in left) == (False, False)


def test_what_the_person_did_for_others_stays_unsigned(tmp_path: Path) -> None:
    """Their name leaves the changes they made to other people's records."""
    with a_book_with_setter(tmp_path) as book:
        other = with_a_second_person(book)
        (record_id,) = book.add_attempts(some_attempts(1), author=GONE, now=NOW)
        book.erase(other, now=NOW)
        past = book.history("attempt", record_id)
        assert [version.revision.change.author for version in past.versions] == ["erased"]


def test_a_name_that_two_people_bear_stays_with_the_other(tmp_path: Path) -> None:
    """Changes signed with it may be the other one's."""
    with a_book_with_setter(tmp_path) as book:
        twin = book.add_setter(AUTHOR, author=AUTHOR, now=NOW)
        log(book, 1)
        assert twin.setter_id is not None
        book.erase(twin.setter_id, now=NOW)
        assert {r.change.author for r in book.revisions()} == {AUTHOR}
        assert book.undo(author=AUTHOR, now=NOW).done


def test_an_import_of_several_people_loses_only_the_one(tmp_path: Path) -> None:
    """The change stays for the others, and can still be taken back for them."""
    with a_book_with_setter(tmp_path) as book:
        other = with_a_second_person(book)
        mixed = [*some_attempts(2), Attempt(setter_id=other)]
        book.add_attempts(mixed, author=AUTHOR, now=NOW, what="import")
        book.erase(other, now=NOW)
        assert book.count_attempts() == 2
        step = book.undo(author=AUTHOR, now=NOW)
        assert step.words == "Taken back: import of 2 attempts."


def test_nothing_brings_an_erased_person_back(tmp_path: Path) -> None:
    """Not what another logbook still holds, and not the id in a later import."""
    with a_book_with_setter(tmp_path) as book, a_book(tmp_path, "other.sqlite") as holder:
        other = with_a_second_person(book)
        holder.unite(book.revisions(), now=NOW)
        all_of_it = holder.revisions()
        book.erase(other, now=NOW)
        united = book.unite(all_of_it, now=NOW)
        assert (united.added, united.erased) == (0, len(all_of_it) - 1)
        assert [setter.name for setter in book.setters()] == [AUTHOR]
        assert book.count_attempts() == 0
        with pytest.raises(LogbookError, match="is taken already"):
            book.add_attempts(
                [Attempt(attempt_id=a.attempt_id, setter_id=ME) for a in holder.attempts()],
                author=AUTHOR,
                now=NOW,
            )


def test_erasing_again_clears_what_was_left(tmp_path: Path) -> None:
    """Another program that reads keeps old bytes in the file; it is said, and mended later."""
    with a_book_with_setter(tmp_path) as opener:
        other = with_a_second_person(opener)
    path = tmp_path / "book.sqlite"
    with open_logbook(path, wait_s=0.1) as book, open_logbook(path) as reader:
        reader._db.execute("BEGIN")
        reader.count_attempts()
        with pytest.raises(LogbookError, match="erase again") as caught:
            book.erase(other, now=NOW)
        assert caught.value.cause == "busy"
        assert [setter.name for setter in book.setters()] == [AUTHOR]
        reader._db.execute("COMMIT")
        assert book.erase(other, now=NOW).attempts == 0
        left = path.read_bytes() + companions(path)[0].read_bytes()
        assert GONE.encode() not in left


def test_copies_that_may_still_hold_the_person_are_named(tmp_path: Path) -> None:
    """Erasing does not reach into them, so it says where they are."""
    with a_book_with_setter(tmp_path) as book:
        other = with_a_second_person(book)
        copy = tmp_path / "book.before-schema-2-1.sqlite"
        book.backup(copy)
        assert book.erase(other, now=NOW).copies == (copy,)


def test_only_a_known_person_can_be_erased(tmp_path: Path) -> None:
    """An id with a typing error erases nobody."""
    with a_book_with_setter(tmp_path) as book:
        with pytest.raises(LogbookError, match="Nothing was erased") as caught:
            book.erase("unknown", now=NOW)
        assert caught.value.cause == "unknown"
