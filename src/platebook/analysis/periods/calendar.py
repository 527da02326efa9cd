"""Practice by the calendar: evenings, months, terms or years, each with its share of good ones.

| function | gives |
|---|---|
| `calendar` | the periods since a day, oldest first, and the longest row of good ones among them |
| `first_day` | the day that "2025", "2025-09" or "2025-09-14" begins with |

A term is a third of a year: January to April, May to August, September to December (judgement).
Months, terms and years without a setting stand between the others; evenings are those with one.
The share of a period is over its own settings, with Wilson's interval; beside it stands where the
success curve stood at its end. What is not dated counts in no period and is told apart. At 0
settings there is no period and no row.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from itertools import groupby
from typing import Literal, get_args

from platebook.analysis.models.intervals import wilson
from platebook.analysis.success.tally import CurveStep, Tally, longest_run
from platebook.values import Value, replace

By = Literal["evening", "month", "term", "year"]
PERIODS: tuple[By, ...] = get_args(By)

TERM_MONTHS = 4
_MONTHS = {"month": 1, "term": TERM_MONTHS, "year": 12}


class Period(Value):
    """One period by its first and last day; `evenings` are days with a setting.

    `rate` with `low` and `high` is the share of good ones in it (Wilson, 95 %), `then` with its
    band where the success curve stood at its end; None where nothing was set.
    """

    name: str
    first: date
    last: date
    evenings: int
    settings: int
    good: int
    rate: float | None = None
    low: float | None = None
    high: float | None = None
    then: float | None = None
    then_low: float | None = None
    then_high: float | None = None
    longest_run: int = 0


class Run(Value):
    """Good ones in a row: how many, and from which day to which."""

    settings: int
    first: date
    last: date


class Calendar(Value):
    """The periods since `since`, oldest first; `title` says of what they are.

    `undated` settings stand in none of them.
    """

    title: str
    by: By
    since: date | None
    periods: tuple[Period, ...]
    longest_run: Run | None
    undated: int


def calendar(line: Tally, by: By, *, since: date | None = None) -> Calendar:
    """The periods of the settings in this line's curve; without a curve there are none."""
    steps = line.curve
    dated = [s for s in steps if s.day is not None and (since is None or s.day >= since)]
    dated.sort(key=_day)
    filled = {
        first: _period(by, first, list(inside))
        for first, inside in groupby(dated, key=lambda step: _begins(by, _day(step)))
    }
    if by != "evening" and filled:
        for first in _firsts(by, min(filled), max(filled)):
            filled.setdefault(first, _period(by, first, []))
    return Calendar(
        title=line.title,
        by=by,
        since=since,
        periods=tuple(filled[first] for first in sorted(filled)),
        longest_run=_longest(dated),
        undated=sum(step.day is None for step in steps),
    )


def first_day(text: str) -> date:
    """The first day of a year, a month, or the day itself; ValueError with what was expected."""
    parts = text.strip().split("-")
    try:
        numbers = [int(part) for part in parts]
        year, month, day = (*numbers, 1, 1)[:3] if len(numbers) < 3 else numbers
        return date(year, month, day)
    except (ValueError, OverflowError):
        expected = "a year, a month or a day: 2025, 2025-09 or 2025-09-14"
        raise ValueError(f"{text!r} is no date; expected {expected}") from None


def _day(step: CurveStep) -> date:
    return step.day or date.min


def _begins(by: By, day: date) -> date:
    if by == "evening":
        return day
    months = _MONTHS[by]
    return date(day.year, (day.month - 1) // months * months + 1, 1)


def _after(by: By, first: date) -> date:
    """The first day of the next period."""
    if by == "evening":
        return first + timedelta(days=1)
    month = first.month - 1 + _MONTHS[by]
    return date(first.year + month // 12, month % 12 + 1, 1)


def _firsts(by: By, first: date, last: date) -> Iterator[date]:
    while first <= last:
        yield first
        first = _after(by, first)


def _name(by: By, first: date, last: date) -> str:
    match by:
        case "evening":
            return f"{first:%a} {first.day} {first:%b %Y}"
        case "month":
            return f"{first:%b %Y}"
        case "term":
            return f"{first:%b} to {last:%b %Y}"
        case _:
            return f"{first:%Y}"


def _period(by: By, first: date, steps: Sequence[CurveStep]) -> Period:
    last = _after(by, first) - timedelta(days=1)
    counted = Period(
        name=_name(by, first, last),
        first=first,
        last=last,
        evenings=len({step.day for step in steps}),
        settings=len(steps),
        good=sum(step.good for step in steps),
        longest_run=longest_run(step.good for step in steps),
    )
    if not steps:
        return counted
    limits, end = wilson(counted.good, counted.settings), steps[-1]
    return replace(
        counted,
        rate=counted.good / counted.settings,
        low=limits.low,
        high=limits.high,
        then=end.rate,
        then_low=end.low,
        then_high=end.high,
    )


def _longest(steps: Iterable[CurveStep]) -> Run | None:
    runs = [list(run) for good, run in groupby(steps, key=lambda step: step.good) if good]
    best = max(runs, key=len, default=None)
    if best is None:
        return None
    return Run(settings=len(best), first=_day(best[0]), last=_day(best[-1]))
