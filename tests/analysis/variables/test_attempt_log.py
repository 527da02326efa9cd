"""A setter's log: sessions by pauses, and which attempts count as what."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta

import pytest
from tests.simulated.planted import Plan, planted

from platebook.analysis import find
from platebook.analysis.variables.attempt_log import (
    AttemptLog,
    Window,
    attempt_log,
    places,
    recent,
)
from platebook.practice.attempt import Attempt
from platebook.values import replace

EVENING = datetime(2026, 2, 3, 18, 30, tzinfo=UTC)


def _at(*minutes: float, takes: float | None = None) -> list[Attempt]:
    return [Attempt(began=EVENING + timedelta(minutes=m), minutes=takes) for m in minutes]


def test_a_pause_of_over_three_hours_begins_a_session() -> None:
    """180 minutes are still the same session, 181 are not."""
    assert [p.session for p in places(_at(0, 180, 361))] == [0, 0, 1]


def test_the_pause_counts_from_the_end_of_the_last_attempt() -> None:
    """An attempt that took an hour moves the pause by an hour."""
    assert [p.session for p in places(_at(0, 230, takes=60))] == [0, 0]


def test_order_and_minutes_start_again_with_each_session() -> None:
    """The first attempt of a session stands at minute 0 and place 1."""
    in_time = places(_at(0, 20, 24 * 60, 24 * 60 + 15))
    assert [(p.order_in_session, p.minutes_into_session) for p in in_time] == [
        (1, 0.0),
        (2, 20.0),
        (1, 0.0),
        (2, 15.0),
    ]


def test_days_since_practice_stand_for_the_whole_session() -> None:
    """Nobody practised before the first session, so there it is empty."""
    in_time = places(_at(0, 20, 7 * 24 * 60, 7 * 24 * 60 + 30))
    assert [p.days_since_practice for p in in_time[:2]] == [None, None]
    assert [p.days_since_practice for p in in_time[2:]] == [7, 7]


def test_a_day_without_hours_is_one_session_without_minutes() -> None:
    """Two rows of one day are one sitting; nobody knows how far into it they were."""
    day = datetime(2026, 2, 3, tzinfo=UTC)
    rows = [Attempt(began=day + timedelta(days=d), day_only=True) for d in (0, 0, 2)]
    in_time = places(rows)
    assert [p.session for p in in_time] == [0, 0, 1]
    assert [p.minutes_into_session for p in in_time] == [None, None, None]
    assert in_time[2].days_since_practice == 2


def test_attempts_without_a_date_are_a_session_a_plate() -> None:
    """A plate is done in one go more often than not."""
    rows = [Attempt(plate="1"), Attempt(plate="1"), Attempt(plate="2"), *_at(0)]
    assert [p.session for p in places(rows)] == [0, 0, 1, 2]


def test_the_order_on_a_plate_counts_each_plate_by_itself() -> None:
    """Two plates in one session are each counted from one."""
    rows = [
        Attempt(began=EVENING + timedelta(minutes=10 * i), plate=plate)
        for i, plate in enumerate("abab")
    ]
    assert [p.order_on_plate for p in places(rows)] == [1, 1, 2, 2]


def test_no_attempts_have_no_places() -> None:
    """An empty log is an empty answer."""
    assert places([]) == ()


def _dated(days: Sequence[int | None]) -> AttemptLog:
    """One good attempt on each of these days after the first evening, or on none."""
    start = datetime(2025, 1, 31, 18, 0, tzinfo=UTC)
    return attempt_log(
        [
            Attempt(result=("good",), began=None if day is None else start + timedelta(days=day))
            for day in days
        ]
    )


@pytest.mark.parametrize(
    ("window", "kept"),
    [
        (Window(), 6),
        (Window(most=4), 4),
        (Window(months=12), 2),
        (Window(months=13), 3),
        (Window(months=13, most=1), 1),
        (Window(since=date(2025, 2, 1)), 4),
        (Window(since=date(2030, 1, 1)), 0),
    ],
)
def test_a_window_keeps_the_latest(window: Window, kept: int) -> None:
    """By number, by months before the newest, by a day; undated ones come before all of them."""
    log = _dated([None, 0, 1, 40, 370, 410])
    inside = recent(log, window)
    assert (len(inside), inside.before) == (kept, 6 - kept)
    assert inside.attempts == log.attempts[6 - kept :]
    assert len(inside.failed) == kept


def test_a_log_without_dates_has_no_months() -> None:
    """Nobody knows how old its attempts are, so that only their number counts."""
    log = _dated([None] * 5)
    assert len(recent(log, Window(months=12))) == 5
    assert len(recent(log, Window(months=12, most=3))) == 3


def test_no_attempts_have_no_present() -> None:
    """An empty log has an empty part."""
    assert len(recent(_dated([]), Window(most=400, months=12))) == 0


def _twice(attempts: tuple[Attempt, ...], *, apart: timedelta) -> list[Attempt]:
    """Each attempt and the same again under another id, so long after it."""
    rows: list[Attempt] = []
    for attempt in attempts:
        assert attempt.began is not None
        again = replace(attempt, attempt_id=f"{attempt.attempt_id}b", began=attempt.began + apart)
        rows += [attempt, again]
    return rows


@pytest.mark.parametrize("apart", [timedelta(0), timedelta(minutes=1)])
def test_a_log_typed_in_twice_counts_once(apart: timedelta) -> None:
    """Rows that agree in every value with the one before, at once or a minute later."""
    attempts = planted(Plan(24), 3).attempts
    twice = attempt_log(_twice(attempts, apart=apart))
    assert (len(twice), twice.failures) == (24, attempt_log(attempts).failures)
    assert "24 rows repeat the one before" in " ".join(find(_twice(attempts, apart=apart)).answer)


def test_alike_rows_without_readings_of_their_own_are_attempts_of_their_own() -> None:
    """Five good ones from one set-up look alike and are five; so do rows with another reading."""
    row = Attempt(result=("good",), stone_diameter_mm=2.0, seat_bur_mm=1.9)
    assert len(attempt_log([row] * 5)) == 5
    assert len(attempt_log([replace(row, seat_diameter_mm=2.0)] * 5)) == 5
    read = replace(row, seat_diameter_mm=2.0, seat_depth_mm=0.4)
    assert len(attempt_log([read, replace(read, seat_depth_mm=0.41), read])) == 3
    assert len(attempt_log([read] * 5)) == 1
