"""Practice week by week, and what it used: counted by hand."""

from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.builders import an_attempt

from platebook.analysis.periods.practice_by_week import WEEKS, Done, Practice, done, together
from platebook.practice import load_course, shipped_course
from platebook.practice.attempt import Attempt

TODAY = date(2026, 3, 4)
"""A Wednesday; its week began on Monday, 2 March."""


def on(day: datetime | None, **values: object) -> Attempt:
    """An attempt of this moment."""
    return an_attempt(**{"stone_diameter_mm": None, "seat_bur_mm": None, "began": day, **values})


def at(year: int, month: int, day: int, hour: int = 19) -> datetime:
    """This hour in UTC."""
    return datetime(year, month, day, hour, tzinfo=UTC)


def test_weeks_begin_on_monday_and_the_empty_ones_count() -> None:
    """Sunday, 1 March belongs to the week of 23 February (ISO 8601)."""
    log = [on(at(2026, 2, 9)), on(at(2026, 3, 1)), on(at(2026, 3, 2)), on(at(2026, 3, 3))]
    practice = done([*log, on(at(2026, 3, 3, 20))]).seen_on(TODAY)
    weeks = [(w.monday, w.attempts, w.days) for w in practice.weeks[-4:]]
    assert weeks == [
        ("2026-02-09", 1, 1),
        ("2026-02-16", 0, 0),
        ("2026-02-23", 1, 1),
        ("2026-03-02", 3, 2),
    ]
    assert practice.a_week == 5 / 4


def test_a_day_is_the_benchs_own() -> None:
    """Half past eleven on Sunday night in the east is Sunday, whatever it is in UTC."""
    east = timezone(timedelta(hours=-5))
    practice = done([on(datetime(2026, 3, 1, 23, 30, tzinfo=east))]).seen_on(TODAY)
    assert [w.attempts for w in practice.weeks[-2:]] == [1, 0]


def test_stones_are_new_ones_and_burs_are_of_a_kind() -> None:
    """A stone set again is not used again; burs of one shape and size are one kind."""
    log = [
        on(None, stone_diameter_mm=1.98, seat_bur_mm=1.9, seat_bur_shape="hart"),
        on(None, stone_diameter_mm=2.02, stone_uses=0, seat_bur_mm=1.9, seat_bur_shape="hart"),
        on(None, stone_diameter_mm=2.02, stone_uses=1, seat_bur_mm=1.9),
        on(None, stone_diameter_mm=1.5, seat_bur="mine", seat_bur_mm=None, seat_bur_shape=None),
    ]
    practice = done(log).seen_on(TODAY)
    assert [(u.what, u.count) for u in practice.stones] == [("1.5 mm", 1), ("2.0 mm", 2)]
    burs = [(u.what, u.count) for u in practice.burs]
    assert burs == [("1.90 mm hart", 3), ("mine", 1)]
    assert practice.a_week is None


def test_a_bur_has_one_name() -> None:
    """Its shape left out, or its name alone: it is the only one of that size or name."""
    setting = on(None, seat_bur="no. 3", seat_bur_mm=1.6, seat_bur_shape="setting")
    without_shape = on(None, seat_bur_mm=1.6, seat_bur_shape=None)
    by_name = on(None, seat_bur="no. 3", seat_bur_shape=None)
    hart = on(None, seat_bur_mm=1.6, seat_bur_shape="hart")
    other = on(None, seat_bur_mm=1.65, seat_bur_shape=None)

    def counted(*logs: Done) -> list[tuple[str, int]]:
        return [(used.what, used.count) for used in together(logs).burs]

    log = (without_shape, setting, by_name, other)
    assert counted(done(log)) == [("1.60 mm setting", 3), ("1.65 mm", 1)]
    assert counted(done([without_shape]), done([setting])) == [("1.60 mm setting", 2)]
    assert counted(done([without_shape, setting, hart])) == [
        ("1.60 mm", 1),
        ("1.60 mm hart", 1),
        ("1.60 mm setting", 1),
    ]


def test_nothing_logged_is_nothing_used() -> None:
    """Eight weeks of nothing, and no mean."""
    practice = done([]).seen_on(TODAY)
    assert practice == Practice(practice.weeks, practice.recent, None, (), ())
    assert practice.recent
    assert [w.attempts for w in practice.weeks] == [0] * WEEKS


def test_who_has_been_away_is_shown_by_their_last_weeks() -> None:
    """Nine weeks without practice: the weeks end with the last one there was."""
    practice = done([on(at(2025, 12, 30)), on(at(2025, 12, 31))]).seen_on(TODAY)
    assert (practice.recent, practice.weeks[-1].monday, practice.weeks[-1].attempts) == (
        False,
        "2025-12-29",
        2,
    )
    just = done([on(at(2026, 1, 5 + 7))]).seen_on(TODAY)
    assert (just.recent, just.weeks[0].attempts) == (True, 1)


@given(st.lists(st.integers(-400, 400), max_size=30))
def test_no_attempt_of_the_shown_weeks_is_lost_or_counted_twice(days: list[int]) -> None:
    """All of the weeks shown, and none of before or after; never none where there was practice."""
    log = [on(at(2026, 3, 4) + timedelta(days=n)) for n in days]
    practice = done(log).seen_on(TODAY)
    last = date.fromisoformat(practice.weeks[-1].monday)
    first = last - timedelta(weeks=WEEKS - 1)
    week = timedelta(days=7)
    shown = [a for a in log if a.began and first <= a.began.date() < last + week]
    assert shown or not any(n <= 0 for n in days)
    assert sum(w.attempts for w in practice.weeks) == len(shown)


@pytest.mark.parametrize(
    ("measured", "sold"),
    [(1.75, "1.75 mm"), (1.76, "1.75 mm"), (1.98, "2.0 mm"), (1.25, "1.25 mm"), (2.0, "2.0 mm")],
)
def test_a_stone_is_listed_by_the_size_it_is_ordered_in(measured: float, sold: str) -> None:
    """Quarters have both their decimals; what a caliper read is the size it was sold as."""
    assert [u.what for u in done([on(None, stone_diameter_mm=measured)]).stones] == [sold]


def test_the_sizes_of_the_course_come_first() -> None:
    """A course of 1.35 mm stones uses up 1.35 mm stones, whatever a caliper reads."""
    course = load_course(
        shipped_course("small-to-large").replace("stones_mm = [1.5]", "stones_mm = [1.35]")
    )
    log = [on(None, stone_diameter_mm=mm) for mm in (1.34, 1.35, 1.37)]
    assert [(u.what, u.count) for u in done(log, course).stones] == [("1.35 mm", 3)]
