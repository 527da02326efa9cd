"""How many attempts it takes until a grade is passed, if the success rate stays as it is.

| function | gives |
|---|---|
| `forecast` | between how many attempts, for one grade |

It is the walk of the points from where they stand, for rates that stand for the curve's last
posterior. At 0 settings the curve has no posterior and nothing can be forecast: ask from `FEW` on.
"""

import numpy as np
from pydantic import BaseModel, ConfigDict

from platebook.analysis.curve import Curve
from platebook.analysis.points import promotion_walk
from platebook.analysis.walk import chance_within
from platebook.practice.course import Grade

FORECAST_CAP = 200
"""Attempts beyond which a forecast only says "more than"."""

FORECAST_SHARES = (0.1, 0.9)
"""Shares of the possible courses of events between which the forecast lies."""

_FORECAST_RATES = 9


class Forecast(BaseModel):
    """Attempts until the grade is passed if the rate stays as it is.

    None stands for more than `FORECAST_CAP`.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    low: int | None
    high: int | None


def _likely_rates(curve: Curve) -> list[float]:
    """Success rates that stand for equal shares of the curve's last posterior."""
    rates = np.array([rate for rate, _ in curve.now])
    below = np.cumsum([chance for _, chance in curve.now])
    shares = (np.arange(_FORECAST_RATES) + 0.5) / _FORECAST_RATES
    return [float(r) for r in np.interp(shares, below, rates)]


def forecast(grade: Grade, points: int, curve: Curve) -> Forecast:
    """Attempts until the counter is up from `points`, for most courses of events."""
    walk = promotion_walk(grade.points)
    reached = np.mean(
        [chance_within(walk, 1 - r, FORECAST_CAP, start=points) for r in _likely_rates(curve)],
        axis=0,
    )
    low, high = (
        int(np.argmax(reached >= share)) + 1 if reached[-1] >= share else None
        for share in FORECAST_SHARES
    )
    return Forecast(low=low, high=high)
