"""The share of whole settings that comes out good now: the one answer that is shown anywhere.

| function | gives |
|---|---|
| `share_good_now` | the share now with its band, of settings in the order they were made |
| `share_good_over` | the same with the whole curve that leads there |
| `share_words` | the share in words, with its unit |

It says how it stood at the last of the settings; what it rests on, and how well it does, is in
`success_curve` and docs/measured.md. At 0 settings there is no share and the answer is None. Arrays
are loaded where a share is worked out: screens take the words before that.
"""

import functools
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Protocol

from platebook.trade.phrases import share_with_band
from platebook.values import Value

if TYPE_CHECKING:
    from platebook.analysis.success.success_curve import Curve

_ASKED_AGAIN = 2
"""Answers kept for who asks the same again at once, as of today and of the next evening."""


class JudgedSetting(Protocol):
    """A setting that was judged: whether it failed, and the day it was made, where one is noted."""

    @property
    def failed(self) -> bool:
        """Whether it was a failure."""

    @property
    def day(self) -> date | None:
        """The day it was made; None where none is noted."""


class ShareGood(Value):
    """The share that comes out good now, of 1, and the band that holds it 95 times in 100.

    `settings` are how many it rests on. `chances` are (share, chance) pairs for what is worked out
    from it.
    """

    share: float
    low: float
    high: float
    settings: int
    chances: tuple[tuple[float, float], ...] = ()


def share_good_now(settings: Sequence[JudgedSetting]) -> ShareGood | None:
    """The share good now, as of the last of these settings; None where there are none."""
    return _end(_last_point(*_good_and_days(settings)))


def share_good_over(settings: Sequence[JudgedSetting]) -> "tuple[ShareGood | None, Curve]":
    """The share good now, and the curve over all the settings that ends there."""
    curve = _whole_curve(*_good_and_days(settings))
    return _end(curve), curve


def _good_and_days(
    settings: Sequence[JudgedSetting],
) -> tuple[tuple[bool, ...], tuple[date | None, ...]]:
    return tuple(not s.failed for s in settings), tuple(s.day for s in settings)


@functools.lru_cache(maxsize=_ASKED_AGAIN)
def _last_point(good: tuple[bool, ...], days: tuple[date | None, ...]) -> "Curve":
    from platebook.analysis.success.success_curve import success_now

    return success_now(good, days)


@functools.lru_cache(maxsize=_ASKED_AGAIN)
def _whole_curve(good: tuple[bool, ...], days: tuple[date | None, ...]) -> "Curve":
    from platebook.analysis.success.success_curve import success_curve

    return success_curve(good, days)


def _end(curve: "Curve") -> ShareGood | None:
    if not curve.points:
        return None
    last = curve.points[-1]
    return ShareGood(last.rate, last.low, last.high, last.number, curve.now)


def share_words(share: float | None, low: float | None, high: float | None) -> str:
    """A share and its band in words; empty where there is none.

    "About 72 in 100 come out good now (may be 51 to 87)", without its capital.
    """
    if share is None or low is None or high is None:
        return ""
    return f"about {share_with_band(share, low, high, 'come out good now')}"
