"""What is a setter's: tools, plates, inspections, and a digest that follows every change."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path

import pytest
from tests.logbook.books import (
    AUTHOR,
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
from tests.logbook.handed_on import bundle_of, revisions_by

from platebook.logbook import Logbook, LogbookError, defaults, open_logbook, records, setter_records
from platebook.logbook.attempts.attempt_queries import count_attempts
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.logbook.bundles.importing import unite
from platebook.logbook.erasures import erasing
from platebook.logbook.file import integrity
from platebook.logbook.file.migrating import shipped_steps
from platebook.logbook.history import undo_redo
from platebook.logbook.history.revisions import clashes
from platebook.logbook.record_kinds import kinds
from platebook.logbook.records import (
    add_attempts,
    add_draws,
    add_inspections,
    add_plate,
    add_setter,
    add_sign_off,
    add_tools,
    merge_setters,
)
from platebook.practice.attempt import Attempt
from platebook.practice.records import Draw, Inspection, Plate, Setter, SignOff
from platebook.trade.records import Tool

TUTOR = "Runa Falk"


def with_both(book: Logbook) -> tuple[Draw, SignOff]:
    """A draw among three attempts and a grade signed off, by somebody the logbook knows."""
    ids = log(book, 3)
    tutor = book.tell(add_setter, TUTOR, book.stamp(TUTOR, NOW, "add"))
    draw = Draw(setter_id=ME, attempt_id=ids[1], pool=ids, seed="s", drawn=NOW)
    sign_off = SignOff(
        setter_id=ME,
        course="small-to-large",
        grade="copper-1.5",
        signed_by=tutor.setter_id or "",
        attempt_id=ids[2],
        signed=NOW,
    )
    (kept,) = book.tell(add_draws, [draw], book.stamp("the draw", NOW, "draw"))
    return kept, book.tell(add_sign_off, sign_off, book.stamp(TUTOR, NOW, "add"))


def test_they_are_kept_as_they_were_given(tmp_path: Path) -> None:
    """With an id each; and the logbook is whole."""
    with a_book_with_setter(tmp_path) as book:
        draw, sign_off = with_both(book)
        assert (book.ask(setter_records.draws, ME), book.ask(setter_records.sign_offs, ME)) == (
            (draw,),
            (sign_off,),
        )
        assert book.ask(integrity.problems_in) == ()


def test_a_draw_is_no_news_for_answers_and_a_sign_off_is(tmp_path: Path) -> None:
    """What is kept of findings stays when a position is drawn."""
    with a_book_with_setter(tmp_path) as book:
        draw, sign_off = with_both(book)
        before = book.ask(defaults.digest, ME)
        book.tell(
            add_draws,
            [draw.model_copy(update={"draw_id": None})],
            book.stamp("the draw", NOW, "draw"),
        )
        assert book.ask(defaults.digest, ME) == before
        again = sign_off.model_copy(update={"sign_off_id": None})
        book.tell(add_sign_off, again, book.stamp(TUTOR, NOW, "add"))
        assert book.ask(defaults.digest, ME) != before


def test_a_sign_off_is_taken_back_and_put_back(tmp_path: Path) -> None:
    """By whoever gave it; the draw in between stays out of it."""
    with a_book_with_setter(tmp_path) as book:
        _, sign_off = with_both(book)
        assert (
            book.tell(undo_redo.undo, book.stamp(TUTOR, NOW, "undo")).words
            == "Taken back: adding the sign-off of 1.5 mm in copper for Ottoline Marsh."
        )
        assert book.ask(setter_records.sign_offs, ME) == ()
        book.tell(undo_redo.redo, book.stamp(TUTOR, NOW, "redo"))
        assert (
            book.ask(setter_records.sign_offs, ME),
            len(book.ask(setter_records.draws, ME)),
        ) == (
            (sign_off,),
            1,
        )


def test_they_travel_to_the_setter_with_whoever_signed(tmp_path: Path) -> None:
    """The setter's own logbook takes in what concerns them."""
    with a_book_with_setter(tmp_path, "a.sqlite") as one, a_book(tmp_path, "b.sqlite") as other:
        draw, sign_off = with_both(one)
        receive(other, one.ask(bundle_of), only=ME)
        assert (other.ask(setter_records.draws, ME), other.ask(setter_records.sign_offs, ME)) == (
            (draw,),
            (sign_off,),
        )
        assert {setter.name for setter in other.ask(setter_records.setters)} == {AUTHOR, TUTOR}
        assert other.ask(integrity.problems_in) == ()


