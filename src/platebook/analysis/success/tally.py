"""What a number of whole settings come to: counts, the share good now, the way there, the best row.

| function | gives |
|---|---|
| `tally` | all of that of settings in the order they were made |
| `last_outcomes` | how the last eight counted |
| `longest_run` | how many good ones came in a row at most |
| `binned` | a long curve's settings taken together into shares, to be drawn |

At 0 settings every share is None, the curve empty and the row 0.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from itertools import groupby
from typing import Protocol

from platebook.analysis.models.intervals import wilson
from platebook.analysis.success.change import Change, change_of
from platebook.analysis.success.share_good import (
    JudgedSetting,
    ShareGood,
    share_good_now,
    share_good_over,
)
from platebook.analysis.success.success_curve import Curve
from platebook.practice.attempt import Attempt
from platebook.practice.results import LAST, Outcome, outcome_of
from platebook.values import Value


class SettingOfAttempt(JudgedSetting, Protocol):
    """A judged setting with the attempt that it was."""

    @property
    def attempt(self) -> Attempt:
        """The attempt as it was logged."""


class CurveStep(Value):
    """The success curve at one setting, counted from 1; `day` is None where none is noted."""

    number: int
    attempt_id: str | None
    day: date | None
    good: bool
    rate: float
    low: float
    high: float


class Tally(Value, kw_only=True):
    """Whole settings of one kind.

    `rate` with `low` and `high` is over all of them (Wilson, 95 %); `now` with its band is the
    share good now, and `change` how it went lately (None without a curve, or for few).
    `longest_run` is the most good ones in a row, and `last` how the last eight counted, oldest
    first.
    """

    title: str
    attempts: int
    good: int
    rate: float | None
    low: float | None
    high: float | None
    now: float | None
    now_low: float | None
    now_high: float | None
    change: Change | None = None
    longest_run: int
    last: tuple[Outcome, ...] = ()
    curve: tuple[CurveStep, ...]


def tally(
    title: str, settings: Sequence[SettingOfAttempt], *, curves: bool
) -> tuple[ShareGood | None, Tally]:
    """The share good now of these settings, in the order they were made, and what they come to.

    Without `curves` the curve is empty, no change is known, and everything else is the same.
    """
    outcomes = [not s.failed for s in settings]
    share, curve = share_good_over(settings) if curves else (share_good_now(settings), Curve())
    good, of = sum(outcomes), len(outcomes)
    limits = wilson(good, of) if of else None
    return share, Tally(
        title=title,
        attempts=of,
        good=good,
        rate=good / of if of else None,
        low=limits.low if limits else None,
        high=limits.high if limits else None,
        now=share.share if share else None,
        now_low=share.low if share else None,
        now_high=share.high if share else None,
        change=change_of(curve.points),
        longest_run=longest_run(outcomes),
        last=last_outcomes(settings),
        curve=_steps(curve, settings) if curves else (),
    )


def last_outcomes(settings: Sequence[SettingOfAttempt]) -> tuple[Outcome, ...]:
    """How the last eight of these settings counted, oldest first."""
    return tuple(outcome_of(s.attempt, failed=s.failed) for s in settings[-LAST:])


def longest_run(good: Iterable[bool]) -> int:
    """The most good ones in a row."""
    runs = (sum(1 for _ in run) for is_good, run in groupby(good) if is_good)
    return max(runs, default=0)


def binned(steps: Sequence[CurveStep], most: int) -> tuple[tuple[CurveStep, float, int], ...]:
    """At most so many shares of good ones, each of as many settings in a row.

    Of each the setting in its middle, the share of 1, and of how many it is.
    """
    width = -(-len(steps) // most) if steps else 1
    rows = (steps[at : at + width] for at in range(0, len(steps), width))
    return tuple(
        (row[len(row) // 2], sum(s.good for s in row) / len(row), len(row)) for row in rows
    )


def _steps(curve: Curve, settings: Sequence[SettingOfAttempt]) -> tuple[CurveStep, ...]:
    return tuple(
        CurveStep(
            number=point.number,
            attempt_id=setting.attempt.attempt_id,
            day=setting.day,
            good=not setting.failed,
            rate=point.rate,
            low=point.low,
            high=point.high,
        )
        for point, setting in zip(curve.points, settings, strict=True)
    )
