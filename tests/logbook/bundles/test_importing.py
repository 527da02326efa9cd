"""Bundles taken in: in any order and grouping the same records stand, and erasing is obeyed."""

import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.logbook.books import (
    AUTHOR,
    ME,
    NOW,
    a_book,
    a_book_with_setter,
    log,
    receive,
    some_attempts,
)
from tests.logbook.handed_on import bundle_of, revisions_by
from tests.logbook.replicas import REPLICAS, shared_revisions

from platebook.logbook import Logbook, defaults, setter_records
from platebook.logbook.attempts.attempt_queries import (
    attempt_by_id,
    count_attempts,
    select_attempts,
)
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.logbook.erasures import erasing
from platebook.logbook.erasures.held_back import erasings_asked, obey
from platebook.logbook.file import integrity
from platebook.logbook.history import undo_redo
from platebook.logbook.history.counters import REACH
from platebook.logbook.history.revisions import clashes
from platebook.logbook.records import (
    add_attempts,
    add_inspections,
    add_setter,
    add_tools,
    merge_setters,
)
from platebook.practice.records import Inspection, Setter
from platebook.practice.revision import Bundle, Revision, Tombstone, current
from platebook.trade.records import Tool
from platebook.values import replace

BRAM = "019c2000-0000-7000-8000-000000000002"


def of_one(revisions: tuple[Revision, ...], replica: str, *gone: Tombstone) -> Bundle:
    """The bundle of one of the replicas."""
    own = tuple(r for r in revisions if r.change.replica == replica)
    return Bundle(replica=replica, revisions=own, tombstones=gone)


def state(book: Logbook) -> object:
    """All that a logbook shows of its records, and all that it knows of them."""
    return (
        book.ask(select_attempts),
        book.ask(setter_records.setters),
        book.ask(count_attempts, Wanted(setter_id=ME)),
        book.ask(clashes),
        book.ask(revisions_by),
        book.ask(setter_records.inspections),
    )


@pytest.mark.slow
@settings(max_examples=20, deadline=None, derandomize=True)
@given(revisions=shared_revisions(), data=st.data(), erase=st.booleans())
def test_any_order_and_any_grouping_gives_the_same_logbook(
    revisions: tuple[Revision, ...], data: st.DataObject, *, erase: bool
) -> None:
    """Union is commutative, associative and idempotent over bundles, with an erasing among them.

    The erasing is held back alike in all of them, and obeyed alike once somebody says so.
    """
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
                receive(one, bundle)
            for bundle in shuffled:
                receive(two, bundle)
            # The grouping: what two others know together is taken in as one.
            joined = Bundle(replica="x", revisions=two.ask(revisions_by), tombstones=gone)
            receive(three, joined)
            assert state(one) == state(two) == state(three)
            assert (
                one.ask(integrity.problems_in),
                two.ask(integrity.problems_in),
                three.ask(integrity.problems_in),
            ) == (
                (),
                (),
                (),
            )
            expected = {
                record_id: current(r for r in revisions if r.record_id == record_id)
                for record_id in ("r1", "r2")
            }
            stand = {key: r is not None and not r.hidden for key, r in expected.items()}
            for record_id, stands in stand.items():
                assert (one.ask(attempt_by_id, record_id) is not None) == stands
            asked = one.ask(erasings_asked)
            assert asked == two.ask(erasings_asked) == three.ask(erasings_asked)
            assert [(a.person_id, a.records) for a in asked] == (
                [(ME, 1)] if erase and expected["r1"] is not None else []
            )
            if not asked:
                return
            for book in (one, two, three):
                book.tell(obey, book.path, ME)
                for bundle in bundles:
                    receive(book, bundle)
                assert book.ask(attempt_by_id, "r1") is None
                assert (book.ask(attempt_by_id, "r2") is not None) == stand["r2"]
                assert (book.ask(erasings_asked), book.ask(integrity.problems_in)) == ((), ())
            assert state(one) == state(two) == state(three)