def test_they_move_with_a_merge_and_go_with_an_erased_person(tmp_path: Path) -> None:
    """What is a setter's goes where they go."""
    with a_book_with_setter(tmp_path) as book:
        with_both(book)
        other = book.tell(add_setter, "Ottoline M.", signed(book, "add")).setter_id or ""
        book.tell(merge_setters, other, ME, signed(book, "merge"))
        assert (
            len(book.ask(setter_records.draws, other)),
            len(book.ask(setter_records.sign_offs, other)),
        ) == (1, 1)
        book.tell(erasing.erase, book.path, other, NOW)
        assert not {r.kind for r in book.ask(revisions_by)} & {"draw", "sign_off"}
        assert book.ask(integrity.problems_in) == ()


def test_nobody_unknown_is_signed_for(tmp_path: Path) -> None:
    """A sign-off is of a setter whom the logbook has."""
    nobody = SignOff(setter_id="x", course="c", grade="g", signed_by="t")
    with a_book(tmp_path) as book, pytest.raises(LogbookError, match="There is no setter"):
        book.tell(add_sign_off, nobody, book.stamp(TUTOR, NOW, "add"))


@contextmanager
def _columns_of_today(older: Logbook) -> Iterator[None]:
    """With the columns that this program writes, in a file whose steps have not come to them."""
    added = []
    for kind in kinds().values():
        there = {row["name"] for row in older._db.query(f"PRAGMA table_info({kind.name})")}
        if there:
            added += [(kind.name, name) for name in kind.table_columns if name not in there]
    added += [("change", "checksum"), ("revision", "checksum")]
    for table, column in added:
        older._db.execute(f"ALTER TABLE {table} ADD COLUMN {column} ANY")
    yield
    for table, column in added:
        older._db.execute(f"ALTER TABLE {table} DROP COLUMN {column}")


def test_what_an_older_program_kept_for_later_stands_after_the_step(tmp_path: Path) -> None:
    """It took both in as kinds it did not know; a record that cannot be one stays a revision."""
    path = tmp_path / "older.sqlite"
    with a_book_with_setter(tmp_path, "newer.sqlite") as book:
        draw, sign_off = with_both(book)
        book.tell(undo_redo.undo, book.stamp(TUTOR, NOW, "undo"))
        book.tell(undo_redo.redo, book.stamp(TUTOR, NOW, "redo"))
        given = book.ask(revisions_by)
    with open_logbook(tmp_path / "newer.sqlite") as book:
        older = open_logbook(path, steps=shipped_steps()[:3])
        kept = {r.revision_id: r for r in given if r.kind not in {"draw", "sign_off"}}
        with _columns_of_today(older):
            older.tell(unite, kept, {}, older.new_id(NOW))
        older.close()
        _put_in(path, tmp_path / "newer.sqlite")
    with open_logbook(path) as book:
        assert (book.ask(setter_records.draws, ME), book.ask(setter_records.sign_offs, ME)) == (
            (draw,),
            (sign_off,),
        )
        named = "The random draw bad (saved last on 3 February 2026 at 18:30)"
        assert book.ask(integrity.problems_in) == (f"{named} is not what its revisions make it.",)


def _put_in(path: Path, source: Path) -> None:
    """Revisions of the later kinds as the older program stores what it does not know."""
    connection = sqlite3.connect(path)
    connection.execute("ATTACH ? AS source", [str(source)])
    for table, which in (("change", "1"), ("revision", "kind IN ('draw', 'sign_off')")):
        rows = connection.execute("SELECT name FROM pragma_table_info(?)", [table])
        columns = ", ".join(row[0] for row in rows)
        later = f"SELECT {columns} FROM source.{table} WHERE {which}"  # noqa: S608 - names of our own
        connection.execute(f"INSERT OR IGNORE INTO {table} ({columns}) {later}")
    connection.execute(
        "INSERT INTO revision SELECT 'bad', 'draw', 'bad', '[]', change_id, counter, 1, 0, '{}'"
        " FROM change LIMIT 1"
    )
    connection.commit()
    connection.close()


LATER = NOW + timedelta(hours=1)


