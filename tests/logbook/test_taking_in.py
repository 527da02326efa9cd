"""Bundles taken in: in any order and grouping the same records stand, and erasing is obeyed."""

import dataclasses
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.logbook.books import AUTHOR, ME, NOW, a_book, a_book_with_setter, log, some_attempts
from tests.logbook.replicas import REPLICAS, shared_revisions

from platebook.logbook import Logbook
from platebook.practice.bundle import Bundle, Tombstone
from platebook.practice.inspection import Inspection
from platebook.practice.revision import Revision, current
from platebook.practice.setter import Setter
from platebook.trade.drawer import Tool

BRAM = "019c2000-0000-7000-8000-000000000002"


def of_one(revisions: tuple[Revision, ...], replica: str, *gone: Tombstone) -> Bundle:
    """The bundle of one of the replicas."""
    own = tuple(r for r in revisions if r.change.replica == replica)
    return Bundle(replica=replica, revisions=own, tombstones=gone)


def state(book: Logbook) -> object:
    """All that a logbook shows of its records, and all that it knows of them."""
    return (
        book.attempts(),
        book.setters(),
        book.count_attempts(ME),
        book.clashes(),
        book.revisions(),
        book.inspections(),
    )


@pytest.mark.slow
@settings(max_examples=20, deadline=None, derandomize=True)
@given(revisions=shared_revisions(), data=st.data(), erase=st.booleans())
def test_any_order_and_any_grouping_gives_the_same_logbook(
    revisions: tuple[Revision, ...], data: st.DataObject, *, erase: bool
) -> None:
    """Union is commutative, associative and idempotent over bundles, with an erasing among them."""
    gone = (Tombstone(record_id="r1", kind="attempt", replica="b", erased=NOW),) if erase else ()
    bundles = [of_one(revisions, name, *(gone if name == "b" else ())) for name in REPLICAS]
    again = data.draw(st.lists(st.sampled_from(bundles), max_size=3))
    shuffled = data.draw(st.permutations([*bundles, *again]))
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        with (
            a_book(folder, "one.sqlite") as one,
            a_book(folder, "two.sqlite") as two,
            a_book(folder, "three.sqlite") as three,
        ):
            for bundle in bundles:
                one.take_in(bundle, now=NOW)
            for bundle in shuffled:
                two.take_in(bundle, now=NOW)
            # The grouping: what two others know together is taken in as one.
            joined = Bundle(replica="x", revisions=two.revisions(), tombstones=gone)
            three.take_in(joined, now=NOW)
            assert state(one) == state(two) == state(three)
            assert (one.check(), two.check(), three.check()) == ((), (), ())
            expected = {
                record_id: current(r for r in revisions if r.record_id == record_id)
                for record_id in ("r1", "r2")
            }
            for record_id, counts in expected.items():
                stands = counts is not None and not counts.hidden
                if erase and record_id == "r1":
                    stands = False
                assert (one.attempt(record_id) is not None) == stands


def two_people(folder: Path) -> tuple[Logbook, Logbook]:
    """A class's logbook with two people and an attempt each, and an empty one."""
    book = a_book_with_setter(folder, "class.sqlite")
    book.add_setter(Setter(setter_id=BRAM, name="Bram Osk"), author="Tutor", now=NOW)
    log(book, 1)
    book.add_attempts(some_attempts(1, setter_id=BRAM), author="Tutor", now=NOW)
    return book, a_book(folder, "mine.sqlite")


def test_only_what_concerns_a_setter_is_taken_in(tmp_path: Path) -> None:
    """Their attempts, the inspections of those and who made them; nobody else's."""
    book, mine = two_people(tmp_path)
    with book, mine:
        tutor = book.add_setter("Tutor Vale", author="Tutor", now=NOW)
        mine_seen, other_seen = (a.attempt_id for a in book.attempts())
        looks = [
            Inspection(attempt_id=str(seen), inspector=str(tutor.setter_id), result=("gap",))
            for seen in (mine_seen, other_seen)
        ]
        book.add_inspections(looks, author="Tutor", now=NOW)
        book.add_tool(BRAM, Tool(kind="bur", size_mm=1.9), author="Tutor", now=NOW)
        done = mine.take_in(book.bundle(), now=NOW, only=ME)
        assert {s.name for s in mine.setters()} == {AUTHOR, "Tutor Vale"}
        assert [a.setter_id for a in mine.attempts()] == [ME]
        assert [i.attempt_id for i in mine.inspections()] == [mine_seen]
        assert (mine.tools(BRAM), done.records) == (
            (),
            {"attempt": 1, "inspection": 1, "setter": 2},
        )
        assert mine.check() == ()


def test_a_rehearsal_changes_nothing(tmp_path: Path) -> None:
    """It says what would come in."""
    book, mine = two_people(tmp_path)
    with book, mine:
        before = mine.path.read_bytes()
        done = mine.take_in(book.bundle(), now=NOW, rehearsal=True)
        assert (done.united.added, done.records) == (4, {"attempt": 2, "setter": 2})
        assert (mine.setters(), mine.revisions()) == ((), ())
        assert mine.path.read_bytes() == before


