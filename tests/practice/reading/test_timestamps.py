"""Moments as people and programs write them."""

from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platebook.practice.reading.timestamps import Moment, read_moment

PLUS_ONE = timezone(timedelta(hours=1))
BERLIN = ZoneInfo("Europe/Berlin")


@pytest.mark.parametrize(
    "typed",
    [
        "2026-02-03T18:30:00+01:00",
        "2026-02-03T18:30+0100",
        "2026-02-03 17:30Z",
        "2026-02-03 18:30",
        "2026-02-03T18:30:00",
        "2026-02-03 6:30 pm",
        "3.2.2026 18:30",
        "03.02.2026 18.30",
        "3. 2. 2026 18:30",
    ],
)
def test_one_evening_in_many_spellings(typed: str) -> None:
    """ISO 8601 with offset, or local time of the zone where none stands."""
    expected = Moment(datetime(2026, 2, 3, 18, 30, tzinfo=PLUS_ONE))
    assert read_moment(typed, zone=BERLIN) == (expected, "")


def test_the_offset_typed_is_kept() -> None:
    """The moment stays at the place where it was written down."""
    moment, _ = read_moment("2026-02-03T18:30-05:00", zone=BERLIN)
    assert moment is not None
    assert moment.began.utcoffset() == timedelta(hours=-5)


@pytest.mark.parametrize("typed", ["2026-02-03", "3.2.2026"])
def test_a_day_stands_at_its_midnight(typed: str) -> None:
    """A date without a time is marked as a day only."""
    expected = Moment(datetime(2026, 2, 3, tzinfo=PLUS_ONE), day_only=True)
    assert read_moment(typed, zone=BERLIN) == (expected, "")


def test_slashes_are_ambiguous_until_the_order_is_said() -> None:
    """The option is named, and decides."""
    typed = "3/2/2026 18:30"
    moment, expected = read_moment(typed, zone=UTC)
    assert moment is None
    assert "--dates dmy or --dates mdy" in expected
    days = [read_moment(typed, zone=UTC, dates=order)[0] for order in ("dmy", "mdy")]
    assert [(m.began.day, m.began.month) for m in days if m] == [(3, 2), (2, 3)]


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "a date such as"),
        ("yesterday", "a date such as"),
        ("3.2.26", "a date such as"),
        ("20260203", "a date such as"),
        ("2026-02-30", "no such day"),
        ("2026-13-01", "no such day"),
        ("2026-02-03 25:00", "no such day"),
        ("2026-02-03 13:30 pm", "no such day"),
        ("2026-02-03T18:30+01:75", "no such day"),
        ("2026-02-03T18:30+24:00", "no such day"),
        ("0226-02-03", "a year from 1950 to 2199"),
    ],
)
def test_what_is_not_a_moment_says_what_was_expected(typed: str, says: str) -> None:
    """A refusal has no value and a sentence."""
    moment, expected = read_moment(typed, zone=UTC)
    assert moment is None
    assert says in expected


@pytest.mark.parametrize("typed", ["2025-10-26 02:30", "2026-03-29 02:30"])
def test_an_hour_shown_twice_or_never_is_told(typed: str) -> None:
    """Around a change of the clocks the reading is said (IANA time zone data, Europe/Berlin)."""
    moment, expected = read_moment(typed, zone=BERLIN)
    assert moment is not None
    assert "twice or not at all" in expected


@given(
    st.datetimes(datetime(1950, 1, 1), datetime(2199, 12, 31)),  # noqa: DTZ001 - put on below
    st.integers(-14 * 60, 14 * 60),
)
def test_isoformat_reads_back(local: datetime, minutes: int) -> None:
    """What `isoformat` writes is read as the same moment, to the microsecond."""
    began = local.replace(tzinfo=timezone(timedelta(minutes=minutes)))
    moment, expected = read_moment(began.isoformat(), zone=UTC)
    assert expected == ""
    assert moment is not None
    assert moment.began == began
    assert moment.began.utcoffset() == began.utcoffset()
