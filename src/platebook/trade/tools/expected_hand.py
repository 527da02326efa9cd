"""The hand that is expected before any of its seats was read, and how its next seat spreads.

How far hands differ from what is expected is in the spread from the start, so that a chance shown
before the first reading is one of the same kind as after it.
"""

import math

from platebook.trade.rules import RuleBook
from platebook.values import Value

SETTLED_AT = 5
"""From about this many seats read a hand says more of itself than is expected of it (judgement)."""

SPREAD_LOG_SD = 0.5
"""Spreads of most hands lie within a factor of e of the one expected (judgement)."""

EVENINGS_MM = (0.0, 0.01, 0.02, 0.03)
EVENING_CHANCES = (0.4, 0.3, 0.2, 0.1)
"""Standard deviations of an evening's own shift, and how likely each is (judgement)."""

_EVENINGS_MM2 = sum(share * mm**2 for mm, share in zip(EVENINGS_MM, EVENING_CHANCES, strict=True))
_SPREADS_SQUARED = math.exp(2 * SPREAD_LOG_SD**2)
"""The mean square of a lognormal spread, over the square of its median."""


class ExpectedHand(Value):
    """What is expected of a hand with a bur shape; all in millimetres, one standard deviation each.

    `overcut_mm` is the mean over hands, `between_mm` how much hands differ around it, `spread_mm`
    the median of how much seats of one hand differ.
    """

    overcut_mm: float
    between_mm: float
    spread_mm: float

    @property
    def next_spread_mm(self) -> float:
        """How the next seat of such a hand spreads while none was read: all its doubts together.

        The variance of a mixture of normals is the mean of their variances: that between hands, of
        one hand's seats, and of evenings.
        """
        of_one = _SPREADS_SQUARED * self.spread_mm**2
        return math.sqrt(self.between_mm**2 + of_one + _EVENINGS_MM2)


def custom_hand(book: RuleBook) -> ExpectedHand:
    """The hand that custom expects, by the rules."""
    return ExpectedHand(
        book.rule("overcut").plus_mm,
        book.rule("hands differ").plus_mm,
        book.rule("overcut spread").plus_mm,
    )


def taught_hand(overcut_mm: float, between_mm: float, seats_differ_mm: float) -> ExpectedHand:
    """The hand of one who is taught where seats of one hand spread by `seats_differ_mm` in all.

    Evenings are part of that spread; half of its variance is left to the seats at least.
    """
    whole = seats_differ_mm**2
    of_one = max(whole - _EVENINGS_MM2, whole / 2)
    return ExpectedHand(overcut_mm, between_mm, math.sqrt(of_one / _SPREADS_SQUARED))
