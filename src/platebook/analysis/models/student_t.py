"""Student's t, as far as an interval asks for it: the point that few values lie beyond.

For whole degrees of freedom the share of values nearer to 0 than t is a finite sum (Abramowitz and
Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4), which grows with t, so that the
point is found by halving. It needs no library of statistics.
"""

from functools import cache
from math import cos, pi, sin, tan

_HALVINGS = 60


@cache
def two_sided_point(degrees: int, share: float = 0.95) -> float:
    """The t within which, on both sides of 0, this share of values lies; `degrees` from 1 on.

    ValueError for less than one degree of freedom, or a share that is not between 0 and 1.
    """
    if degrees < 1 or not 0 < share < 1:
        message = f"degrees {degrees}, share {share}: expected 1 or more, and between 0 and 1"
        raise ValueError(message)
    low, high = 0.0, pi / 2
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if _share_within(middle, degrees) < share:
            low = middle
        else:
            high = middle
    return float(tan((low + high) / 2) * degrees**0.5)


def _share_within(angle: float, degrees: int) -> float:
    """The share nearer to 0 than t; the tangent of the angle is t over the root of the degrees."""
    odd = degrees % 2 == 1
    term, total = cos(angle) if odd else 1.0, 0.0
    for power in range(1 if odd else 0, degrees - 1, 2):
        total += term
        term *= cos(angle) ** 2 * (power + 1) / (power + 2)
    return (angle + sin(angle) * total) * 2 / pi if odd else sin(angle) * total