def test_whoever_was_erased_is_erased_everywhere_and_stays_away(tmp_path: Path) -> None:
    """Down to the bytes, and no older bundle brings them back."""
    book, mine = two_people(tmp_path)
    with book, mine:
        older = book.bundle()
        mine.take_in(older, now=NOW)
        book.erase(BRAM, now=NOW)
        done = mine.take_in(book.bundle(), now=NOW)
        assert done.people_erased == ("Bram Osk",)
        assert mine.take_in(older, now=NOW).united.erased == 2
        assert ([s.name for s in mine.setters()], mine.count_attempts()) == ([AUTHOR], 1)
        assert b"Bram Osk" not in mine.path.read_bytes()
        assert mine.check() == ()
        # And it is handed on to whoever hears of it third hand.
        assert {t.record_id for t in mine.bundle().tombstones} >= {BRAM}


def test_nobody_is_erased_from_their_own_logbook_by_others(tmp_path: Path) -> None:
    """A class that somebody has left does not take their own record from them."""
    book, mine = two_people(tmp_path)
    with book, mine:
        mine.take_in(book.bundle(), now=NOW, only=BRAM, spared=BRAM)
        book.erase(BRAM, now=NOW)
        done = mine.take_in(book.bundle(), now=NOW, only=BRAM, spared=BRAM)
        assert done.people_erased == ()
        assert ([s.name for s in mine.setters()], mine.count_attempts()) == (["Bram Osk"], 1)
        # Nor do they come back where they were erased.
        assert book.take_in(mine.bundle(BRAM), now=NOW).united.added == 0


def test_a_setter_made_one_with_another_entry_is_followed(tmp_path: Path) -> None:
    """The instructor had made an entry; the student's logbook goes on under it."""
    with a_book(tmp_path, "class.sqlite") as book, a_book_with_setter(tmp_path) as mine:
        book.add_setter(Setter(setter_id=BRAM, name=AUTHOR), author="Tutor", now=NOW)
        log(mine, 2)
        mine.set_default("setter", ME)
        book.take_in(mine.bundle(), now=NOW)
        book.merge_setters(BRAM, ME, author="Tutor", now=NOW)
        mine.take_in(book.bundle(), now=NOW, only=ME, spared=ME)
        assert [s.setter_id for s in mine.setters()] == [BRAM]
        assert (mine.default("setter"), mine.count_attempts(BRAM)) == (BRAM, 2)
        assert mine.clashes() == ()
        book.undo(author="Tutor", now=NOW)
        mine.take_in(book.bundle(), now=NOW, only=BRAM, spared=BRAM)
        assert (mine.default("setter"), mine.count_attempts(ME)) == (ME, 2)
        book.redo(author="Tutor", now=NOW)
        mine.take_in(book.bundle(), now=NOW, only=ME, spared=ME)
        assert mine.default("setter") == BRAM


def test_a_counter_that_leaps_does_not_stop_the_logbook(tmp_path: Path) -> None:
    """The highest that is taken in leaves room for all that follow, here and elsewhere."""
    with a_book_with_setter(tmp_path) as book, a_book(tmp_path, "two.sqlite") as two:
        first = book.revisions()[0]
        ahead = dataclasses.replace(
            first,
            revision_id="~",
            parents=(first.revision_id,),
            change=dataclasses.replace(first.change, change_id="~", replica="b", counter=10**9),
        )
        book.take_in(Bundle(replica="b", revisions=(ahead,)), now=NOW)
        log(book, 3)
        assert two.take_in(book.bundle(), now=NOW).united.added == 4
        assert two.take_in(Bundle(replica="b", revisions=(ahead,)), now=NOW).united.added == 1


def test_a_change_of_an_erased_person_is_known_without_its_signature(tmp_path: Path) -> None:
    """Their name was taken off here and stands in an older bundle still."""
    with a_book_with_setter(tmp_path) as book:
        book.add_setter(Setter(setter_id=BRAM, name="Bram Osk"), author="Bram Osk", now=NOW)
        look = Inspection(attempt_id=log(book, 1)[0], inspector="x")
        book.add_inspections([look], author="Bram Osk", now=NOW)
        older = book.bundle()
        book.erase(BRAM, now=NOW)
        assert book.take_in(older, now=NOW).united.known == 3


def test_defaults_stay_at_home(tmp_path: Path) -> None:
    """Who is in use is said at each logbook for itself."""
    book, mine = two_people(tmp_path)
    with book, mine:
        book.set_default("setter", BRAM)
        mine.take_in(book.bundle(), now=NOW)
        assert mine.default("setter") is None


def test_a_course_comes_with_what_rests_on_it(tmp_path: Path) -> None:
    """And with nothing else."""
    with a_book_with_setter(tmp_path) as book, a_book(tmp_path, "two.sqlite") as two:
        digest = book.keep_course("mine", 2, "text of mine")
        book.keep_course("another", 1, "text of another")
        attempts = [a.with_values(course="mine") for a in some_attempts(1)]
        book.add_attempts(attempts, author=AUTHOR, now=NOW)
        two.take_in(book.bundle(), now=NOW)
        kept = two.course_text(digest)
        assert kept is not None
        assert (kept.course, kept.version, kept.text) == ("mine", 2, "text of mine")
        assert two.course_texts("another") == ()
