"""What a logbook hands on: its own word, or all that it knows of one setter."""

from pathlib import Path

from tests.logbook.books import (
    ME,
    NOW,
    a_book,
    a_book_with_setter,
    log,
    receive,
    signed,
    some_attempts,
)
from tests.logbook.handed_on import bundle_of, revisions_by

from platebook.logbook import defaults, open_logbook, restore
from platebook.logbook.bundles.exporting import concerning, hand_on, own_revisions
from platebook.logbook.erasures.erasing import erase_person
from platebook.logbook.file.connection import Database, writing
from platebook.logbook.file.copying import copy_into
from platebook.logbook.history.revisions import replica_of
from platebook.logbook.records import (
    add_attempts,
    add_inspections,
    add_setter,
)
from platebook.practice.records import Inspection
from platebook.practice.revision import BundleStream


def test_a_course_comes_with_what_rests_on_it(tmp_path: Path) -> None:
    """And with nothing else."""
    with a_book_with_setter(tmp_path) as book, a_book(tmp_path, "two.sqlite") as two:
        digest = book.tell(defaults.keep_course, "mine", 2, "text of mine")
        book.tell(defaults.keep_course, "another", 1, "text of another")
        attempts = [a.with_values(course="mine") for a in some_attempts(1)]
        book.tell(add_attempts, attempts, signed(book, "record"))
        receive(two, book.ask(bundle_of))
        (kept,) = two.ask(defaults.course_texts, "mine")
        assert (kept.digest, kept.course, kept.version) == (digest, "mine", 2)
        assert kept.text == "text of mine"
        assert two.ask(defaults.course_texts, "another") == ()


def test_a_logbook_hands_on_its_own_word_and_no_one_elses(tmp_path: Path) -> None:
    """What came from elsewhere is its writer's to hand on, unless a setter is asked about."""
    with a_book_with_setter(tmp_path) as book, a_book(tmp_path, "two.sqlite") as two:
        log(book, 2)
        receive(two, book.ask(bundle_of))
        two.tell(add_setter, "Ansel Reed", two.stamp("Ansel Reed", NOW, "add"))
        own = two.ask(bundle_of)
        assert (own.replica, own.authors) == (two.ask(replica_of), ("Ansel Reed",))
        assert two.ask(bundle_of, ME).revisions == book.ask(bundle_of).revisions


def test_what_was_made_before_a_restore_is_still_its_own(tmp_path: Path) -> None:
    """A restored logbook has another id, and hands on what it wrote under the one before."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 1)
        mine, before = book.ask(bundle_of).revisions, book.path
    restored = tmp_path / "restored.sqlite"
    restore(before, restored)
    with open_logbook(restored) as book:
        handed_on = book.ask(bundle_of)
        assert (handed_on.revisions, handed_on.replica == mine[0].change.replica) == (mine, False)


def test_whoever_looked_comes_with_what_concerns_a_setter(tmp_path: Path) -> None:
    """The setter's records, the looks at them and who looked; a stranger stays out."""
    with a_book_with_setter(tmp_path) as book:
        tutor = book.tell(add_setter, "Tutor Vale", book.stamp("Tutor", NOW, "add"))
        book.tell(add_setter, "Ansel Reed", book.stamp("Tutor", NOW, "add"))
        (attempt_id,) = log(book, 1)
        look = Inspection(attempt_id=attempt_id, inspector=str(tutor.setter_id), result=("gap",))
        (kept,) = book.tell(add_inspections, [look], book.stamp("Tutor", NOW, "inspect"))
        every = book.ask(revisions_by)
        about = book.ask(concerning, ME, every)
        assert {revision.record_id for revision in about} == {
            ME,
            tutor.setter_id,
            attempt_id,
            kept.inspection_id,
        }
        assert len(every) == len(about) + 1


def _erase_me(db: Database) -> None:
    with writing(db):
        erase_person(db, ME, NOW)


def test_what_goes_out_is_of_one_moment(tmp_path: Path) -> None:
    """However long it takes: what another program writes meanwhile goes out the next time."""
    with a_book_with_setter(tmp_path) as book, book.beside() as other:
        log(book, 3)
        before = book.ask(bundle_of)

        def slowly(stream: BundleStream) -> list[object]:
            parts: list[object] = [next(stream.parts)]
            log(other, 2)
            other.tell(_erase_me)
            return [*parts, *stream.parts]

        assert book.ask(hand_on, slowly) == [*before.revisions, *before.tombstones]
        assert (len(before.revisions), before.tombstones) == (4, ())
        assert len(book.ask(bundle_of).tombstones) > 0


def test_revisions_go_out_in_the_order_made_whichever_name_the_logbook_had(tmp_path: Path) -> None:
    """By counter and id, as those who take it in count them, and those of one change together."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 2)
        former = book.ask(replica_of)
        copy = tmp_path / "copy.sqlite"
        book.ask(copy_into, copy)
        path = book.path
    restore(copy, path)
    with open_logbook(path) as book:
        log(book, 3)
        revisions = book.ask(bundle_of).revisions
        assert [r.rank for r in revisions] == sorted(r.rank for r in revisions)
        assert {r.change.replica for r in revisions} == {former, book.ask(replica_of)}
        assert book.ask(own_revisions) == len(revisions) == 6
