"""Teachers, classes, who is in them, and messages: kept, undone, erased and handed on."""

import sqlite3
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path

import pytest
from tests.logbook.books import (
    ME,
    NOW,
    a_book,
    a_book_with_setter,
    log,
    receive,
    receive_revisions,
    signed,
)
from tests.logbook.handed_on import anonymous_bundle, bundle_of, revisions_by

from platebook.logbook import Logbook, LogbookError, class_records, records
from platebook.logbook.bundles.exporting import concerning
from platebook.logbook.erasures import erasing, held_back
from platebook.logbook.file import integrity
from platebook.logbook.history import undo_redo
from platebook.logbook.setter_records import inspections, setters
from platebook.practice.records import ClassTerm, Inspection, Membership, Message, Setter, Teacher
from platebook.practice.revision import NOBODY
from platebook.values import replace

TERM = ClassTerm(
    name="Thursday",
    begins=date(2026, 1, 8),
    ends=date(2026, 3, 26),
    course="beads",
    evening="thursday",
)


def a_teacher(book: Logbook, name: str = "Isolde Crane", **more: str) -> str:
    """The id of a teacher who was added."""
    added = book.tell(class_records.add_teacher, Teacher(name=name, **more), signed(book, "add"))
    return added.teacher_id or ""


def a_class(book: Logbook, *members: str, teachers: tuple[str, ...] = ()) -> str:
    """The id of a class that was made, with these members."""
    term = TERM.model_copy(update={"teachers": teachers})
    made, _ = book.tell(class_records.add_class, term, members, signed(book, "add"))
    return made.class_id or ""


def words(text: str, *, days: int = 0, **whom: str) -> Message:
    """A message from the teacher, so many days after `NOW`."""
    return Message(author="Isolde Crane", text=text, written=NOW + timedelta(days=days), **whom)


def test_a_class_reads_back_as_it_was_made_with_its_people(tmp_path: Path) -> None:
    """Sixty new people come in with it as one change, which is undone as one."""
    with a_book_with_setter(tmp_path) as book:
        people = [Setter(name=f"Student {number}") for number in range(60)]
        term, added = book.tell(
            class_records.add_class,
            TERM,
            [ME],
            signed(book, "add"),
            new_setters=people,
            joined=date(2026, 1, 8),
        )
        assert book.ask(class_records.class_terms) == (term,)
        stays = book.ask(class_records.memberships)
        assert {stay.setter_id for stay in stays} == {ME, *(s.setter_id for s in added)}
        assert {(s.class_id, s.joined, s.left) for s in stays} == {
            (term.class_id, date(2026, 1, 8), None)
        }
        outcome = book.tell(undo_redo.undo, signed(book, "undo"))
        assert outcome.words == "Taken back: adding 61 people in Thursday."
        assert (book.ask(class_records.class_terms), len(book.ask(setters))) == ((), 1)
        assert book.tell(undo_redo.redo, signed(book, "redo")).done
        assert len(book.ask(class_records.memberships)) == 61
        assert book.ask(integrity.problems_in) == ()


def test_a_change_of_several_places_is_one(tmp_path: Path) -> None:
    """A class ends, somebody leaves and another one joins: taken back together."""
    with a_book_with_setter(tmp_path) as book:
        ansel = book.tell(records.add_setter, "Ansel Reed", signed(book, "add")).setter_id or ""
        class_id = a_class(book, ME)
        before = book.ask(class_records.class_terms), book.ask(class_records.memberships)
        (term,), (stay,) = before
        book.tell(
            class_records.change_classes,
            signed(book, "change"),
            classes=[term.model_copy(update={"ends": date(2026, 2, 1)})],
            stays=[stay.model_copy(update={"left": date(2026, 1, 20)})],
            new_stays=[Membership(class_id=class_id, setter_id=ansel)],
        )
        left = {s.setter_id: s.left for s in book.ask(class_records.memberships)}
        assert left == {ME: date(2026, 1, 20), ansel: None}
        assert book.ask(class_records.class_terms)[0].ends == date(2026, 2, 1)
        assert book.tell(undo_redo.undo, signed(book, "undo")).done
        assert (
            book.ask(class_records.class_terms),
            book.ask(class_records.memberships),
        ) == before


