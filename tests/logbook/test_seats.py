"""Seats are counted from the attempts that name a bur, so no two logbooks keep one counter."""

from pathlib import Path

from tests.logbook.books import ME, NOW, a_book, a_book_with_setter, signed, some_attempts

from platebook.logbook import Logbook, belongings, undoing
from platebook.logbook.adding import add_attempts, add_tools
from platebook.logbook.history import clashes
from platebook.logbook.revisions import revisions_by
from platebook.logbook.uniting import unite
from platebook.practice.attempt import Attempt
from platebook.trade.drawer import Tool

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
    return [tool.seats_cut for tool in book.ask(belongings.tools, ME)]


def test_two_logbooks_that_cut_with_one_bur_do_not_clash(tmp_path: Path) -> None:
    """Both go on from 7; together the bur has cut all of their seats, everywhere the same."""
    with a_book_with_setter(tmp_path, "one.sqlite") as one, a_book(tmp_path, "two.sqlite") as two:
        a_bur(one, 7)
        two.tell(unite, one.ask(revisions_by), two.new_id(NOW))
        cut(one, 7, 8)
        cut(two, 7, 8, 9)
        one.tell(unite, two.ask(revisions_by), one.new_id(NOW))
        two.tell(unite, one.ask(revisions_by), two.new_id(NOW))
        assert (seats(one), seats(two)) == ([12], [12])
        assert (one.ask(clashes), two.ask(clashes)) == ((), ())


def test_taking_attempts_back_takes_their_seats_back(tmp_path: Path) -> None:
    """The count is never behind what stands."""
    with a_book_with_setter(tmp_path) as book:
        a_bur(book, 4)
        cut(book, 4, 5)
        assert seats(book) == [6]
        assert (
            book.tell(undoing.undo, signed(book, "undo")).words
            == "Taken back: record of 2 attempts."
        )
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
