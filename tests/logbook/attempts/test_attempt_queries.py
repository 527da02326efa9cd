"""Attempts as they stand: in order, page by page, narrowed and counted, and fast by an index."""

from datetime import timedelta, timezone
from pathlib import Path
from typing import Any

import pytest
from tests.logbook.books import AUTHOR, ME, NOW, a_book_with_setter, log, signed, some_attempts

from platebook.logbook import Logbook, records, setter_records
from platebook.logbook.attempts.attempt_queries import (
    attempt_by_id,
    attempt_ids_ending,
    attempts_by_id,
    count_attempts,
    days_practised,
    latest_set_ups,
    select_attempts,
)
from platebook.logbook.attempts.wanted_attempts import Order, Wanted
from platebook.logbook.history import undo_redo
from platebook.logbook.records import add_attempts, add_setter
from platebook.practice.attempt import Attempt, in_order


def notes(attempts: tuple[Attempt, ...]) -> list[str | None]:
    """The notes, which the tests use as names."""
    return [attempt.note for attempt in attempts]


def add(book: Logbook, *attempts: Attempt) -> tuple[str, ...]:
    """Add these attempts as one change."""
    return book.tell(add_attempts, attempts, signed(book, "record"))


def mine(note: str, minutes: float | None = 0, **values: Any) -> Attempt:
    """An attempt with a name, begun so many minutes after the first; None for no time."""
    began = None if minutes is None else NOW + timedelta(minutes=minutes)
    return Attempt(setter_id=ME, began=began, note=note, **values)


def test_the_order_is_that_of_the_record(tmp_path: Path) -> None:
    """By `began`, then id; those without a time first; as `practice.in_order` has it."""
    with a_book_with_setter(tmp_path) as book:
        add(book, mine("late", 5), mine("timeless a", None), mine("first"), mine("first too"))
        add(book, mine("timeless b", None), mine("before 1970", -60 * 24 * 365 * 80))
        found = book.ask(select_attempts)
        assert found == in_order(found)
        assert notes(found) == [
            "timeless a",
            "timeless b",
            "before 1970",
            "first",
            "first too",
            "late",
        ]
        assert notes(book.ask(select_attempts, newest_first=True)) == notes(found)[::-1]


def test_only_the_fields_asked_for_are_read(tmp_path: Path) -> None:
    """The others stand empty; whose an attempt is and in which order they are is as ever."""
    with a_book_with_setter(tmp_path) as book:
        add(book, mine("a", 2, metal="copper", sheet_mm=0.8), mine("b", 1, layers=2, day_only=True))
        only = ("began", "metal", "day_only")
        whole = book.ask(select_attempts)
        asked = {*only, "attempt_id", "setter_id", "setter"}
        empty = dict.fromkeys({*Attempt.__struct_fields__} - asked)
        expected = tuple(a.with_values(**empty | {"extra": ()}) for a in whole)
        assert book.ask(select_attempts, Wanted(setter_id=ME), only=only) == expected


def test_rows_of_one_time_keep_the_order_they_came_in(tmp_path: Path) -> None:
    """A day without hours keeps the file's order, over several changes and a clock that stands."""
    with a_book_with_setter(tmp_path) as book:
        names = [str(number) for number in range(60)]
        for start in range(0, 60, 20):
            add(book, *(mine(name, day_only=True) for name in names[start : start + 20]))
        assert notes(book.ask(select_attempts)) == names


