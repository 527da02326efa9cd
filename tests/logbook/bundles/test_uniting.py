"""Logbooks that unite: in any order, any number of times, the same records stand."""

import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.logbook.books import (
    ME,
    NOW,
    a_book,
    a_book_with_setter,
    log,
    receive_revisions,
    signed,
    some_attempts,
)
from tests.logbook.handed_on import revisions_by
from tests.logbook.replicas import RECORDS, shared_revisions

from platebook.logbook import Logbook, LogbookError, defaults, records, setter_records
from platebook.logbook.attempts.attempt_queries import (
    attempt_by_id,
    count_attempts,
    select_attempts,
)
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.logbook.file import integrity
from platebook.logbook.history import undo_redo
from platebook.logbook.history.revisions import clashes, history_of, replica_of
from platebook.logbook.records import add_inspections
from platebook.practice.records import Inspection
from platebook.practice.revision import Revision, clash, current
from platebook.values import replace


def state(book: Logbook) -> object:
    """All that a logbook shows of its records."""
    return (
        book.ask(select_attempts),
        book.ask(count_attempts, Wanted(setter_id=ME)),
        book.ask(setter_records.setters),
        book.ask(clashes),
        book.ask(revisions_by),
        [book.ask(history_of, "attempt", record_id) for record_id in RECORDS],
    )


@pytest.mark.slow
@settings(max_examples=20, deadline=None, derandomize=True)
@given(revisions=shared_revisions(), data=st.data())
def test_the_same_set_gives_the_same_logbook(
    revisions: tuple[Revision, ...], data: st.DataObject
) -> None:
    """In one go, or shuffled, in parts, some of them twice: nothing shows the difference."""
    shuffled = data.draw(st.permutations(revisions))
    cut = data.draw(st.integers(0, len(revisions)))
    again = data.draw(st.lists(st.sampled_from(revisions)))
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        with a_book(folder, "one.sqlite") as one, a_book(folder, "two.sqlite") as two:
            assert receive_revisions(one, revisions).added == len(revisions)
            for part in (shuffled[cut:], again, shuffled[:cut]):
                receive_revisions(two, part)
            assert state(one) == state(two)
            assert (one.ask(integrity.problems_in), two.ask(integrity.problems_in)) == ((), ())
            united = receive_revisions(two, revisions)
            assert (united.added, united.known) == (0, len(revisions))
            for record_id in RECORDS:
                of_record = [r for r in revisions if r.record_id == record_id]
                counts = current(of_record)
                stands = one.ask(attempt_by_id, record_id) is not None
                assert stands == (counts is not None and not counts.hidden)
                assert (("attempt", record_id) in one.ask(clashes)) == clash(of_record)


def two_that_share(folder: Path) -> tuple[Logbook, Logbook, str]:
    """Two logbooks with the same setter and the same attempt; gives its id too."""
    one, two = a_book_with_setter(folder, "one.sqlite"), a_book(folder, "two.sqlite")
    (record_id,) = log(one, 1)
    receive_revisions(two, one.ask(revisions_by))
    return one, two, record_id


def correct(book: Logbook, record_id: str, note: str) -> None:
    """Give the attempt another note."""
    attempt = some_attempts(1)[0].with_values(note=note)
    book.tell(records.amend, "attempt", record_id, attempt, signed(book, "amend"))


def test_a_clash_is_shown_and_settled_by_the_next_correction(tmp_path: Path) -> None:
    """Both versions stay; one counts; whoever corrects it then settles it for everyone."""
    one, two, record_id = two_that_share(tmp_path)
    with one, two:
        correct(one, record_id, "one")
        correct(two, record_id, "two")
        receive_revisions(one, two.ask(revisions_by))
        receive_revisions(two, one.ask(revisions_by))
        assert one.ask(clashes) == two.ask(clashes) == (("attempt", record_id),)
        assert one.ask(attempt_by_id, record_id) == two.ask(attempt_by_id, record_id)
        past = one.ask(history_of, "attempt", record_id)
        assert past.clash
        assert [version.stands for version in past.versions] == [False, True, True]
        undone = one.tell(undo_redo.undo, signed(one, "undo"))
        assert not undone.done
        assert "settle that first" in undone.words
        counted = one.ask(attempt_by_id, record_id)
        assert counted is not None
        change = one.tell(records.amend, "attempt", record_id, counted, signed(one, "amend"))
        assert change is not None
        receive_revisions(two, one.ask(revisions_by, one.ask(replica_of)))
        assert (one.ask(clashes), two.ask(clashes)) == ((), ())
        assert not two.ask(history_of, "attempt", record_id).clash
        assert state(one) == state(two)