def two_people(folder: Path) -> tuple[Logbook, Logbook]:
    """A class's logbook with two people and an attempt each, and an empty one."""
    book = a_book_with_setter(folder, "class.sqlite")
    book.tell(add_setter, Setter(setter_id=BRAM, name="Bram Osk"), book.stamp("Tutor", NOW, "add"))
    log(book, 1)
    book.tell(add_attempts, some_attempts(1, setter_id=BRAM), book.stamp("Tutor", NOW, "record"))
    return book, a_book(folder, "mine.sqlite")


def test_only_what_concerns_a_setter_is_taken_in(tmp_path: Path) -> None:
    """Their attempts, the inspections of those and who made them; nobody else's."""
    book, mine = two_people(tmp_path)
    with book, mine:
        tutor = book.tell(add_setter, "Tutor Vale", book.stamp("Tutor", NOW, "add"))
        mine_seen, other_seen = (a.attempt_id for a in book.ask(select_attempts))
        looks = [
            Inspection(attempt_id=str(seen), inspector=str(tutor.setter_id), result=("gap",))
            for seen in (mine_seen, other_seen)
        ]
        book.tell(add_inspections, looks, book.stamp("Tutor", NOW, "inspect"))
        book.tell(add_tools, BRAM, [Tool(kind="bur", size_mm=1.9)], book.stamp("Tutor", NOW, "add"))
        done = receive(mine, book.ask(bundle_of), only=ME)
        assert {s.name for s in mine.ask(setter_records.setters)} == {AUTHOR, "Tutor Vale"}
        assert [a.setter_id for a in mine.ask(select_attempts)] == [ME]
        assert [i.attempt_id for i in mine.ask(setter_records.inspections)] == [mine_seen]
        assert (mine.ask(setter_records.tools, BRAM), done.records) == (
            (),
            {"attempt": 1, "inspection": 1, "setter": 2},
        )
        assert mine.ask(integrity.problems_in) == ()


def test_a_rehearsal_changes_nothing(tmp_path: Path) -> None:
    """It says what would come in."""
    book, mine = two_people(tmp_path)
    with book, mine:
        before = mine.path.read_bytes()
        done = receive(mine, book.ask(bundle_of), rehearsal=True)
        assert (done.united.added, done.records) == (4, {"attempt": 2, "setter": 2})
        assert (mine.ask(setter_records.setters), mine.ask(revisions_by)) == ((), ())
        assert mine.path.read_bytes() == before


def test_whoever_was_erased_is_erased_where_that_is_obeyed_and_stays_away(tmp_path: Path) -> None:
    """Down to the bytes, and no older bundle brings them back."""
    book, mine = two_people(tmp_path)
    with book, mine:
        older = book.ask(bundle_of)
        receive(mine, older)
        book.tell(erasing.erase, book.path, BRAM, NOW)
        done = receive(mine, book.ask(bundle_of))
        assert [(a.name, a.attempts, a.whole) for a in done.asked] == [("Bram Osk", 1, True)]
        assert len(mine.ask(setter_records.setters)) == 2
        assert mine.tell(obey, mine.path, BRAM) == 1
        assert receive(mine, older).united.erased == 2
        assert receive(mine, book.ask(bundle_of)).asked == ()
        assert ([s.name for s in mine.ask(setter_records.setters)], mine.ask(count_attempts)) == (
            [AUTHOR],
            1,
        )
        assert b"Bram Osk" not in mine.path.read_bytes()
        assert mine.ask(integrity.problems_in) == ()
        # And it is handed on to whoever hears of it third hand.
        assert {t.record_id for t in mine.ask(bundle_of).tombstones} >= {BRAM}


