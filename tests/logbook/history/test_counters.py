"""Counters that ran ahead: refused at the door, mended where they are, and the same everywhere."""

import tempfile
from collections.abc import Iterable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.logbook.books import a_book, a_book_with_setter, log, receive_revisions, signed
from tests.logbook.handed_on import revisions_by
from tests.logbook.replicas import shared_revisions

from platebook.logbook import Logbook, LogbookError, records, setter_records
from platebook.logbook.attempts.attempt_queries import select_attempts
from platebook.logbook.file import integrity
from platebook.logbook.file.checksums import fill_checksums
from platebook.logbook.file.connection import Database
from platebook.logbook.history import counters
from platebook.logbook.history.revisions import replica_of
from platebook.practice.revision import Revision
from platebook.values import replace

FAR = 10**12


def ahead(revisions: Iterable[Revision], by: int = FAR) -> tuple[Revision, ...]:
    """The same revisions with counters that are far ahead."""
    return tuple(
        replace(r, change=replace(r.change, counter=r.change.counter + by)) for r in revisions
    )


def poison(book: Logbook, by: int = FAR, *, since: int | None = None) -> None:
    """Let changes run ahead from this counter on, the last one where none is said.

    So it stands in a logbook whose program took in whatever number a bundle brought.
    """
    book.tell(_run_ahead, by, since)


def _run_ahead(db: Database, by: int, since: int | None) -> None:
    start = db.execute("SELECT max(counter) FROM change").fetchone()[0] if since is None else since
    for table in ("change", "revision"):
        db.execute(
            f"UPDATE {table} SET counter = counter + ?, checksum = NULL WHERE counter >= ?",  # noqa: S608 - names of our own
            [by, start],
        )
    fill_checksums(db)


def test_a_counter_far_ahead_is_refused_at_the_door_and_says_what_to_do(tmp_path: Path) -> None:
    """Nothing of that bundle comes in, and what is made here afterwards counts on as before."""
    with a_book_with_setter(tmp_path, "one.sqlite") as one, a_book(tmp_path, "two.sqlite") as two:
        log(one, 2)
        sound = one.ask(revisions_by)
        with pytest.raises(LogbookError, match=r"far ahead.*check --mend"):
            receive_revisions(two, ahead(sound))
        assert two.ask(revisions_by) == ()
        assert receive_revisions(two, sound).added == len(sound)


def test_a_mended_logbook_is_read_by_others_again(tmp_path: Path) -> None:
    """The order stays, what stands stays, and only the numbers are others."""
    with a_book_with_setter(tmp_path, "one.sqlite") as one, a_book(tmp_path, "two.sqlite") as two:
        receive_revisions(two, one.ask(revisions_by))
        log(one, 2)
        poison(one)
        log(one, 1)
        before = one.ask(select_attempts)
        order = [r.revision_id for r in one.ask(revisions_by)]
        with pytest.raises(LogbookError, match="far ahead"):
            receive_revisions(two, one.ask(revisions_by))
        assert (one.ask(counters.runaway) or "").count("") + FAR > counters.REACH
        done = one.tell(counters.mend)
        assert done is not None
        assert (done.changes, done.highest_before, done.highest) == (2, FAR + 3, 3)
        assert one.ask(counters.runaway) is None
        assert one.tell(counters.mend) is None
        assert one.ask(integrity.problems_in) == ()
        assert (one.ask(select_attempts), [r.revision_id for r in one.ask(revisions_by)]) == (
            before,
            order,
        )
        receive_revisions(two, one.ask(revisions_by, one.ask(replica_of)))
        assert two.ask(select_attempts) == before


def test_a_bit_that_flipped_is_not_vouched_for_by_numbering_anew(tmp_path: Path) -> None:
    """Mending is refused with what was altered; the check tells it afterwards as before."""
    with a_book_with_setter(tmp_path, "one.sqlite") as one:
        log(one, 2)
        poison(one)
        one.tell(_flip)
        before = one.ask(integrity.problems_in)
        with pytest.raises(LogbookError, match=r"does not read as it was saved.*nothing was"):
            one.tell(counters.mend)
        assert any("does not read as it was saved" in told for told in before)
        assert one.ask(integrity.problems_in) == before
        assert one.ask(counters.runaway) is not None


def _flip(db: Database) -> None:
    last = "SELECT max(counter) FROM revision"
    db.execute(
        f"UPDATE revision SET record = replace(record, 'good', 'gone') WHERE counter = ({last})"  # noqa: S608 - a text of our own
    )


@pytest.mark.parametrize("first", ["one", "two"])
def test_two_that_had_the_same_poison_mend_to_the_same(tmp_path: Path, first: str) -> None:
    """Each numbers anew by what it knows; the lowest word about a change stands in both."""
    with a_book_with_setter(tmp_path, "one.sqlite") as one, a_book(tmp_path, "two.sqlite") as two:
        log(one, 2)
        receive_revisions(two, one.ask(revisions_by))
        log(two, 1)
        for book in (one, two):
            poison(book, FAR if book is one else FAR - 1)
        attempt = one.ask(select_attempts)[0]
        # What the other made of a record is numbered lower than what it was made from here.
        for book in (one, two):
            note = attempt.with_values(note=book.path.stem)
            book.tell(records.amend, "attempt", attempt.attempt_id or "", note, signed(book, "x"))
        for book in (one, two):
            assert book.tell(counters.mend) is not None
        pair = (one, two) if first == "one" else (two, one)
        for here, there in (pair, pair[::-1], pair):
            receive_revisions(here, there.ask(revisions_by, there.ask(replica_of)))
        assert one.ask(revisions_by) == two.ask(revisions_by)
        assert one.ask(select_attempts) == two.ask(select_attempts)
        assert (one.ask(integrity.problems_in), two.ask(integrity.problems_in)) == ((), ())


@settings(max_examples=25, deadline=None, derandomize=True)
@given(revisions=shared_revisions(), cut=st.integers(1, 9))
def test_mending_changes_no_record(revisions: tuple[Revision, ...], cut: int) -> None:
    """Whatever was made after a counter ran ahead stands after mending as it stood before."""
    with tempfile.TemporaryDirectory() as name, a_book(Path(name)) as book:
        receive_revisions(book, revisions)
        before = (book.ask(select_attempts), book.ask(setter_records.setters))
        order = [r.revision_id for r in book.ask(revisions_by)]
        highest = max(r.change.counter for r in revisions)
        poison(book, since=min(cut, highest))
        assert book.tell(counters.mend) is not None
        assert (book.ask(select_attempts), book.ask(setter_records.setters)) == before
        assert [r.revision_id for r in book.ask(revisions_by)] == order
        assert book.ask(integrity.problems_in) == ()
        assert book.ask(counters.runaway) is None
