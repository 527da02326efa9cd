"""Adding, correcting and hiding records, and making two entries of one person one."""

import sqlite3
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.logbook.any_attempt import any_attempts, full_attempt
from tests.logbook.books import (
    AUTHOR,
    ME,
    NOW,
    a_book,
    a_book_with_setter,
    log,
    signed,
    some_attempts,
    with_a_second_person,
)
from tests.logbook.handed_on import revisions_by

from platebook.logbook import LogbookError, defaults, records, setter_records
from platebook.logbook.attempts.attempt_queries import (
    attempt_by_id,
    count_attempts,
    select_attempts,
)
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.logbook.file import integrity
from platebook.logbook.history import undo_redo
from platebook.logbook.history.revisions import history_of
from platebook.logbook.records import add_attempts, add_setter, merge_setters
from platebook.practice.attempt import Attempt
from platebook.practice.records import Setter

LATER = NOW + timedelta(hours=1)


@pytest.mark.slow
@settings(
    max_examples=15,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(attempts=st.lists(any_attempts(ME), max_size=4))
def test_whatever_is_logged_comes_back(attempts: list[Attempt], tmp_path: Path) -> None:
    """Every field of every attempt, exactly, from the file itself."""
    name = f"{len(list(tmp_path.iterdir()))}.sqlite"
    with a_book_with_setter(tmp_path, name) as book:
        ids = book.tell(add_attempts, attempts, signed(book, "record"))
    with a_book(tmp_path, name) as book:
        found = {attempt.attempt_id: attempt for attempt in book.ask(select_attempts)}
        assert [found[i] for i in ids] == [
            attempt.with_values(attempt_id=i, setter=AUTHOR)
            for i, attempt in zip(ids, attempts, strict=True)
        ]
        assert book.ask(integrity.problems_in) == ()


def test_a_full_attempt_keeps_its_times_offset(tmp_path: Path) -> None:
    """Equal times may differ in offset; this one does not."""
    with a_book_with_setter(tmp_path) as book:
        book.tell(add_attempts, [full_attempt(ME)], signed(book, "record"))
        began = book.ask(select_attempts)[0].began
        assert began is not None
        assert began.utcoffset() == timedelta(hours=-3)


def test_ids_are_kept_or_given_in_order(tmp_path: Path) -> None:
    """What comes with an id keeps it; the others get one each, rising as they came."""
    own = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
    attempts = some_attempts(4)
    attempts[2] = attempts[2].with_values(attempt_id=own)
    with a_book_with_setter(tmp_path) as book:
        ids = book.tell(add_attempts, attempts, signed(book, "record"))
        assert ids[2] == own
        assert list(ids[:2] + ids[3:]) == sorted({*ids} - {own})


def test_an_id_stands_for_one_record(tmp_path: Path) -> None:
    """Twice in one import, or one that stands already: refused, and nothing lands."""
    with a_book_with_setter(tmp_path) as book:
        (standing,) = log(book, 1)
        new = some_attempts(1)[0].with_values(attempt_id="an id")
        for attempts in ([new, new], [new, new.with_values(attempt_id=standing)]):
            with pytest.raises(LogbookError, match="is taken already") as caught:
                book.tell(add_attempts, attempts, signed(book, "record"))
            assert caught.value.cause == "duplicate"
        assert book.ask(count_attempts) == 1
        assert book.ask(records.taken_ids, "attempt", ["an id", standing]) == {standing}


def test_what_was_taken_back_can_be_imported_again(tmp_path: Path) -> None:
    """A file with ids of its own, mended after an undo: setter and attempts come back as theirs."""
    person = Setter(setter_id="from the file", name="Ansel Reed")
    attempts = [
        attempt.with_values(attempt_id=f"row {number}")
        for number, attempt in enumerate(some_attempts(3, setter_id="from the file"))
    ]
    with a_book_with_setter(tmp_path) as book:
        for note in ("wrong", "mended"):
            rows = [attempt.with_values(note=note) for attempt in attempts]
            book.tell(add_attempts, rows, signed(book, "import"), new_setters=[person])
            assert {a.note for a in book.ask(select_attempts)} == {note}
            if note == "wrong":
                assert book.tell(undo_redo.undo, signed(book, "undo")).done
        assert book.ask(count_attempts, Wanted(setter_id="from the file")) == 3
        past = book.ask(history_of, "attempt", "row 0")
        assert [v.revision.hidden for v in past.versions] == [False, True, False]
        assert not past.clash
        assert book.tell(undo_redo.undo, signed(book, "undo")).done
        assert (book.ask(count_attempts), book.ask(integrity.problems_in)) == (0, ())


def test_an_attempt_belongs_to_a_setter_who_is_known(tmp_path: Path) -> None:
    """Nobody, somebody unknown and somebody hidden are refused."""
    with a_book_with_setter(tmp_path) as book:
        gone = book.tell(add_setter, "Ansel Reed", signed(book, "add"))
        assert gone.setter_id is not None
        book.tell(records.hide, "setter", [gone.setter_id], signed(book, "hide"))
        for setter_id in (None, "unknown", gone.setter_id):
            with pytest.raises(LogbookError, match="no setter with the id") as caught:
                book.tell(add_attempts, [Attempt(setter_id=setter_id)], signed(book, "record"))
            assert caught.value.cause == "unknown"
        assert book.ask(count_attempts) == 0


def test_new_setters_come_with_their_attempts_as_one_change(tmp_path: Path) -> None:
    """An import that brings a person is taken back with the person."""
    new = Setter(setter_id="someone new", name="Ansel Reed")
    with a_book_with_setter(tmp_path) as book:
        book.tell(
            add_attempts,
            some_attempts(3, setter_id="someone new"),
            signed(book, "import"),
            new_setters=[new],
        )
        assert book.ask(setter_records.setters)[-1] == new
        step = book.tell(undo_redo.undo, signed(book, "undo"))
        assert step.words == "Taken back: import of 3 attempts and 1 setter."
        assert [setter.setter_id for setter in book.ask(setter_records.setters)] == [ME]


def test_adding_nothing_is_no_change(tmp_path: Path) -> None:
    """An empty import leaves no trace."""
    with a_book_with_setter(tmp_path) as book:
        before = book.ask(revisions_by)
        assert book.tell(add_attempts, [], signed(book, "import")) == ()
        assert book.ask(revisions_by) == before


def test_a_correction_that_changes_nothing_is_no_change(tmp_path: Path) -> None:
    """So nothing is there to be taken back."""
    with a_book_with_setter(tmp_path) as book:
        (record_id,) = log(book, 1)
        attempt = book.ask(attempt_by_id, record_id)
        assert attempt is not None
        digest = book.ask(defaults.digest, ME)
        assert (
            book.tell(
                records.amend, "attempt", record_id, attempt, book.stamp(AUTHOR, LATER, "amend")
            )
            is None
        )
        assert book.ask(defaults.digest, ME) == digest


def test_a_hidden_record_is_gone_from_view_and_not_from_the_past(tmp_path: Path) -> None:
    """Nothing is ever deleted; hiding twice is hiding once; correcting it is refused."""
    with a_book_with_setter(tmp_path) as book:
        first, second = log(book, 2)
        assert (
            book.tell(records.hide, "attempt", [first], book.stamp(AUTHOR, LATER, "hide"))
            is not None
        )
        assert (
            book.tell(records.hide, "attempt", [first], book.stamp(AUTHOR, LATER, "hide")) is None
        )
        assert [attempt.attempt_id for attempt in book.ask(select_attempts)] == [second]
        assert len(book.ask(history_of, "attempt", first).versions) == 2
        with pytest.raises(LogbookError, match="was taken out") as caught:
            book.tell(
                records.amend,
                "attempt",
                first,
                some_attempts(1)[0],
                book.stamp(AUTHOR, LATER, "amend"),
            )
        assert caught.value.cause == "refused"


def test_a_setter_with_attempts_is_not_hidden(tmp_path: Path) -> None:
    """The attempts would be nobody's; without them the setter may go."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 2)
        with pytest.raises(LogbookError, match="has 2 attempts that stand") as caught:
            book.tell(records.hide, "setter", [ME], signed(book, "hide"))
        assert caught.value.cause == "refused"
        book.tell(undo_redo.undo, signed(book, "undo"))
        book.tell(records.hide, "setter", [ME], signed(book, "hide"))
        assert book.ask(setter_records.setters) == ()


@pytest.mark.parametrize(("kind", "cause"), [("attempt", "unknown"), ("lamp", "unknown")])
def test_what_is_not_there_cannot_be_changed(kind: str, cause: str, tmp_path: Path) -> None:
    """An unknown record and an unknown kind are said."""
    with a_book_with_setter(tmp_path) as book:
        changes: tuple[Callable[[], object], ...] = (
            lambda: book.tell(records.hide, kind, ["x"], signed(book, "hide")),
            lambda: book.tell(records.amend, kind, "x", Attempt(), signed(book, "amend")),
        )
        for change in changes:
            with pytest.raises(LogbookError) as caught:
                change()
            assert caught.value.cause == cause
        assert book.ask(history_of, "attempt", "x").versions == ()


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
        assert book.ask(integrity.problems_in) == ()
        assert book.tell(undo_redo.undo, signed(book, "undo")).words == (
            f"Taken back: merge of {before[1][1].name} into {AUTHOR}, "
            "with 5 attempts, 1 plate and 1 tool."
        )
        after = (
            book.ask(select_attempts),
            book.ask(setter_records.setters),
            book.ask(setter_records.tools, other),
            book.ask(setter_records.inspections, other),
        )
        assert after == before
        assert book.ask(defaults.default, "setter") == other
        assert book.ask(integrity.problems_in) == ()
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
