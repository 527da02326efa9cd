"""The share of whole settings that comes out good now: the one answer that is shown anywhere.

| function | gives |
|---|---|
| `share_good_now` | the share now with its band, of settings of one kind in the order they were made |
| `share_words` | the same in words, with its unit |

At 0 settings there is no share and the answer is None.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from platebook.analysis.grades.success_curve import success_curve
from platebook.analysis.grades.whole_settings import WholeSetting


@dataclass(frozen=True, slots=True)
class ShareGood:
    """The share that comes out good now, of 1, and the band that holds it 95 times in 100.

    `settings` are how many it rests on. `chances` are (share, chance) pairs for what is worked out
    from it.
    """

    share: float
    low: float
    high: float
    settings: int
    chances: tuple[tuple[float, float], ...] = ()


def share_good_now(settings: Sequence[WholeSetting]) -> ShareGood | None:
    """The share good now, as of the last of these settings; None where there are none."""
    curve = success_curve([not s.failed for s in settings])
    if not curve.points:
        return None
    last = curve.points[-1]
    return ShareGood(last.rate, last.low, last.high, len(settings), curve.now)


def share_words(share: ShareGood) -> str:
    """The share in words: "72 in 100 come out good now (51 to 87)"."""
    middle, low, high = (round(100 * s) for s in (share.share, share.low, share.high))
    return f"{middle} in 100 come out good now ({low} to {high})"