def test_every_kind_comes_back_as_it_was(tmp_path: Path) -> None:
    """Setter, tool, plate and inspection, with nothing of them empty."""
    setter = Setter(
        setter_id="s",
        name="Ansel Reed",
        group="Tuesday",
        active=False,
        course="small to large",
        track="sterling",
        note="left-handed",
    )
    tool = Tool(
        tool_id="t",
        kind="bur",
        name="old hart",
        shape="hart",
        size_mm=1.903,
        angle_deg=90.5,
        seats_cut=7,
        resolution_mm=0.01,
        mpe_mm=0.02,
        note="chipped tooth",
    )
    plate = Plate(
        plate_id="p",
        setter_id="s",
        name="plate 1",
        metal="copper",
        metal_state="annealed today",
        sheet_mm=0.812,
        layers=2,
        backing="none",
        support="pitch",
        positions=("1", "2", "10"),
        across=2,
        pitch_mm=6.5,
        width_mm=50.8,
        height_mm=25.4,
        stones_mm=(1.5, 2.0),
        note="notch filed",
    )
    with a_book_with_setter(tmp_path) as book:
        assert book.tell(add_setter, setter, signed(book, "add")) == setter
        assert book.tell(add_tools, "s", [tool], signed(book, "add"))[0] == tool
        assert book.tell(add_plate, plate, signed(book, "add")) == plate
        (attempt_id,) = book.tell(add_attempts, [Attempt(setter_id="s")], signed(book, "record"))
        look = Inspection(
            inspection_id="i",
            attempt_id=attempt_id,
            inspector="s",
            result=("gap",),
            severity=(1,),
            clock=4,
            comment="burnish toward it",
            drawn_at_random=True,
            looked=NOW,
        )
        assert book.tell(add_inspections, [look], signed(book, "inspect")) == (look,)
    with a_book(tmp_path) as book:
        assert book.ask(setter_records.setters)[-1] == setter
        assert (book.ask(setter_records.tools, "s"), book.ask(setter_records.plates, "s")) == (
            (tool,),
            (plate,),
        )
        assert (
            book.ask(setter_records.inspections, "s"),
            book.ask(setter_records.inspections, ME),
        ) == (
            (look,),
            (),
        )
        assert book.ask(setter_records.inspections) == (look,)
        assert book.ask(integrity.problems_in) == ()


def test_a_tool_stays_its_setters_when_it_is_corrected(tmp_path: Path) -> None:
    """The value itself has no word of whose it is."""
    with a_book_with_setter(tmp_path) as book:
        (tool,) = book.tell(add_tools, ME, [Tool(kind="bur", size_mm=1.9)], signed(book, "add"))
        assert tool.tool_id is not None
        worn = tool.model_copy(update={"size_mm": 1.88})
        book.tell(records.amend, "tool", tool.tool_id, worn, book.stamp(AUTHOR, LATER, "amend"))
        assert book.ask(setter_records.tools, ME) == (worn,)


def test_what_hangs_on_something_unknown_is_refused(tmp_path: Path) -> None:
    """A tool or plate of nobody, an inspection of no attempt."""
    with a_book_with_setter(tmp_path) as book:
        additions: tuple[Callable[[], object], ...] = (
            lambda: book.tell(add_tools, "x", [Tool(kind="bur")], signed(book, "add"))[0],
            lambda: book.tell(add_plate, Plate(name="plate"), signed(book, "add")),
            lambda: book.tell(
                add_inspections,
                [Inspection(attempt_id="x", inspector=ME)],
                signed(book, "inspect"),
            ),
        )
        for add in additions:
            with pytest.raises(LogbookError) as caught:
                add()
            assert caught.value.cause == "unknown"
        assert len(book.ask(revisions_by)) == 1


