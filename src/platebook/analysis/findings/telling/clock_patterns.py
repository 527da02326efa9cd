"""Clock patterns: whether a defect lies on one side of the rim more than chance would have it.

| function | answers |
|---|---|
| `clock_patterns` | "7 of 9 high ones were at 3 to 5 o'clock", and how often chance does as much |
| `chance_of_arc` | exact chance that some arc of three hours holds so many of n |

Question: are the places of one defect on one side? Under chance alone each of n places is any of
the 12 hours, independently (a multinomial with equal shares). The fullest arc of three hours is
told where it holds more than half of the places; its chance, over all twelve arcs, is exact, and is
multiplied by the number of defects looked at (Bonferroni). The newest 40 places are used: hands
change. Below 6 places nothing is said. It cannot tell why: posture, light and the hand's own lean
look alike. That the rim is otherwise alike all round is the assumption; a stone that is always held
the same way breaks it.
"""

import functools
import math
from collections.abc import Sequence
from typing import Final

from platebook.analysis.findings.telling.results import ClockPattern
from platebook.analysis.findings.telling.sentences import clock_place
from platebook.analysis.variables.attempt_log import AttemptLog
from platebook.practice.results import DEFECTS

HOURS: Final = 12
ARC: Final = 3
LEAST, NEWEST = 6, 40
ENOUGH = 0.05
"""Told where chance does as much in at most 1 such log in 20."""


def clock_patterns(log: AttemptLog) -> tuple[ClockPattern, ...]:
    """The patterns of one setter's judged attempts, the least likely by chance first."""
    places = {defect: _places(log, defect) for defect in DEFECTS}
    enough = {defect: hours for defect, hours in places.items() if len(hours) >= LEAST}
    patterns = (_pattern(defect, hours, len(enough)) for defect, hours in enough.items())
    unlikely = (pattern for pattern in patterns if pattern is not None)
    return tuple(sorted(unlikely, key=lambda pattern: pattern.share))


def _places(log: AttemptLog, defect: str) -> list[int]:
    """Hours of the newest attempts that show this defect and no other, so the place is its own."""
    return [
        attempt.clock
        for attempt in log.attempts
        if attempt.clock is not None and attempt.result == (defect,)
    ][-NEWEST:]


def _pattern(defect: str, hours: Sequence[int], looked_at: int) -> ClockPattern | None:
    by_hour = tuple(hours.count(hour) for hour in range(1, HOURS + 1))
    arcs = [sum(by_hour[(start + step) % HOURS] for step in range(ARC)) for start in range(HOURS)]
    count = max(arcs)
    if 2 * count <= len(hours):
        return None
    share = min(1.0, looked_at * chance_of_arc(len(hours), count))
    if share > ENOUGH:
        return None
    first = _middle_of(arcs, count)
    last = (first + ARC - 1) % HOURS
    return ClockPattern(
        defect=defect,
        first=first + 1,
        last=last + 1,
        count=count,
        of=len(hours),
        by_hour=by_hour,
        share=share,
        sentence=clock_place(defect, (first + 1, last + 1), count, len(hours), share),
    )


def _middle_of(arcs: Sequence[int], count: int) -> int:
    """Of the fullest arcs the one with the others around it: places at one hour are its middle."""
    fullest = [start for start, held in enumerate(arcs) if held == count]
    return max(
        fullest,
        key=lambda start: sum((start + way) % HOURS in fullest for way in (-1, 1)),
    )


@functools.lru_cache(maxsize=512)
def chance_of_arc(n: int, count: int) -> float:
    """Chance that any arc of three of twelve hours holds at least `count` of n even places.

    Exact for count > n / 2, where two such arcs always share an hour, so that those of one outcome
    lie within three neighbours and have a first one: 12 times the chance that a given arc holds
    so many and neither of the two before it does. ValueError otherwise.
    """
    if not n / 2 < count <= n:
        raise ValueError(f"count is {count} of {n}: more than half is expected")
    total = 0.0
    for inside in range(count, n + 1):
        for first in range(inside + 1):
            for second in range(inside - first + 1):
                kept = _not_before(n - inside, count, first, second)
                total += kept * _multinomial(n, (first, second, inside - first - second))
    return min(1.0, HOURS * total)


def _multinomial(n: int, cells: tuple[int, ...]) -> float:
    """Chance that the given hours hold these counts and the others the rest."""
    left = n - sum(cells)
    ways = math.lgamma(n + 1) - math.lgamma(left + 1) - sum(math.lgamma(c + 1) for c in cells)
    others = HOURS - len(cells)
    return math.exp(ways + left * math.log(others) - n * math.log(HOURS))


def _not_before(left: int, count: int, first: int, second: int) -> float:
    """Chance that neither arc before holds `count`, of the places left in the other nine hours."""
    return sum(
        _binomial(left, near, 1 / (HOURS - ARC))
        * _at_most(left - near, count - 1 - first - near, 1 / (HOURS - ARC - 1))
        for near in range(min(left, count - 1 - first - second) + 1)
    )


@functools.lru_cache(maxsize=4096)
def _binomial(n: int, k: int, p: float) -> float:
    return float(math.comb(n, k) * p**k * (1 - p) ** (n - k))


@functools.lru_cache(maxsize=4096)
def _at_most(n: int, k: int, p: float) -> float:
    return sum(_binomial(n, i, p) for i in range(min(n, k) + 1))
