"""Whether the share that comes out good has changed of late, in words: better, worse or unsure.

| function | gives |
|---|---|
| `change_words` | from which share to which, over the last `LONG` settings, and whether by chance |

It rests on the success curve alone: its middle and band at the first and last of those settings.
Where the two bands of 95 % lie apart chance hardly makes the change; where they overlap it may, and
nothing is called better or worse. Of fewer than `LAST` settings nothing is said.
"""

from collections.abc import Sequence
from typing import Protocol

from platebook.analysis.success.stuck import LONG
from platebook.practice.results import LAST


class PointOfCurve(Protocol):
    """The success curve at one setting: its middle and band, of 1."""

    @property
    def rate(self) -> float:
        """The middle."""

    @property
    def low(self) -> float:
        """The lower end of the band."""

    @property
    def high(self) -> float:
        """Its upper end."""


def change_words(curve: Sequence[PointOfCurve]) -> str:
    """How the share good changed lately; empty where there are too few settings to say."""
    if len(curve) < LAST:
        return ""
    lately = curve[-LONG:]
    first, last = lately[0], lately[-1]
    over = f"over the last {len(lately)}"
    before, now = round(100 * first.rate), round(100 * last.rate)
    between = f"from {before} to {now} in 100"
    if last.low > first.high:
        return f"Better {over}: {between}, hardly chance."
    if last.high < first.low:
        return f"Worse {over}: {between}, hardly chance."
    if before == now:
        return f"No change seen {over}: about {now} in 100."
    return f"{over.capitalize()}: {between}, which may be chance."
