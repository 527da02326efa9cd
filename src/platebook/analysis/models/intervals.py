"""Intervals for proportions: a rate is never shown without one.

| function | gives |
|---|---|
| `wilson` | interval of one proportion, by Wilson's score |
| `newcombe_difference` | interval of the difference of two independent proportions |

Assumption: the settings counted are independent with one chance of success; practice that improves
breaks it, which is why the curve stands beside the rate. At 0 counted the interval is everything
that is possible. Source: Newcombe, Stat Med 1998;17:857 (method 3) and 1998;17:873 (method 10).
"""

from statistics import NormalDist
from typing import NamedTuple


class Interval(NamedTuple):
    """Lower and upper limit."""

    low: float
    high: float


def wilson(good: int, of: int, *, confidence: float = 0.95) -> Interval:
    """Wilson's score interval of `good` out of `of`; 0 to 1 where nothing was counted."""
    if not 0 <= good <= of:
        raise ValueError(f"{good} of {of} is no proportion")
    if of == 0:
        return Interval(0.0, 1.0)
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    rate = good / of
    middle = rate + z * z / (2 * of)
    half = z * (rate * (1 - rate) / of + z * z / (4 * of * of)) ** 0.5
    scale = 1 + z * z / of
    low = 0.0 if good == 0 else (middle - half) / scale
    high = 1.0 if good == of else (middle + half) / scale
    return Interval(low, high)


def newcombe_difference(
    first: tuple[int, int], second: tuple[int, int], *, confidence: float = 0.95
) -> Interval:
    """Interval of the first rate minus the second, each as (good, of).

    Where a side counted nothing the interval is -1 to 1.
    """
    (good_1, of_1), (good_2, of_2) = first, second
    first_limits = wilson(good_1, of_1, confidence=confidence)
    second_limits = wilson(good_2, of_2, confidence=confidence)
    if of_1 == 0 or of_2 == 0:
        return Interval(-1.0, 1.0)
    rate_1, rate_2 = good_1 / of_1, good_2 / of_2
    difference = rate_1 - rate_2
    down = ((rate_1 - first_limits.low) ** 2 + (second_limits.high - rate_2) ** 2) ** 0.5
    up = ((first_limits.high - rate_1) ** 2 + (rate_2 - second_limits.low) ** 2) ** 0.5
    return Interval(difference - down, difference + up)