def test_every_change_gives_the_setters_concerned_a_new_digest(tmp_path: Path) -> None:
    """So a result kept under the old digest is never shown for the new record."""
    with a_book_with_setter(tmp_path) as book:
        other = book.tell(add_setter, "Ansel Reed", signed(book, "add"))
        assert other.setter_id is not None
        untouched = book.ask(defaults.digest, other.setter_id)
        seen = {book.ask(defaults.digest, ME)}
        (record_id,) = log(book, 1)
        seen.add(book.ask(defaults.digest, ME))
        look = Inspection(attempt_id=record_id, inspector="Ansel Reed", result=("good",))
        book.tell(add_inspections, [look], book.stamp("Ansel Reed", NOW, "inspect"))
        seen.add(book.ask(defaults.digest, ME))
        book.tell(records.hide, "attempt", [record_id], signed(book, "hide"))
        seen.add(book.ask(defaults.digest, ME))
        book.tell(undo_redo.undo, signed(book, "undo"))
        seen.add(book.ask(defaults.digest, ME))
        assert len(seen) == 5
        assert book.ask(defaults.digest, other.setter_id) == untouched
        moved = some_attempts(1)[0].with_values(setter_id=other.setter_id)
        book.tell(records.amend, "attempt", record_id, moved, signed(book, "amend"))
        assert book.ask(defaults.digests) == {
            ME: book.ask(defaults.digest, ME),
            other.setter_id: book.ask(defaults.digest, other.setter_id),
        }
        assert book.ask(defaults.digest, ME) not in seen
        assert book.ask(defaults.digest, other.setter_id) != untouched
        assert book.ask(defaults.digest, "unknown") == ""
        assert (
            book.ask(count_attempts, Wanted(setter_id=ME)),
            book.ask(count_attempts, Wanted(setter_id=other.setter_id)),
        ) == (0, 1)
        assert book.ask(integrity.problems_in) == ()


MINE = "my 1.9"


def cut(book: Logbook, *uses: int) -> None:
    """Add an attempt with the bur for each of these counts before it."""
    attempts: list[Attempt] = [
        attempt.with_values(seat_bur=MINE, seat_bur_uses=count)
        for attempt, count in zip(some_attempts(len(uses)), uses, strict=True)
    ]
    book.tell(add_attempts, attempts, signed(book, "record"))


def a_bur(book: Logbook, seats_cut: int = 0) -> None:
    """Put the bur into the drawer, with what it has cut so far."""
    tool = Tool(kind="bur", name=MINE, size_mm=1.9, seats_cut=seats_cut)
    book.tell(add_tools, ME, [tool], signed(book, "add"))


def seats(book: Logbook) -> list[int]:
    """What the drawer says of each bur."""
    return [tool.seats_cut for tool in book.ask(setter_records.tools, ME)]


def test_two_logbooks_that_cut_with_one_bur_do_not_clash(tmp_path: Path) -> None:
    """Both go on from 7; together the bur has cut all of their seats, everywhere the same."""
    with a_book_with_setter(tmp_path, "one.sqlite") as one, a_book(tmp_path, "two.sqlite") as two:
        a_bur(one, 7)
        receive_revisions(two, one.ask(revisions_by))
        cut(one, 7, 8)
        cut(two, 7, 8, 9)
        receive_revisions(one, two.ask(revisions_by))
        receive_revisions(two, one.ask(revisions_by))
        assert (seats(one), seats(two)) == ([12], [12])
        assert (one.ask(clashes), two.ask(clashes)) == ((), ())


def test_taking_attempts_back_takes_their_seats_back(tmp_path: Path) -> None:
    """The count is never behind what stands."""
    with a_book_with_setter(tmp_path) as book:
        a_bur(book, 4)
        cut(book, 4, 5)
        assert seats(book) == [6]
        assert book.tell(undo_redo.undo, signed(book, "undo")).words == "Taken back: 2 attempts."
        assert seats(book) == [4]


def test_a_bur_never_counts_less_than_what_was_said_of_it(tmp_path: Path) -> None:
    """Its own record, or an attempt that came with a count of its own."""
    with a_book_with_setter(tmp_path) as book:
        a_bur(book, 20)
        cut(book, 3)
        assert seats(book) == [20]
        cut(book, 40)
        assert seats(book) == [41]


def test_a_new_bur_of_the_old_name_starts_afresh(tmp_path: Path) -> None:
    """What was cut before it came into the drawer was cut with the old one."""
    with a_book_with_setter(tmp_path) as book:
        a_bur(book)
        cut(book, 0, 1)
        a_bur(book)
        assert seats(book) == [2, 0]
        cut(book, 0)
        assert seats(book) == [2, 1]


def test_one_setter_is_found_by_id_where_they_stand(tmp_path: Path) -> None:
    """The same as among all of them; nobody for one who was hidden, for an unknown id, for none."""
    with a_book_with_setter(tmp_path) as book:
        book.tell(add_setter, TUTOR, book.stamp(TUTOR, NOW, "add"))
        for setter in book.ask(setter_records.setters):
            assert book.ask(setter_records.setter_with_id, setter.setter_id) == setter
        book.tell(records.hide, "setter", [ME], signed(book, "remove"))
        assert [book.ask(setter_records.setter_with_id, who) for who in (ME, "x", None)] == [
            None
        ] * 3
