"""Logbooks that unite: in any order, any number of times, the same records stand."""

import dataclasses
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.logbook.books import AUTHOR, ME, NOW, a_book, a_book_with_setter, log, some_attempts
from tests.logbook.replicas import RECORDS, shared_revisions

from platebook.logbook import Logbook, LogbookError
from platebook.practice.inspection import Inspection
from platebook.practice.revision import Revision, clash, current


def state(book: Logbook) -> object:
    """All that a logbook shows of its records."""
    return (
        book.attempts(),
        book.count_attempts(ME),
        book.setters(),
        book.clashes(),
        book.revisions(),
        [book.history("attempt", record_id) for record_id in RECORDS],
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
            assert one.unite(revisions, now=NOW).added == len(revisions)
            for part in (shuffled[cut:], again, shuffled[:cut]):
                two.unite(part, now=NOW)
            assert state(one) == state(two)
            assert (one.check(), two.check()) == ((), ())
            united = two.unite(revisions, now=NOW)
            assert (united.added, united.known) == (0, len(revisions))
            for record_id in RECORDS:
                of_record = [r for r in revisions if r.record_id == record_id]
                counts = current(of_record)
                stands = one.attempt(record_id) is not None
                assert stands == (counts is not None and not counts.hidden)
                assert (("attempt", record_id) in one.clashes()) == clash(of_record)


def two_that_share(folder: Path) -> tuple[Logbook, Logbook, str]:
    """Two logbooks with the same setter and the same attempt; gives its id too."""
    one, two = a_book_with_setter(folder, "one.sqlite"), a_book(folder, "two.sqlite")
    (record_id,) = log(one, 1)
    two.unite(one.revisions(), now=NOW)
    return one, two, record_id


def correct(book: Logbook, record_id: str, note: str) -> None:
    """Give the attempt another note."""
    attempt = some_attempts(1)[0].with_values(note=note)
    book.amend("attempt", record_id, attempt, author=AUTHOR, now=NOW)


def test_a_clash_is_shown_and_settled_by_the_next_correction(tmp_path: Path) -> None:
    """Both versions stay; one counts; whoever corrects it then settles it for everyone."""
    one, two, record_id = two_that_share(tmp_path)
    with one, two:
        correct(one, record_id, "one")
        correct(two, record_id, "two")
        one.unite(two.revisions(), now=NOW)
        two.unite(one.revisions(), now=NOW)
        assert one.clashes() == two.clashes() == (("attempt", record_id),)
        assert one.attempt(record_id) == two.attempt(record_id)
        past = one.history("attempt", record_id)
        assert past.clash
        assert [version.stands for version in past.versions] == [False, True, True]
        undone = one.undo(author=AUTHOR, now=NOW)
        assert not undone.done
        assert "settle that first" in undone.words
        counted = one.attempt(record_id)
        assert counted is not None
        change = one.amend("attempt", record_id, counted, author=AUTHOR, now=NOW)
        assert change is not None
        two.unite(one.revisions(one.replica), now=NOW)
        assert (one.clashes(), two.clashes()) == ((), ())
        assert not two.history("attempt", record_id).clash
        assert state(one) == state(two)


def test_a_logbook_hands_on_what_it_made_itself(tmp_path: Path) -> None:
    """The revisions of one replica, which is what travels."""
    one, two, record_id = two_that_share(tmp_path)
    with one, two:
        correct(two, record_id, "two")
        assert one.replica != two.replica
        assert len(two.revisions()) == 3
        assert [r.change.replica for r in two.revisions(two.replica)] == [two.replica]
        one.unite(two.revisions(two.replica), now=NOW)
        assert state(one) == state(two)


def test_taking_back_reaches_only_what_was_done_here(tmp_path: Path) -> None:
    """What another logbook did is not taken back, even under the same name."""
    one, two, _ = two_that_share(tmp_path)
    with one, two:
        assert two.undo(author=AUTHOR, now=NOW).words == "There is nothing to take back."


def test_the_next_change_counts_on_from_the_highest_known(tmp_path: Path) -> None:
    """A change made with knowledge of another ranks above it, whatever the clocks say."""
    one, two, record_id = two_that_share(tmp_path)
    with one, two:
        for note in "abcde":
            correct(one, record_id, note)
        two.unite(one.revisions(), now=NOW)
        attempt = some_attempts(1)[0].with_values(note="last")
        early = NOW.replace(year=2001)
        change = two.amend("attempt", record_id, attempt, author="Ansel", now=early)
        assert change is not None
        assert change.counter == 8
        one.unite(two.revisions(), now=NOW)
        found = one.attempt(record_id)
        assert found is not None
        assert (found.note, one.clashes()) == ("last", ())


def test_uniting_gives_the_setters_concerned_a_new_digest(tmp_path: Path) -> None:
    """Also when only an inspection came; and none when nothing came."""
    one, two, record_id = two_that_share(tmp_path)
    with one, two:
        look = Inspection(attempt_id=record_id, inspector="Ansel Reed", result=("gap",))
        two.add_inspections([look], author="Ansel Reed", now=NOW)
        before = one.digest(ME)
        one.unite(two.revisions(), now=NOW)
        after = one.digest(ME)
        assert after != before
        one.unite(two.revisions(), now=NOW)
        assert one.digest(ME) == after


def test_a_record_of_a_newer_program_is_shown_and_not_changed(tmp_path: Path) -> None:
    """What it has beyond this program stays in the past and comes to no harm."""
    one, two, record_id = two_that_share(tmp_path)
    with one, two:
        correct(one, record_id, "from the future")
        newest = one.revisions()[-1]
        future = dataclasses.replace(
            newest,
            revision_id="~ later",
            schema=2,
            parents=(newest.revision_id,),
            record=newest.record.replace("{", '{"lamp_tilt":3,', 1),
        )
        two.unite([*one.revisions(), future], now=NOW)
        found = two.attempt(record_id)
        assert found is not None
        assert found.note == "from the future"
        with pytest.raises(LogbookError, match="by a newer platebook") as caught:
            correct(two, record_id, "mine")
        assert caught.value.cause == "newer"
        with pytest.raises(LogbookError, match="by a newer platebook"):
            two.hide("attempt", record_id, author=AUTHOR, now=NOW)
        assert two.history("attempt", record_id).versions[-1].revision == future
        assert two.check() == ()


def test_a_kind_that_only_a_newer_program_knows_is_kept(tmp_path: Path) -> None:
    """It is handed on as it came, and nothing is shown of it."""
    one, two, _ = two_that_share(tmp_path)
    with one, two:
        lamp = dataclasses.replace(
            one.revisions()[-1], revision_id="~ lamp", kind="lamp", record_id="l", schema=2
        )
        two.unite([lamp], now=NOW)
        assert lamp in two.revisions()
        assert two.check() == ()


def test_attempts_may_come_before_their_setter(tmp_path: Path) -> None:
    """Parts come in any order; the name follows with the setter's own record."""
    with a_book_with_setter(tmp_path, "one.sqlite") as one, a_book(tmp_path, "two.sqlite") as two:
        log(one, 2)
        setter, *attempts = one.revisions()
        two.unite(attempts, now=NOW)
        assert [attempt.setter for attempt in two.attempts()] == [None, None]
        assert two.check() == ()
        two.unite([setter], now=NOW)
        assert two.attempts() == one.attempts()