@pytest.mark.parametrize(
    ("class_id", "setter_id", "said"),
    [("nowhere", ME, "no class"), ("", "nobody", "no setter")],
    ids=["class", "setter"],
)
def test_a_place_is_of_a_class_and_a_setter_that_are_known(
    class_id: str, setter_id: str, said: str, tmp_path: Path
) -> None:
    """Nothing is kept of one that is not."""
    with a_book_with_setter(tmp_path) as book:
        made = a_class(book)
        stay = Membership(class_id=class_id or made, setter_id=setter_id)
        with pytest.raises(LogbookError, match=said):
            book.tell(class_records.enrol, [stay], signed(book, "add"))
        assert book.ask(class_records.memberships) == ()


def test_a_message_reaches_a_student_and_whoever_was_in_the_class(tmp_path: Path) -> None:
    """Not those of another class, and not somebody who had left."""
    with a_book_with_setter(tmp_path) as book:
        class_id = a_class(book, ME)
        (stay,) = book.ask(class_records.memberships)
        left = stay.model_copy(update={"left": NOW.date() + timedelta(days=7)})
        book.tell(class_records.change_classes, signed(book, "leave"), stays=[left])
        for message in (
            words("to you", setter_id=ME),
            words("to all", class_id=class_id, days=7),
            words("after you left", class_id=class_id, days=8),
        ):
            book.tell(class_records.add_message, message, signed(book, "write"))
        got = book.ask(class_records.messages, ME)
        assert [message.text for message in got] == ["to you", "to all"]
        stray = words("to nobody", class_id="nowhere")
        with pytest.raises(LogbookError, match="no class"):
            book.tell(class_records.add_message, stray, signed(book, "write"))


def test_a_students_share_takes_in_their_class_its_teacher_and_what_was_written(
    tmp_path: Path,
) -> None:
    """And nothing of another student of the same class, or of another class."""
    with a_book_with_setter(tmp_path) as book, a_book(tmp_path, "two.sqlite") as two:
        tutor = a_teacher(book)
        a_teacher(book, "Somebody Else")
        ansel = book.tell(records.add_setter, "Ansel Reed", signed(book, "add")).setter_id or ""
        class_id = a_class(book, ME, ansel, teachers=(tutor,))
        a_class(book, ansel)
        for message in (
            words("to all", class_id=class_id),
            words("yours", setter_id=ME),
            words("his", setter_id=ansel),
        ):
            book.tell(class_records.add_message, message, signed(book, "write"))
        receive(two, book.ask(bundle_of), only=ME)
        assert [s.setter_id for s in two.ask(setters)] == [ME]
        assert [t.class_id for t in two.ask(class_records.class_terms)] == [class_id]
        assert [t.teacher_id for t in two.ask(class_records.teachers)] == [tutor]
        assert [m.setter_id for m in two.ask(class_records.memberships)] == [ME]
        got = two.ask(class_records.messages, ME)
        assert [message.text for message in got] == ["to all", "yours"]
        assert two.ask(integrity.problems_in) == ()


def test_of_a_class_that_is_taught_everyone_is_taken_in(tmp_path: Path) -> None:
    """Also whom a second teacher put into it, whom this logbook did not know."""
    with a_book_with_setter(tmp_path) as book:
        class_id = a_class(book, ME)
        stranger = book.tell(records.add_setter, "A Stranger", signed(book, "add")).setter_id
        log(book, 1)
        every = book.ask(revisions_by)
        about = book.ask(concerning, (), every, classes=[class_id])
        assert {r.kind for r in about} == {"setter", "class", "membership", "attempt"}
        assert stranger not in {revision.record_id for revision in about}


def test_erasing_a_setter_takes_their_places_and_messages_and_not_the_class(
    tmp_path: Path,
) -> None:
    """What they wrote to others stays without their name."""
    with a_book_with_setter(tmp_path) as book:
        ansel = book.tell(records.add_setter, "Ansel Reed", signed(book, "add")).setter_id or ""
        class_id = a_class(book, ME, ansel)
        for message in (
            words("to you", setter_id=ME),
            Message(author=ME, text="from me", class_id=class_id, written=NOW),
        ):
            book.tell(class_records.add_message, message, signed(book, "write"))
        book.tell(erasing.erase, book.path, ME, NOW)
        assert [m.setter_id for m in book.ask(class_records.memberships)] == [ansel]
        assert [t.class_id for t in book.ask(class_records.class_terms)] == [class_id]
        got = book.ask(class_records.messages, ansel)
        assert [(m.text, m.author) for m in got] == [("from me", NOBODY)]
        assert book.ask(integrity.problems_in) == ()


