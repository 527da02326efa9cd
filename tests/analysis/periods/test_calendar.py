"""The calendar: periods that hold every dated setting once, and the longest row of good ones."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import settings as how
from hypothesis import strategies as st

from platebook.analysis.models.intervals import wilson
from platebook.analysis.periods.calendar import PERIODS, By, Run, calendar, first_day
from platebook.analysis.success.tally import CurveStep, Tally, longest_run

DAY = date(2025, 11, 29)


def _line(settings: list[tuple[date | None, bool]]) -> Tally:
    curve = tuple(
        CurveStep(number=n, attempt_id=None, day=day, good=good, rate=n / 100, low=0.0, high=1.0)
        for n, (day, good) in enumerate(settings, 1)
    )
    return Tally(
        title="all",
        attempts=len(settings),
        good=sum(good for _, good in settings),
        rate=None,
        low=None,
        high=None,
        now=None,
        now_low=None,
        now_high=None,
        longest_run=longest_run(good for _, good in settings),
        curve=curve,
    )


def test_nothing_set_has_no_period_and_no_row() -> None:
    """And is no error."""
    found = calendar(_line([]), "month")
    assert (found.periods, found.longest_run, found.undated) == ((), None, 0)


@pytest.mark.parametrize(
    ("by", "names"),
    [
        ("evening", ["Sat 29 Nov 2025", "Thu 29 Jan 2026"]),
        ("month", ["Nov 2025", "Dec 2025", "Jan 2026"]),
        ("term", ["Sep to Dec 2025", "Jan to Apr 2026"]),
        ("year", ["2025", "2026"]),
    ],
)
def test_periods_are_named_and_none_between_is_missing(by: By, names: list[str]) -> None:
    """A month without practice stands between the others; an evening without one does not."""
    found = calendar(_line([(DAY, True), (DAY + timedelta(days=61), False)]), by)
    assert [period.name for period in found.periods] == names


def test_a_period_has_its_own_counts_with_wilson_and_the_curve_at_its_end() -> None:
    """Two evenings of November: 2 of 3, and the curve's third step."""
    log = [(DAY - timedelta(days=2), True), (DAY, False), (DAY, True), (DAY + timedelta(9), True)]
    november, december = calendar(_line(list(log)), "month").periods
    assert (november.evenings, november.settings, november.good) == (2, 3, 2)
    assert (november.low, november.high) == wilson(2, 3)
    assert (november.then, december.then) == (0.03, 0.04)


def test_a_period_without_practice_has_no_share() -> None:
    """No rate is made up for December."""
    months = calendar(_line([(DAY, True), (DAY + timedelta(days=61), True)]), "month").periods
    assert (months[1].settings, months[1].rate, months[1].then) == (0, None, None)


def test_the_longest_row_has_its_days() -> None:
    """Three good ones over two evenings, between two failures."""
    later = DAY + timedelta(days=3)
    log = [(DAY, False), (DAY, True), (later, True), (later, True), (later, False), (later, True)]
    assert calendar(_line(list(log)), "year").longest_run == Run(settings=3, first=DAY, last=later)


def test_since_leaves_earlier_ones_out_and_undated_ones_are_counted() -> None:
    """What is not dated stands in no period, and is said."""
    log = [(DAY, True), (None, True), (DAY + timedelta(days=40), True)]
    found = calendar(_line(list(log)), "month", since=date(2026, 1, 1))
    assert [period.name for period in found.periods] == ["Jan 2026"]
    assert found.undated == 1


@how(deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 900), st.booleans()), max_size=40),
    st.sampled_from(PERIODS),
)
def test_every_dated_setting_is_in_one_period(days: list[tuple[int, bool]], by: By) -> None:
    """Periods follow on each other and hold all settings."""
    log = [(DAY + timedelta(days=n), good) for n, good in days]
    periods = calendar(_line(list(log)), by).periods
    assert sum(p.settings for p in periods) == len(log)
    assert sum(p.good for p in periods) == sum(good for _, good in log)
    assert [p.first for p in periods] == sorted({p.first for p in periods})
    if by != "evening":
        after = [p.last + timedelta(days=1) for p in periods[:-1]]
        assert after == [p.first for p in periods[1:]]


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2025", date(2025, 1, 1)),
        ("2025-09", date(2025, 9, 1)),
        (" 2025-09-14 ", date(2025, 9, 14)),
    ],
)
def test_a_date_may_be_a_year_a_month_or_a_day(text: str, day: date) -> None:
    """The first day of what is named."""
    assert first_day(text) == day


@pytest.mark.parametrize("text", ["", "soon", "2025-13", "2025-02-30", "1-2-3-4", "0"])
def test_what_is_no_date_says_what_was_expected(text: str) -> None:
    """With the three ways to write one."""
    with pytest.raises(ValueError, match="expected a year, a month or a day: 2025, 2025-09"):
        first_day(text)
