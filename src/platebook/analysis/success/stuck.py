"""Whether a setter is stuck at a grade: the share that comes out good stays low and does not rise.

| function | gives |
|---|---|
| `stuck_at` | the share now and for how many settings it has stayed low: `LONG` of them at least |

It rests on the success curve alone (`share_good`): the middle of its band was below `LOW` at each
of the last `LONG` settings of the grade, and now lies no higher than the band did at their first.
Fewer settings than `LONG` are never stuck. Both numbers are judgement; it is told to the setter
with what may help and moves nothing.
"""

import itertools
from collections.abc import Sequence

from platebook.analysis.success.share_good import JudgedSetting, ShareGood, share_good_over
from platebook.values import Value

LOW = 0.6
"""A share of good ones below which nobody passes a grade soon."""

LONG = 40
"""Settings over which it has to stay there."""


class Stuck(Value):
    """The share good now of a setter who is stuck, low at the latest `settings`."""

    share: ShareGood
    settings: int


def stuck_at(settings: Sequence[JudgedSetting]) -> Stuck | None:
    """Where a setter is stuck at a grade, by their settings there; None where not, or too few."""
    if len(settings) < LONG:
        return None
    share, curve = share_good_over(settings)
    low = len(tuple(itertools.takewhile(lambda point: point.rate < LOW, reversed(curve.points))))
    if share is None or low < LONG or curve.points[-1].rate > curve.points[-LONG].high:
        return None
    return Stuck(share, low)