def test_a_logbook_hands_on_what_it_made_itself(tmp_path: Path) -> None:
    """The revisions of one replica, which is what travels."""
    one, two, record_id = two_that_share(tmp_path)
    with one, two:
        correct(two, record_id, "two")
        assert one.ask(replica_of) != two.ask(replica_of)
        assert len(two.ask(revisions_by)) == 3
        assert [r.change.replica for r in two.ask(revisions_by, two.ask(replica_of))] == [
            two.ask(replica_of)
        ]
        receive_revisions(one, two.ask(revisions_by, two.ask(replica_of)))
        assert state(one) == state(two)


def test_taking_back_reaches_only_what_was_done_here(tmp_path: Path) -> None:
    """What another logbook did is not taken back, even under the same name."""
    one, two, _ = two_that_share(tmp_path)
    with one, two:
        assert (
            two.tell(undo_redo.undo, signed(two, "undo")).words == "There is nothing to take back."
        )


def test_the_next_change_counts_on_from_the_highest_known(tmp_path: Path) -> None:
    """A change made with knowledge of another ranks above it, whatever the clocks say."""
    one, two, record_id = two_that_share(tmp_path)
    with one, two:
        for note in "abcde":
            correct(one, record_id, note)
        receive_revisions(two, one.ask(revisions_by))
        attempt = some_attempts(1)[0].with_values(note="last")
        early = NOW.replace(year=2001)
        change = two.tell(
            records.amend, "attempt", record_id, attempt, two.stamp("Ansel", early, "amend")
        )
        assert change is not None
        assert change.counter == 8
        receive_revisions(one, two.ask(revisions_by))
        found = one.ask(attempt_by_id, record_id)
        assert found is not None
        assert (found.note, one.ask(clashes)) == ("last", ())


def test_uniting_gives_the_setters_concerned_a_new_digest(tmp_path: Path) -> None:
    """Also when only an inspection came; and none when nothing came."""
    one, two, record_id = two_that_share(tmp_path)
    with one, two:
        look = Inspection(attempt_id=record_id, inspector="Ansel Reed", result=("gap",))
        two.tell(add_inspections, [look], two.stamp("Ansel Reed", NOW, "inspect"))
        before = one.ask(defaults.digest, ME)
        receive_revisions(one, two.ask(revisions_by))
        after = one.ask(defaults.digest, ME)
        assert after != before
        receive_revisions(one, two.ask(revisions_by))
        assert one.ask(defaults.digest, ME) == after


def test_a_record_of_a_newer_program_is_shown_and_not_changed(tmp_path: Path) -> None:
    """What it has beyond this program stays in the past and comes to no harm."""
    one, two, record_id = two_that_share(tmp_path)
    with one, two:
        correct(one, record_id, "from the future")
        newest = one.ask(revisions_by)[-1]
        future = replace(
            newest,
            revision_id="~ later",
            schema=2,
            parents=(newest.revision_id,),
            record=newest.record.replace("{", '{"lamp_tilt":3,', 1),
        )
        receive_revisions(two, [*one.ask(revisions_by), future])
        found = two.ask(attempt_by_id, record_id)
        assert found is not None
        assert found.note == "from the future"
        with pytest.raises(LogbookError, match="by a newer platebook") as caught:
            correct(two, record_id, "mine")
        assert caught.value.cause == "newer"
        with pytest.raises(LogbookError, match="by a newer platebook"):
            two.tell(records.hide, "attempt", [record_id], signed(two, "hide"))
        assert two.ask(history_of, "attempt", record_id).versions[-1].revision == future
        assert two.ask(integrity.problems_in) == ()


def test_a_kind_that_only_a_newer_program_knows_is_kept(tmp_path: Path) -> None:
    """It is handed on as it came, and nothing is shown of it."""
    one, two, _ = two_that_share(tmp_path)
    with one, two:
        lamp = replace(
            one.ask(revisions_by)[-1], revision_id="~ lamp", kind="lamp", record_id="l", schema=2
        )
        receive_revisions(two, [lamp])
        assert lamp in two.ask(revisions_by)
        assert two.ask(integrity.problems_in) == ()


def test_attempts_may_come_before_their_setter(tmp_path: Path) -> None:
    """Parts come in any order; the name follows with the setter's own record."""
    with a_book_with_setter(tmp_path, "one.sqlite") as one, a_book(tmp_path, "two.sqlite") as two:
        log(one, 2)
        setter, *attempts = one.ask(revisions_by)
        receive_revisions(two, attempts)
        assert [attempt.setter for attempt in two.ask(select_attempts)] == [None, None]
        assert two.ask(integrity.problems_in) == ()
        receive_revisions(two, [setter])
        assert two.ask(select_attempts) == one.ask(select_attempts)
