"""A bundle without the people: nothing they typed is in it, and what was measured is."""

import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path

from hypothesis import given, settings
from tests.logbook.any_attempt import any_attempts
from tests.logbook.books import (
    ME,
    NOW,
    a_book,
    a_book_with_setter,
    log,
    receive,
    receive_revisions,
    signed,
    some_attempts,
)
from tests.logbook.handed_on import anonymous_bundle, revisions_by

from platebook.logbook import Logbook, records, setter_records
from platebook.logbook.attempts.attempt_queries import select_attempts
from platebook.logbook.bundles.anonymous import TRAVELS, Veil, anonymous_replicas, veil_of
from platebook.logbook.erasures import erasing
from platebook.logbook.erasures.held_back import obey
from platebook.logbook.file import integrity
from platebook.logbook.history.revisions import replica_of
from platebook.logbook.records import add_attempts, add_inspections, add_setter, add_tools
from platebook.practice.attempt import Attempt
from platebook.practice.records import Inspection, Setter
from platebook.practice.revision import Bundle
from platebook.trade.records import Tool

SHIPPED = ("small-to-large",)
TYPED = "Zinnia at Quay House"
"""Stands for whatever a person may type into a field."""


def a_told_book(folder: Path) -> Logbook:
    """A logbook in which every free field says who it is."""
    book = a_book(folder)
    setter = Setter(setter_id=ME, name=TYPED, group=TYPED, note=TYPED, course="small-to-large")
    book.tell(add_setter, setter, book.stamp(TYPED, NOW, "add"))
    book.tell(
        add_tools,
        ME,
        [Tool(kind="bur", name=TYPED, note=TYPED, size_mm=1.9)],
        book.stamp(TYPED, NOW, "add"),
    )
    attempt = some_attempts(1)[0].with_values(
        course="small-to-large",
        note=TYPED,
        plate=TYPED,
        stone_lot=TYPED,
        seat_bur=TYPED,
        block=TYPED,
        position=TYPED,
        metal=TYPED,
        fit="enters tilted and snaps",
        extra=((TYPED, TYPED),),
    )
    (attempt_id,) = book.tell(add_attempts, [attempt], book.stamp(TYPED, NOW, "record"))
    look = Inspection(attempt_id=attempt_id, inspector=TYPED, comment=TYPED, result=("gap",))
    book.tell(add_inspections, [look], book.stamp(TYPED, NOW, "inspect"))
    return book


def anonymous(book: Logbook) -> Bundle:
    """What strangers may have of it."""
    return book.tell(anonymous_bundle, None, now=NOW, shipped=SHIPPED)


def test_nothing_that_was_typed_and_no_id_travels(tmp_path: Path) -> None:
    """Not in a record, not as an author, and no id leads back."""
    with a_told_book(tmp_path) as book:
        bundle = anonymous(book)
        told = repr(bundle)
        assert bundle.anonymous
        assert TYPED not in told
        known = {book.ask(replica_of), *(r.revision_id for r in book.ask(revisions_by))}
        known |= {r.record_id for r in book.ask(revisions_by)}
        assert [one for one in known if one in told] == []
        assert {r.kind for r in bundle.revisions} == set(TRAVELS)


def test_what_was_measured_travels(tmp_path: Path) -> None:
    """Lengths, results, grades of a course that everyone has; the day, not the date."""
    with a_told_book(tmp_path) as book, a_book(tmp_path, "study.sqlite") as study:
        receive(study, anonymous(book))
        (attempt,) = study.ask(select_attempts)
        (setter,) = study.ask(setter_records.setters)
        assert (attempt.stone_diameter_mm, attempt.result) == (1.98, ("loose",))
        assert (attempt.grade, attempt.fit) == ("copper-1.5", "enters tilted and snaps")
        assert (attempt.began, attempt.day_only) == (datetime(2000, 1, 1, tzinfo=UTC), True)
        assert (attempt.metal, attempt.note, attempt.extra) == (None, None, ())
        assert setter.name.startswith("setter ")
        assert [i.result for i in study.ask(setter_records.inspections)] == [("gap",)]
        assert study.ask(integrity.problems_in) == ()