def test_nobody_is_erased_from_their_own_logbook_by_others(tmp_path: Path) -> None:
    """A class that somebody has left does not take their own record from them."""
    book, mine = two_people(tmp_path)
    with book, mine:
        receive(mine, book.ask(bundle_of), only=BRAM, spared=BRAM)
        book.tell(erasing.erase, book.path, BRAM, NOW)
        done = receive(mine, book.ask(bundle_of), only=BRAM, spared=BRAM)
        assert done.asked == ()
        assert ([s.name for s in mine.ask(setter_records.setters)], mine.ask(count_attempts)) == (
            ["Bram Osk"],
            1,
        )
        # Nor do they come back where they were erased.
        assert receive(book, mine.ask(bundle_of, BRAM)).united.added == 0


def test_a_setter_made_one_with_another_entry_is_followed(tmp_path: Path) -> None:
    """The instructor had made an entry; the student's logbook goes on under it."""
    with a_book(tmp_path, "class.sqlite") as book, a_book_with_setter(tmp_path) as mine:
        book.tell(add_setter, Setter(setter_id=BRAM, name=AUTHOR), book.stamp("Tutor", NOW, "add"))
        log(mine, 2)
        mine.tell(defaults.set_default, "setter", ME)
        receive(book, mine.ask(bundle_of))
        book.tell(merge_setters, BRAM, ME, book.stamp("Tutor", NOW, "merge"))
        receive(mine, book.ask(bundle_of), only=ME, spared=ME)
        assert [s.setter_id for s in mine.ask(setter_records.setters)] == [BRAM]
        assert (
            mine.ask(defaults.default, "setter"),
            mine.ask(count_attempts, Wanted(setter_id=BRAM)),
        ) == (BRAM, 2)
        assert mine.ask(clashes) == ()
        book.tell(undo_redo.undo, book.stamp("Tutor", NOW, "undo"))
        receive(mine, book.ask(bundle_of), only=BRAM, spared=BRAM)
        assert (
            mine.ask(defaults.default, "setter"),
            mine.ask(count_attempts, Wanted(setter_id=ME)),
        ) == (ME, 2)
        book.tell(undo_redo.redo, book.stamp("Tutor", NOW, "redo"))
        receive(mine, book.ask(bundle_of), only=ME, spared=ME)
        assert mine.ask(defaults.default, "setter") == BRAM


def test_a_counter_that_leaps_does_not_stop_the_logbook(tmp_path: Path) -> None:
    """A leap that is taken in leaves room for all that follow, here and elsewhere."""
    with a_book_with_setter(tmp_path) as book, a_book(tmp_path, "two.sqlite") as two:
        first = book.ask(revisions_by)[0]
        ahead = replace(
            first,
            revision_id="~",
            parents=(first.revision_id,),
            change=replace(first.change, change_id="~", replica="b", counter=REACH // 2),
        )
        receive(book, Bundle(replica="b", revisions=(ahead,)))
        log(book, 3)
        assert receive(two, book.ask(bundle_of)).united.added == 4
        assert receive(two, Bundle(replica="b", revisions=(ahead,))).united.added == 1


def test_a_change_of_an_erased_person_is_known_without_its_signature(tmp_path: Path) -> None:
    """Their name was taken off here and stands in an older bundle still."""
    with a_book_with_setter(tmp_path) as book:
        book.tell(
            add_setter, Setter(setter_id=BRAM, name="Bram Osk"), book.stamp("Bram Osk", NOW, "add")
        )
        look = Inspection(attempt_id=log(book, 1)[0], inspector="x")
        book.tell(add_inspections, [look], book.stamp("Bram Osk", NOW, "inspect"))
        older = book.ask(bundle_of)
        book.tell(erasing.erase, book.path, BRAM, NOW)
        assert receive(book, older).united.known == 3


def test_defaults_stay_at_home(tmp_path: Path) -> None:
    """Who is in use is said at each logbook for itself."""
    book, mine = two_people(tmp_path)
    with book, mine:
        book.tell(defaults.set_default, "setter", BRAM)
        receive(mine, book.ask(bundle_of))
        assert mine.ask(defaults.default, "setter") is None