def test_an_erased_teacher_leaves_their_looks_without_a_name_everywhere(tmp_path: Path) -> None:
    """Asked for elsewhere and obeyed here, it holds: the teacher does not come back."""
    with a_book_with_setter(tmp_path) as book, a_book(tmp_path, "two.sqlite") as two:
        tutor = a_teacher(book)
        (attempt_id,) = log(book, 1)
        look = Inspection(attempt_id=attempt_id, inspector=tutor, result=("gap",))
        book.tell(records.add_inspections, [look], signed(book, "inspect"))
        named = book.ask(bundle_of)
        receive(two, named)
        book.tell(erasing.erase_teacher, book.path, tutor, NOW)
        receive(two, book.ask(bundle_of))
        two.tell(held_back.obey, two.path, tutor)
        receive(two, named)
        for each in (book, two):
            assert each.ask(class_records.teachers) == ()
            assert [look.inspector for look in each.ask(inspections)] == [NOBODY]
            assert each.ask(integrity.problems_in) == ()


def test_uniting_two_entries_unites_their_places(tmp_path: Path) -> None:
    """Their place in a class and their entry as a teacher go to the one that stays."""
    with a_book_with_setter(tmp_path) as book:
        other = book.tell(records.add_setter, "O. Marsh", signed(book, "add")).setter_id or ""
        a_teacher(book, setter_id=other)
        a_class(book, other)
        book.tell(records.merge_setters, ME, other, signed(book, "merge"))
        assert [m.setter_id for m in book.ask(class_records.memberships)] == [ME]
        assert [t.setter_id for t in book.ask(class_records.teachers)] == [ME]
        assert book.ask(integrity.problems_in) == ()


@pytest.mark.parametrize(
    ("field", "said"),
    [
        ('"begins":"soon"', "a day as YYYY-MM-DD"),
        ('"evening":"someday"', "does not make one"),
        ('"teachers":"[1]"', "a list of ids"),
        ('"begins":20260108', "a day as YYYY-MM-DD"),
    ],
    ids=str,
)
def test_a_class_from_elsewhere_that_cannot_be_read_is_refused(
    field: str, said: str, tmp_path: Path
) -> None:
    """One such row would stand in the way of all classes."""
    with a_book_with_setter(tmp_path) as book, a_book(tmp_path, "two.sqlite") as two:
        class_id = a_class(book)
        (made,) = (r for r in book.ask(bundle_of).revisions if r.kind == "class")
        record = f'{{"class_id":"{class_id}","name":"Thursday",{field}}}'
        with pytest.raises(LogbookError, match=said):
            receive_revisions(two, [replace(made, record=record)])
        assert two.ask(class_records.class_terms) == ()


def test_nothing_of_classes_and_teachers_travels_without_names(tmp_path: Path) -> None:
    """An anonymous bundle has setters, attempts and looks, as before."""
    with a_book_with_setter(tmp_path) as book:
        tutor = a_teacher(book)
        class_id = a_class(book, ME, teachers=(tutor,))
        message = words("to all", class_id=class_id)
        book.tell(class_records.add_message, message, signed(book, "write"))
        log(book, 1)
        bundle = book.tell(anonymous_bundle, None, now=NOW, shipped=())
        assert {revision.kind for revision in bundle.revisions} == {"setter", "attempt"}


def test_notebooks_read_who_is_in_a_class_and_what_was_written(tmp_path: Path) -> None:
    """By name, the days as they are kept."""
    with a_book_with_setter(tmp_path) as book:
        tutor = a_teacher(book)
        class_id = a_class(book, ME)
        message = Message(author=tutor, text="well done", class_id=class_id, written=NOW)
        book.tell(class_records.add_message, message, signed(book, "write"))
        path = book.path
    with closing(sqlite3.connect(path)) as connection:
        members = connection.execute(
            'SELECT setter, "class", begins, evening, "left" FROM class_member'
        ).fetchall()
        written = connection.execute(
            'SELECT "class", written_by, text, written FROM class_message'
        ).fetchall()
    assert members == [("Ottoline Marsh", "Thursday", "2026-01-08", "thursday", None)]
    assert written == [("Thursday", "Isolde Crane", "well done", "2026-02-03T18:30:00+00:00")]
