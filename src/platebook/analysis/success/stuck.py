"""Whether a setter is stuck at a grade: the share that comes out good stays low and does not rise.

| function | gives |
|---|---|
| `stuck_at` | the share now, where it has stayed below `LOW` over the last `LONG` settings |

It rests on the success curve alone (`share_good`): the middle of its band was below `LOW` at each
of the last `LONG` settings of the grade, and now lies no higher than the band did at their first.
Fewer settings than `LONG` are never stuck. Both numbers are judgement; it is told to the setter
with what may help and moves nothing.
"""

from collections.abc import Sequence

from platebook.analysis.success.share_good import JudgedSetting, ShareGood, share_good_over

LOW = 0.6
"""A share of good ones below which nobody passes a grade soon."""

LONG = 40
"""Settings over which it has to stay there."""


def stuck_at(settings: Sequence[JudgedSetting]) -> ShareGood | None:
    """The share good now at a grade where the setter is stuck; None where not, or too few."""
    if len(settings) < LONG:
        return None
    share, curve = share_good_over(settings)
    lately = curve.points[-LONG:]
    low = all(point.rate < LOW for point in lately)
    return share if low and lately[-1].rate <= lately[0].high else None
