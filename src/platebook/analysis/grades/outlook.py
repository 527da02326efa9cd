"""The outlook: how soon a grade will be passed if the share good stays what it is now.

| function | gives |
|---|---|
| `outlook_at` | the outlook of a grade that is still open and was tried often enough |
| `outlook` | the chance to pass within `SOON` more settings; quartiles where they are finite |

The walk of the points from where they stand, with the exact chances of `point_chances`, for shares
that stand for the band of the share good now. A range is told only where three of four courses of
events end within `FAR` settings; else the chance alone. At 0 settings nothing is known of the share
and nothing can be told. Arrays are loaded where an outlook is worked out: screens take its value
before that.
"""

from typing import TYPE_CHECKING

from platebook.analysis.success.share_good import ShareGood
from platebook.practice.courses.course import Points
from platebook.values import Value

if TYPE_CHECKING:
    from platebook.analysis.grades.points import GradePoints

FEW = 5
"""Settings at a grade below which nothing is told: one row of a plate."""

SOON = 20
"""Settings within which the chance to pass is told: two or three evenings."""

FAR = 200
"""Settings beyond which nothing is told: nobody plans so far."""

_SHARES = 9


class Forecast(Value):
    """Settings at the grade until it is passed if the share good stays as it is.

    `chance` is that of passing within `within` more. `middle`, `low` and `high` are the median and
    the quartiles of the settings still needed; all None where the upper one lies beyond `FAR`.
    """

    within: int
    chance: float
    middle: int | None
    low: int | None
    high: int | None


def _likely_shares(share: ShareGood) -> list[float]:
    """Shares that stand for equal parts of what the share good now may be."""
    import numpy as np

    shares = np.array([value for value, _ in share.chances])
    below = np.cumsum([chance for _, chance in share.chances])
    parts = (np.arange(_SHARES) + 0.5) / _SHARES
    return [float(s) for s in np.interp(parts, below, shares)]


def outlook(rule: Points, points: int, share: ShareGood) -> Forecast:
    """How soon the grade's points are up, from where they stand."""
    import numpy as np

    from platebook.analysis.grades.point_chances import chances_within
    from platebook.analysis.grades.points import promotion_walk

    walk = promotion_walk(rule)
    failing = [1 - likely for likely in _likely_shares(share)]
    reached = chances_within(walk, failing, FAR, start=points).mean(axis=0)
    quartiles: list[int | None] = [None, None, None]
    if reached[-1] >= 0.75:
        quartiles = [int(np.argmax(reached >= part)) + 1 for part in (0.25, 0.5, 0.75)]
    low, middle, high = quartiles
    return Forecast(within=SOON, chance=float(reached[SOON - 1]), middle=middle, low=low, high=high)


def outlook_at(rule: Points, so_far: "GradePoints", share: ShareGood | None) -> Forecast | None:
    """The outlook of a grade; None where it has its points, and below `FEW` settings."""
    if share is None or share.settings < FEW or so_far.passed or so_far.waiting:
        return None
    return outlook(rule, so_far.points, share)
