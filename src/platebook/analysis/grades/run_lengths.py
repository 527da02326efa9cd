"""How long a course's points and watch run: exact chances for setters who fail at given rates.

| function | gives |
|---|---|
| `run_lengths` | the chances to pass, the watch's false alarms, and how soon it sees trouble |

Assumption: attempts are independent with one failure rate. All values are sums over the Markov
chain of the counter (`point_chances`), so nothing depends on a draw. A rate twice `p0` that is
above 1 counts as 1.
"""

import functools

from platebook.analysis.grades.point_chances import chance_within, mean_attempts
from platebook.analysis.grades.points import TRIES, promotion_walk, slipping_watch
from platebook.practice.courses.course import Points
from platebook.values import Value

WATCHED = 100
"""Settings at a passed grade within which a false alarm is counted."""


class RunLengths(Value):
    """What one pair of rates with its points does; chances of 1, settings as means.

    `passes_at_p0`, `passes_between` and `passes_at_p1` are the chances to pass within `TRIES`
    settings at the three failure rates `p0`, `between` (half way) and `p1`. `false_alarm` is the
    chance that the watch signals within `WATCHED` settings at `p0`, `quiet` the settings it stays
    quiet there; `sees_doubled` and `sees_p1` are the settings until it signals at twice `p0` and at
    `p1`.
    """

    p0: float
    between: float
    p1: float
    good: int
    failure: int
    up_at: int
    passes_at_p0: float
    passes_between: float
    passes_at_p1: float
    watch_at: int
    false_alarm: float
    quiet: float
    sees_doubled: float
    sees_p1: float


@functools.lru_cache(maxsize=256)
def run_lengths(points: Points) -> RunLengths:
    """The run lengths of a grade's points and of the watch over it once it is passed."""
    walk, watch = promotion_walk(points), slipping_watch(points)
    p0, p1 = points.p0, points.p1
    between = (p0 + p1) / 2
    passes = [float(chance_within(walk, rate, TRIES)[-1]) for rate in (p0, between, p1)]
    return RunLengths(
        p0=p0,
        between=between,
        p1=p1,
        good=points.good,
        failure=points.failure,
        up_at=points.up_at,
        passes_at_p0=passes[0],
        passes_between=passes[1],
        passes_at_p1=passes[2],
        watch_at=int(watch.up_at),
        false_alarm=float(chance_within(watch, p0, WATCHED)[-1]),
        quiet=mean_attempts(watch, p0),
        sees_doubled=mean_attempts(watch, min(2 * p0, 1.0)),
        sees_p1=mean_attempts(watch, p1),
    )
