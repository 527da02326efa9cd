"""Ids that rise, and the past of a record."""

import json
from datetime import timedelta
from pathlib import Path
from uuid import UUID

from tests.logbook.books import (
    AUTHOR,
    NOW,
    a_book,
    a_book_with_setter,
    log,
    receive,
    receive_revisions,
    signed,
)
from tests.logbook.handed_on import bundle_of, revisions_by

from platebook.logbook import records
from platebook.logbook.attempts.attempt_queries import attempt_by_id
from platebook.logbook.history.revisions import (
    Ids,
    batches,
    changes_among,
    clashes,
    clashing,
    highest_counter,
    history_of,
    revisions_among,
    revisions_in,
)

LATER = NOW + timedelta(hours=1)


def test_a_correction_keeps_the_past(tmp_path: Path) -> None:
    """Each version with who made it, when and from what; the last one counts."""
    with a_book_with_setter(tmp_path) as book:
        (record_id,) = log(book, 1)
        attempt = book.ask(attempt_by_id, record_id)
        assert attempt is not None
        corrected = attempt.with_values(result=("loose", "high"), severity=(2, 1))
        change = book.tell(
            records.amend, "attempt", record_id, corrected, book.stamp("Ansel Reed", LATER, "amend")
        )
        assert change is not None
        assert book.ask(attempt_by_id, record_id) == corrected
        first, last = book.ask(history_of, "attempt", record_id).versions
        assert (first.revision.change.author, last.revision.change.author) == (
            AUTHOR,
            "Ansel Reed",
        )
        assert last.revision.change == change
        assert last.revision.parents == (first.revision.revision_id,)
        assert last.record == corrected.with_values(setter=None)
        assert (first.stands, last.stands) == (False, True)


def test_ids_are_uuids_of_version_7_with_the_time_in_front() -> None:
    """RFC 9562, 5.7: 48 bits of milliseconds since 1970, version 7, variant 0b10.

    The time is that of its test vector, appendix A.6: 2022-02-22 14:22:22 -05:00.
    """
    moment = NOW.replace(year=2022, month=2, day=22, hour=19, minute=22, second=22)
    made = UUID(Ids().one(moment))
    assert (made.version, made.variant) == (7, "specified in RFC 4122")
    assert made.int >> 80 == 0x017F22E279B0


def test_ids_rise_though_the_clock_stands_or_is_set_back() -> None:
    """The order given out is the order sorted, and none comes twice."""
    ids = Ids()
    given: list[str] = []
    for hours in (0, 0, -1, 0, 1, -2):
        given += ids.take(200, NOW + timedelta(hours=hours))
    assert given == sorted(set(given))


def test_ids_are_asked_for_in_lists_that_a_statement_takes_well() -> None:
    """All of them in order, at most 500 at once; of none there is no list."""
    ids = [str(number) for number in range(1001)]
    lists = [json.loads(batch) for batch in batches(ids)]
    assert [len(some_ids) for some_ids in lists] == [500, 500, 1]
    assert [record_id for some_ids in lists for record_id in some_ids] == ids
    assert list(batches([])) == []


def test_revisions_are_found_by_their_own_ids_and_by_their_change(tmp_path: Path) -> None:
    """What is not here is left out."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 2)
        setter, *attempts = book.ask(revisions_by)
        change = attempts[0].change
        asked = [attempts[1].revision_id, "nowhere"]
        assert book.ask(revisions_among, asked) == {attempts[1].revision_id: attempts[1]}
        assert book.ask(revisions_in, change.change_id) == tuple(attempts)
        assert book.ask(changes_among, [change.change_id, "no"]) == {change.change_id: change}
        assert (setter.change.counter, book.ask(highest_counter)) == (1, change.counter)


def test_two_versions_side_by_side_are_a_clash_until_one_settles_it(tmp_path: Path) -> None:
    """Two logbooks correct one attempt without knowing of each other."""
    with a_book_with_setter(tmp_path) as book, a_book(tmp_path, "two.sqlite") as two:
        settled, other = log(book, 2)
        receive(two, book.ask(bundle_of))
        for logbook, note in ((book, "here"), (two, "there")):
            attempt = logbook.ask(attempt_by_id, settled)
            assert attempt is not None
            noted = attempt.with_values(note=note)
            logbook.tell(records.amend, "attempt", settled, noted, signed(logbook, "amend"))
        assert receive_revisions(book, two.ask(revisions_by)).added == 1
        assert book.ask(clashes) == (("attempt", settled),)
        assert book.ask(clashing, "attempt", [settled, other]) == {settled}
        assert book.ask(history_of, "attempt", settled).clash
        attempt = book.ask(attempt_by_id, settled)
        assert attempt is not None
        book.tell(records.amend, "attempt", settled, attempt, signed(book, "amend"))
        assert (book.ask(clashes), book.ask(history_of, "attempt", settled).clash) == ((), False)