def test_sharing_again_adds_and_corrects_and_does_not_repeat(tmp_path: Path) -> None:
    """A record keeps its other id, whatever was logged meanwhile, even of earlier days."""
    with a_book_with_setter(tmp_path) as book, a_book(tmp_path, "study.sqlite") as study:
        (attempt_id,) = log(book, 1)
        receive(study, anonymous(book))
        earlier = some_attempts(1)[0].with_values(began=NOW - timedelta(days=3))
        book.tell(add_attempts, [earlier], signed(book, "record"))
        again = some_attempts(1)[0].with_values(result=("gap",))
        book.tell(records.amend, "attempt", attempt_id, again, signed(book, "amend"))
        done = receive(study, anonymous(book))
        assert (done.united.added, done.united.known, done.clashes) == (2, 2, ())
        found = [
            (a.began and a.began.date().isoformat(), a.result) for a in study.ask(select_attempts)
        ]
        assert found == [("1999-12-29", ("loose",)), ("2000-01-01", ("gap",))]


def test_two_logbooks_have_two_secrets(tmp_path: Path) -> None:
    """Nobody can work an anonymous id out from the real one."""
    with a_book_with_setter(tmp_path, "a.sqlite") as one, a_book(tmp_path, "b.sqlite") as two:
        receive_revisions(two, one.ask(revisions_by))
        first, second = (anonymous(book).revisions[0].record_id for book in (one, two))
        assert first != second
        assert anonymous(one).replica in one.ask(anonymous_replicas)


def test_erasing_travels_anonymously_too(tmp_path: Path) -> None:
    """Whoever is erased here is asked about in the study, under the name they have there."""
    with a_book_with_setter(tmp_path) as book, a_book(tmp_path, "study.sqlite") as study:
        log(book, 2)
        receive(study, anonymous(book))
        book.tell(erasing.erase, book.path, ME, NOW)
        (asked,) = receive(study, anonymous(book)).asked
        assert (asked.whole, asked.attempts) == (True, 2)
        study.tell(obey, study.path, asked.person_id)
        assert (study.ask(select_attempts), study.ask(setter_records.setters)) == ((), ())


def test_an_anonymous_id_is_a_uuid_of_the_version_for_ones_own_making() -> None:
    """RFC 9562, section 5.8: version 8, and variant 10 in binary (section 4.1)."""
    made = Veil(b"secret", NOW.date()).an_id(ME)
    assert (len(made), made[14], made[19] in "89ab") == (36, "8", True)


@settings(max_examples=30, deadline=None, derandomize=True)
@given(attempt=any_attempts(ME))
def test_any_attempt_can_be_taken_in_without_its_person(attempt: Attempt) -> None:
    """Whatever fields it has, what is left of it is still an attempt."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        with a_book_with_setter(folder) as book, a_book(folder, "study.sqlite") as study:
            mine = attempt.with_values(setter_id=ME, setter=None)
            book.tell(add_attempts, [mine], signed(book, "record"))
            receive(study, anonymous(book))
            (left,) = study.ask(select_attempts)
            assert left.stone_depth_mm == book.ask(select_attempts)[0].stone_depth_mm
            assert (left.note, left.extra) == (None, ())


def test_the_order_of_lines_does_not_tell_which_was_made_first(tmp_path: Path) -> None:
    """Those of one change stand in the order of their other ids, which are by lot."""
    with a_book_with_setter(tmp_path) as book:
        book.tell(add_attempts, some_attempts(40), signed(book, "import"))
        known = [r.revision_id for r in book.ask(revisions_by)]
        shown = [r.revision_id for r in anonymous(book).revisions]
        veil = veil_of(book._db, NOW)
        assert set(shown) == set(map(veil.an_id, known))
        assert shown[1:] == sorted(shown[1:])
        assert shown != list(map(veil.an_id, known))
