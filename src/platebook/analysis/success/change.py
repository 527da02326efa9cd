"""Whether the share that comes out good has changed of late: better, worse or unsure.

| function | gives |
|---|---|
| `change_of` | from which share to which, over the last `LONG` settings, and whether by chance |
| `change_words` | the same as a sentence, the same wherever progress is told |

It rests on the success curve alone: its middle and band at the first and last of those settings.
Where the two bands of 95 % lie apart chance hardly makes the change; where they overlap it may, and
nothing is called better or worse. Of fewer than `LAST` settings nothing is said.
"""

from collections.abc import Sequence
from typing import Literal, Protocol

from platebook.analysis.success.stuck import LONG
from platebook.practice.results import LAST
from platebook.trade.phrases import of_hundred
from platebook.values import Value


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


class Change(Value):
    """How the share good went over the last `settings`: from `before` to `now`, of 1."""

    settings: int
    before: float
    now: float
    judged: Literal["better", "worse", "may be chance"]


def change_of(curve: Sequence[PointOfCurve]) -> Change | None:
    """How the share good changed lately; None where there are too few settings to say."""
    if len(curve) < LAST:
        return None
    lately = curve[-LONG:]
    first, last = lately[0], lately[-1]
    apart = last.low > first.high or last.high < first.low
    direction: Literal["better", "worse"] = "better" if last.rate > first.rate else "worse"
    return Change(
        settings=len(lately),
        before=first.rate,
        now=last.rate,
        judged=direction if apart else "may be chance",
    )


def change_words(change: Change | None) -> str:
    """The change as a sentence; empty where none is known."""
    if change is None:
        return ""
    over = f"over the last {change.settings}"
    before, now = of_hundred(change.before), of_hundred(change.now)
    between = f"from {before} to {now} in 100"
    if change.judged != "may be chance":
        return f"{change.judged.capitalize()} {over}: {between}, hardly chance."
    if before == now:
        return f"No change seen {over}: about {now} in 100."
    return f"{over.capitalize()}: {between}, which may be chance."
