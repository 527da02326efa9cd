"""How much a log can carry: counts only, leads or claims, and when claims are decided.

A setter looks every evening, so claims are decided only when the number of counted attempts
passes a checkpoint; between checkpoints the decision stands.
"""

import itertools
import math
from collections.abc import Iterator

from platebook.analysis.findings import Evidence

LEAST_FOR_LEADS = 20
LEAST_FAILURES = 6
LEAST_GOOD = 6
LEAST_FOR_CLAIMS = 32
LEAST_FAILURES_FOR_CLAIMS = 8
CLAIM_SHARE = 0.03
CLAIM_DRAWS = 999
SETTLED_Z = 3.2
MOST_MORE = 200
_CHECKPOINTS = (32, 48, 72, 104, 152)
_GROWTH = 1.45


def evidence(attempts: int, failures: int) -> Evidence:
    """What may be said of a log with this many counted attempts and failures."""
    good = attempts - failures
    if attempts < LEAST_FOR_LEADS or failures < LEAST_FAILURES or good < LEAST_GOOD:
        return "counts only"
    if attempts < LEAST_FOR_CLAIMS or failures < LEAST_FAILURES_FOR_CLAIMS:
        return "leads"
    return "claims"


def _checkpoints() -> Iterator[int]:
    yield from _CHECKPOINTS
    point = _CHECKPOINTS[-1] * _GROWTH
    while True:
        yield round(point)
        point *= _GROWTH


def last_checkpoint(attempts: int) -> int | None:
    """The checkpoint that this many attempts passed last; None before the first."""
    passed = list(itertools.takewhile(lambda point: point <= attempts, _checkpoints()))
    return passed[-1] if passed else None


def next_checkpoint(attempts: int) -> int:
    """The checkpoint that comes after this many attempts."""
    return next(point for point in _checkpoints() if point > attempts)


def to_leads(attempts: int, failures: int) -> tuple[int, int]:
    """How many more attempts until leads can be shown, as a range from this log's own rate.

    The rate is taken as between (f + 1) and (f + 1) ± one standard error of (n + 2) attempts, so
    no attempts at all give a wide answer, never an infinite one.
    """
    rate = (failures + 1) / (attempts + 2)
    error = (rate * (1 - rate) / (attempts + 2)) ** 0.5
    ranges = []
    for chance in (min(rate + error, 0.95), max(rate - error, 0.05)):
        bad = max(LEAST_FAILURES - failures, 0) / chance
        good = max(LEAST_GOOD - (attempts - failures), 0) / (1 - chance)
        ranges.append(max(LEAST_FOR_LEADS - attempts, bad, good))
    return max(round(min(ranges)), 1), min(max(round(max(ranges)), 1), MOST_MORE)


def to_claim(attempts: int, each: float, sizes: tuple[float, float]) -> tuple[int, int]:
    """How many more attempts until a lead may be well supported, as a range, at most 200.

    `each` is what one attempt adds to V and `sizes` are a likely and a small size of the effect
    (log odds for a standard deviation): z grows as size times the root of V, and claims ask for
    about 3.2. No claim comes before the next checkpoint.
    """
    first = next_checkpoint(attempts) - attempts
    needs = sorted(
        MOST_MORE
        if size * size * each <= 0.0
        else min(max(math.ceil(SETTLED_Z**2 / (size * size * each)) - attempts, first), MOST_MORE)
        for size in sizes
    )
    return needs[0], needs[1]
