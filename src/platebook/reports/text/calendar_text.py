"""Practice by the calendar in words: a line a period, and months beside months of other years."""

from collections.abc import Sequence
from datetime import date

from platebook.analysis.periods.calendar import Calendar, Period, Run
from platebook.reports.text.figures import in_columns
from platebook.trade.phrases import (
    BAND_HEAD,
    count_of,
    full_day,
    of_hundred,
    share_in_column,
    stretch_words,
)

BAR = 8
"""Signs of a bar; one stands for ten in a hundred."""

MOST_YEARS = 6
"""Years that stand side by side in 80 columns."""

_WIDEST = (20, 8, 14, 24, BAR, 24)
_MONTHS = 12


def calendar_lines(found: Calendar) -> tuple[str, ...]:
    """A line a period, the oldest first, then the longest row of good ones."""
    since = f" since {full_day(found.since)}" if found.since is not None else ""
    if not found.periods:
        return (f"No dated whole setting{since}.", *_undated(found))
    head = period_head(found.by)
    title = f"{found.title[0].upper()}{found.title[1:]} by {found.by}{since}"
    rows = [head, *(period_cells(period) for period in found.periods)]
    return (
        f"{title}; then: how many of 100 came out good at its end.",
        *in_columns(rows, _WIDEST),
        *_longest(found.longest_run),
        *_undated(found),
    )


def period_head(by: str) -> tuple[str, ...]:
    """The headings of the cells of a period."""
    return (by, "evenings", "good", BAND_HEAD, "0 to 100", "then (may be)")


def period_cells(period: Period) -> tuple[str, ...]:
    """Name, evenings, counts, share, a bar, and where the curve stood; both with their bands."""
    if period.rate is None or period.low is None or period.high is None:
        return (period.name, "", "no practice", "", "", "")
    return (
        period.name,
        str(period.evenings),
        f"{period.good} of {period.settings}",
        share_in_column(period.rate, period.low, period.high),
        "#" * round(BAR * period.rate),
        share_in_column(period.then, period.then_low, period.then_high),
    )


def years_beside(months: Sequence[Period]) -> tuple[tuple[str, ...], ...]:
    """A row a month, a column a year: "31/44 70", good of settings and the share of 100.

    Months of no year are left out, and of many years the last `MOST_YEARS` stand. The last row is
    the whole year.
    """
    years = sorted({month.first.year for month in months if month.settings})[-MOST_YEARS:]
    by_place = {(m.first.month, m.first.year): m for m in months if m.settings}
    rows = [("month", *(str(year) for year in years))]
    for month in range(1, _MONTHS + 1):
        cells = [by_place.get((month, year)) for year in years]
        if any(cells):
            name = f"{date(2000, month, 1):%b}"
            rows.append((name, *(_share((c,) if c is not None else ()) for c in cells)))
    whole = [tuple(m for m in months if m.first.year == year) for year in years]
    return (*rows, ("year", *(_share(year) for year in whole))) if years else ()


def _share(periods: Sequence[Period]) -> str:
    good, of = sum(p.good for p in periods), sum(p.settings for p in periods)
    return f"{good}/{of} {of_hundred(good / of)}" if of else ""


def longest_words(run: Run) -> str:
    """The longest row of good ones: "Longest row of good ones: 14, 3 March to 9 March 2026"."""
    return f"Longest row of good ones: {run.settings}, {stretch_words(run.first, run.last)}"


def _longest(run: Run | None) -> tuple[str, ...]:
    return (f"{longest_words(run)}.",) if run is not None else ()


def _undated(found: Calendar) -> tuple[str, ...]:
    if not found.undated:
        return ()
    return (f"{count_of(found.undated, 'setting')} without a date stand in no period.",)