@pytest.mark.parametrize("newest_first", [False, True])
def test_pages_join_without_gap_or_double(tmp_path: Path, *, newest_first: bool) -> None:
    """Each page is asked for by the last attempt of the one before, timeless ones included."""
    with a_book_with_setter(tmp_path) as book:
        add(book, *(mine(str(n), n // 3 if n > 5 else None) for n in range(20)))
        whole = book.ask(select_attempts, newest_first=newest_first)
        joined: tuple[Attempt, ...] = ()
        while True:
            last = joined[-1] if joined else None
            bound = Wanted(before=last) if newest_first else Wanted(after=last)
            page = book.ask(select_attempts, bound, limit=3, newest_first=newest_first)
            if not page:
                break
            joined += page
        assert joined == whole
        assert len(whole) == 20


def test_a_page_does_not_move_when_attempts_are_added(tmp_path: Path) -> None:
    """The bound is an attempt and not a number of rows to skip."""
    with a_book_with_setter(tmp_path) as book:
        add(book, *(mine(str(n), n) for n in range(6)))
        first = book.ask(select_attempts, limit=2, newest_first=True)
        add(book, mine("new", 99))
        assert notes(
            book.ask(select_attempts, Wanted(before=first[-1]), limit=2, newest_first=True)
        ) == ["3", "2"]


def test_attempts_are_narrowed_by_setter_grade_and_result(tmp_path: Path) -> None:
    """All conditions hold together, and the count says the same as the list."""
    with a_book_with_setter(tmp_path) as book:
        log(book, 12)
        other = book.tell(add_setter, "Ansel Reed", signed(book, "add"))
        assert other.setter_id is not None
        book.tell(
            add_attempts,
            some_attempts(5, setter_id=other.setter_id),
            signed(book, "record"),
        )
        for wanted, expected in (
            (Wanted(), 17),
            (Wanted(setter_id=ME), 12),
            (Wanted(setter_id=ME, grade="copper-2.0"), 6),
            (Wanted(setter_id=ME, result="loose"), 4),
            (Wanted(grade="copper-2.0", result="loose"), 3),
            (Wanted(setter_id="nobody"), 0),
        ):
            found = book.ask(select_attempts, wanted)
            assert (len(found), book.ask(count_attempts, wanted)) == (expected, expected), wanted


@pytest.mark.parametrize("result", ['lo"ose', "a\\", "50%", "ü", "loose"])
def test_a_result_is_found_whatever_it_is_called(result: str, tmp_path: Path) -> None:
    """A value outside the list is kept as typed, and found by itself alone."""
    others = ("loosely", "not loose", 'x"loose"y')
    with a_book_with_setter(tmp_path) as book:
        add(book, mine("it", result=("good", result)), mine("not it", result=others))
        assert notes(book.ask(select_attempts, Wanted(result=result))) == ["it"]


def test_one_attempt_is_found_by_its_id(tmp_path: Path) -> None:
    """With its setter's name as it is now; an unknown or hidden one is None."""
    with a_book_with_setter(tmp_path) as book:
        (record_id,) = add(book, mine("a"))
        found = book.ask(attempt_by_id, record_id)
        assert found == mine("a").with_values(attempt_id=record_id, setter=AUTHOR)
        me = book.ask(setter_records.setters)[0]
        renamed = me.model_copy(update={"name": "Ottoline Reed"})
        book.tell(records.amend, "setter", ME, renamed, signed(book, "amend"))
        assert [a.setter for a in book.ask(attempts_by_id, [record_id, "?"])] == ["Ottoline Reed"]
        book.tell(records.hide, "attempt", [record_id], signed(book, "hide"))
        assert (book.ask(attempt_by_id, record_id), book.ask(attempt_by_id, "unknown")) == (
            None,
            None,
        )


@pytest.mark.parametrize(
    "wanted",
    [
        Wanted(),
        Wanted(setter_id=ME),
        Wanted(setter_id=ME, grade="copper-2.0"),
        Wanted(setter_id=ME, result="loose"),
        Wanted(setter_id=ME, before=Attempt(attempt_id="x", began=NOW)),
        Wanted(order="stone"),
        Wanted(order="grade"),
        Wanted(setter_id=ME, order="stone", before=Attempt(attempt_id="x", began=NOW)),
        Wanted(setter_id=ME, order="grade"),
    ],
)
def test_a_page_is_read_from_an_index_in_its_order(wanted: Wanted, tmp_path: Path) -> None:
    """No page sorts or scans the table, however large it is."""
    where, values = wanted.where()
    with a_book_with_setter(tmp_path) as book:
        plan = book._db.execute(
            f"EXPLAIN QUERY PLAN SELECT * FROM attempt WHERE {where}"  # noqa: S608 - from the code
            f" ORDER BY {wanted.order_by(newest_first=True)} LIMIT ?",
            [*values, 50],
        ).fetchall()
    steps = [row[3] for row in plan]
    assert len(steps) == 1
    assert "USING INDEX attempt_" in steps[0]


def _found(book: Logbook, *words: str) -> list[str | None]:
    return notes(book.ask(select_attempts, Wanted(words=words)))


def test_words_are_looked_for_in_texts_times_and_sizes(tmp_path: Path) -> None:
    """All of them, in any case, with SQL's own wildcards as the signs they are."""
    with a_book_with_setter(tmp_path) as book:
        add(
            book,
            mine("100% ÄRGER_1", 0, stone_diameter_mm=1.98, result=("off mark",)),
            mine("100 x ärger", 90, stone_diameter_mm=2.5, metal="copper"),
            mine("plain", 60 * 24, seat_bur_mm=1.9, result=("loose", "high"), severity=(2, 1)),
        )
        assert _found(book, "OFF") == ["100% ÄRGER_1"]
        assert _found(book, "100%") == ["100% ÄRGER_1"]
        assert _found(book, "r_1") == ["100% ÄRGER_1"]
        assert _found(book, "Ärger") == ["100% ÄRGER_1", "100 x ärger"]
        assert _found(book, "1.98") == ["100% ÄRGER_1"]
        assert _found(book, "1.9") == ["100% ÄRGER_1", "plain"]
        assert _found(book, "20:00") == ["100 x ärger"]
        assert _found(book, "03t18:30") == ["100% ÄRGER_1"]
        assert _found(book, "2026-02-04") == ["plain"]
        assert _found(book, "loose", "HIGH") == ["plain"]
        assert _found(book, "loose", "copper") == []
        assert len(_found(book, "ottoline")) == 3
        assert _found(book) == notes(book.ask(select_attempts))


@pytest.mark.parametrize(
    ("word", "expected"),
    [
        ("result=loose", ["b"]),
        ("stone_diameter_mm=1.98", ["a"]),
        ("stone_diameter_mm=5/64in", ["b"]),
        ("clock=4", ["b"]),
        ("hand_cut=yes", ["a"]),
        ("hand_cut=maybe", []),
        ("clock=four", []),
        ("stone_diameter_mm=wide", []),
        ("metal=", ["b"]),
        ("metal=COPPER", ["a"]),
        ("began=2026-02-03", ["a", "b"]),
        ("metal=Ω", []),
        ("nofield=copper", []),
    ],
)
def test_a_word_may_name_its_field(word: str, expected: list[str], tmp_path: Path) -> None:
    """`field=value` looks into that field alone; a value it cannot have is found nowhere."""
    with a_book_with_setter(tmp_path) as book:
        add(
            book,
            mine("a", stone_diameter_mm=1.98, metal="copper", hand_cut=True),
            mine("b", 1, stone_diameter_mm=1.984, result=("loose",), clock=4),
        )
        assert _found(book, word) == expected


def test_other_orders_join_page_by_page(tmp_path: Path) -> None:
    """By stone or by grade, then by time; what has neither comes last when the largest is first."""
    sizes = (1.5, None, 2.5, 2.0, 1.5, 2.5, None, 2.0)
    with a_book_with_setter(tmp_path) as book:
        grades = ("b", "a", None, "b", "c", "a", None, "c")
        pairs = zip(sizes, grades, strict=True)
        add(
            book,
            *(mine(str(n), n, stone_diameter_mm=s, grade=g) for n, (s, g) in enumerate(pairs)),
        )
        orders: dict[Order, str] = {"stone": "52734061", "grade": "74305162"}
        for order, expected in orders.items():
            joined: tuple[Attempt, ...] = ()
            while page := book.ask(
                select_attempts,
                Wanted(order=order, before=joined[-1] if joined else None),
                newest_first=True,
                limit=3,
            ):
                joined += page
            assert "".join(str(n) for n in notes(joined)) == expected


def test_of_each_set_up_the_last_attempt_is_given(tmp_path: Path) -> None:
    """In order of time, whatever came between; none of parts, or with sheet or stone unknown."""
    stone: dict[str, Any] = {"stone_diameter_mm": 2.0, "metal": "copper", "sheet_mm": 0.8}
    with a_book_with_setter(tmp_path) as book:
        add(
            book,
            mine("first", 0, **stone),
            mine("harder", 1, **stone | {"metal": "sterling silver"}),
            mine("again", 2, **stone),
            mine("a part", 3, kind="part", part="level", **stone),
            mine("no sheet", 4, **stone | {"sheet_mm": None}),
            mine("at a grade", 5, grade="copper-2.0", **stone),
        )
        found = book.ask(latest_set_ups, ME)
    assert notes(found) == ["harder", "again", "at a grade"]


def test_attempts_are_found_by_the_end_of_their_id(tmp_path: Path) -> None:
    """The short form that lists show; its signs are signs."""
    with a_book_with_setter(tmp_path) as book:
        one, _ = add(book, mine("a"), mine("b"))
        assert book.ask(attempt_ids_ending, one[-12:]) == (one,)
        assert book.ask(attempt_ids_ending, "%") == ()


def test_several_are_hidden_as_one_change(tmp_path: Path) -> None:
    """One undo brings all of them back; hiding them again changes nothing."""
    with a_book_with_setter(tmp_path) as book:
        ids = add(book, mine("a"), mine("b"), mine("c"))
        book.tell(records.hide, "attempt", ids[:2], signed(book, "hide"))
        assert notes(book.ask(select_attempts)) == ["c"]
        assert book.tell(records.hide, "attempt", ids[:2], signed(book, "hide")) is None
        book.tell(undo_redo.undo, signed(book, "undo"))
        assert notes(book.ask(select_attempts)) == ["a", "b", "c"]


def test_the_days_of_practice_are_those_of_where_it_was_made(tmp_path: Path) -> None:
    """Each day once; an attempt without a time has none, and nobody else's is told."""
    east = NOW.astimezone(timezone(timedelta(hours=12)))
    late = east.replace(hour=0, minute=30)
    with a_book_with_setter(tmp_path) as book:
        add(book, mine("one"), mine("two", 1), mine("timeless", None))
        add(book, Attempt(setter_id=ME, began=late, note="after midnight, far east"))
        assert book.ask(days_practised, [ME, "nobody"]) == {
            ME: frozenset({NOW.date(), late.date()})
        }
        assert book.ask(days_practised, ["nobody"]) == {}
