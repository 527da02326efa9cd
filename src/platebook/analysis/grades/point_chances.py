"""A counter that each good one and each failure moves, and the exact chances of where it ends.

| function | gives |
|---|---|
| `Walk` | the steps of a counter and where it stops |
| `chance_within` | the chance to have reached the limit after 1, 2, ... attempts |
| `chances_within` | the same for several failure rates at once |
| `mean_attempts` | mean attempts to the limit, from any start |
| `mean_steps` | mean steps out of a Markov chain |

Assumption: attempts are independent with one failure rate. Nothing here is simulated; all values
are sums over the Markov chain of the counter. Sources: Brook & Evans, Biometrika 1972;59:539 (the
chain); Biau & Porcher, Stat Med 2010;29:1900 (a limit and a floor).
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from platebook.values import Value

_SAME = 9
"""Digits at which two counter values are one state."""

_CLOSE = 1e-9


class Walk(Value):
    """Steps of a counter that starts at 0, never falls below it, and stops at `up_at`."""

    good: float
    failure: float
    up_at: float

    @property
    def in_whole_points(self) -> bool:
        """Whether all steps are whole, so that values can number states."""
        return all(step == int(step) for step in (self.good, self.failure, self.up_at))

    def after(self, value: float, *, failed: bool) -> float:
        """The counter after one more attempt."""
        return max(round(value + (self.failure if failed else self.good), _SAME), 0.0)

    def is_up(self, value: float) -> bool:
        """Whether the limit is reached."""
        return value >= self.up_at - _CLOSE


def _one_attempt(
    walk: Walk, alive: dict[float, float], failure_rate: float
) -> tuple[dict[float, float], float]:
    """The chances of values below the limit after one more attempt, and that of reaching it."""
    still: dict[float, float] = {}
    up = 0.0
    for value, chance in alive.items():
        for failed, share in ((True, failure_rate), (False, 1 - failure_rate)):
            moved = walk.after(value, failed=failed)
            if walk.is_up(moved):
                up += chance * share
            elif share:
                still[moved] = still.get(moved, 0.0) + chance * share
    return still, up


def _stay(walk: Walk, failure_rate: float) -> NDArray[np.float64]:
    """Chances to move between the values of a counter in whole points; shape (up_at, up_at)."""
    size = int(walk.up_at)
    stay = np.zeros((size, size))
    for value in range(size):
        for failed, share in ((True, failure_rate), (False, 1 - failure_rate)):
            moved = int(walk.after(value, failed=failed))
            if moved < size:
                stay[value, moved] += share
    return stay


def chance_within(
    walk: Walk, failure_rate: float, attempts: int, *, start: float = 0.0
) -> NDArray[np.float64]:
    """Chance to have reached the limit after 1, 2, ... `attempts`; shape (attempts,)."""
    reached = np.zeros(attempts)
    if walk.in_whole_points and start == int(start):
        (reached,) = chances_within(walk, (failure_rate,), attempts, start=int(start))
        return np.asarray(reached)
    alive = {round(start, _SAME): 1.0}
    total = 0.0
    for number in range(attempts):
        alive, up = _one_attempt(walk, alive, failure_rate)
        total += up
        reached[number] = total
    return reached


def chances_within(
    walk: Walk, failure_rates: Sequence[float], attempts: int, *, start: int = 0
) -> NDArray[np.float64]:
    """The same of a walk in whole points for each of these rates; shape (rates, attempts)."""
    stay = np.array([_stay(walk, rate) for rate in failure_rates])
    alive = np.zeros((len(stay), 1, int(walk.up_at)))
    alive[:, 0, start] = 1.0
    reached = np.zeros((len(stay), attempts))
    for number in range(attempts):
        alive = alive @ stay
        reached[:, number] = 1 - alive.sum(axis=(1, 2))
    return np.clip(reached, 0.0, 1.0)


def mean_steps(stay: NDArray[np.float64]) -> NDArray[np.float64]:
    """Mean steps until a Markov chain leaves, from each state; `stay` holds the chances to stay.

    `stay` has shape (states, states), row from, column to. Infinite where it can never leave.
    """
    size = len(stay)
    try:
        steps = np.linalg.solve(np.eye(size) - stay, np.ones(size))
    except np.linalg.LinAlgError:
        return np.full(size, np.inf)
    return np.where((steps > 0) & np.isfinite(steps), steps, np.inf)


def mean_attempts(walk: Walk, failure_rate: float, *, start: int = 0) -> float:
    """Mean attempts to the limit for a counter in whole points."""
    if not walk.in_whole_points:
        raise ValueError("whole points are needed")
    return float(mean_steps(_stay(walk, failure_rate))[start])
