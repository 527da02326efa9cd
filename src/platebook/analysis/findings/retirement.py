"""Retirement: whether a claim still holds in the latest attempts, and since when it does not.

A claim rests on all attempts of the window, so that a habit which ended, or which does no harm any
more, would stand for a year. Two things retire it:

* it is not done any more: none of the latest attempts lies on its side, in three sessions at least,
  where five or more would have been expected;
* it does no harm any more: among the latest attempts the 95 % interval of the difference
  (Newcombe) lies below half of what the difference was before them.

The latest attempts are looked at from few to many, evening by evening. One stretch in which the
difference is half of what it was, or more, ends the search: the claim holds, or has come back. Of
the stretches that do not bear the claim out, the one is told at whose beginning the share on its
side changed most plainly (the likelihood of one change).

With few attempts on either side nothing is said, and the claim stands. That it holds is not proven
by standing; the interval beside it says how much there is.
"""

import math
from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Truths
from platebook.analysis.findings import sentences
from platebook.analysis.findings.cutoffs import Cut
from platebook.analysis.findings.results import Count, Retired
from platebook.analysis.models.intervals import newcombe_difference
from platebook.analysis.variables.attempt_log import AttemptLog

LEAST_ON_A_SIDE = 4
LEAST_EXPECTED = 5.0
LEAST_SESSIONS = 3
"""So few say neither that a claim holds nor that it does not (judgement)."""


@dataclass(frozen=True, slots=True)
class _Sides:
    """How many of a stretch showed it on the claim's side, and on the other."""

    here: tuple[int, int]
    there: tuple[int, int]

    @classmethod
    def of(cls, cut: Cut, truth: Truths, rows: slice) -> "_Sides":
        """Counted in these rows."""
        inside, outside, hit = cut.inside[rows], cut.outside[rows], truth[rows]
        return cls(
            (int((hit & inside).sum()), int(inside.sum())),
            (int((hit & outside).sum()), int(outside.sum())),
        )

    @property
    def few(self) -> bool:
        """Whether either side is too small to compare."""
        return min(self.here[1], self.there[1]) < LEAST_ON_A_SIDE

    @property
    def difference(self) -> float:
        """The share here minus the share there."""
        return self.here[0] / self.here[1] - self.there[0] / self.there[1]


def retirement(cut: Cut, truth: Truths, log: AttemptLog) -> Retired | None:
    """Since when the claim of this cut does not hold; None where it stands.

    `truth` (n) says which attempts showed the defect.
    """
    starts = np.flatnonzero(np.diff(log.session, prepend=-1))[:0:-1]
    ended: list[int] = []
    for start in starts.tolist():
        before, since = (_Sides.of(cut, truth, rows) for rows in _around(start))
        if before.few or before.difference <= 0.0:
            break
        verdict = _bears_out(before, since, sessions=len(np.unique(log.session[start:])))
        if verdict is True:
            break
        if verdict is False:
            ended.append(start)
    if not ended:
        return None
    return _retired(max(ended, key=lambda start: _change(cut, truth, start)), cut, truth, log)


def _around(start: int) -> tuple[slice, slice]:
    return slice(0, start), slice(start, None)


def _bears_out(before: _Sides, since: _Sides, *, sessions: int) -> bool | None:
    """Whether the stretch bears the claim out; None where it says neither."""
    if since.here[1] == 0:
        share = before.here[1] / (before.here[1] + before.there[1])
        gone = sessions >= LEAST_SESSIONS and share * since.there[1] >= LEAST_EXPECTED
        return False if gone else None
    if since.few:
        return None
    half = before.difference / 2
    if since.difference >= half:
        return True
    return False if newcombe_difference(since.here, since.there).high < half else None


def _change(cut: Cut, truth: Truths, start: int) -> float:
    """Log likelihood of one share of the claim's side before the start and another one since.

    Of how often it is done, and of how often it then shows the defect.
    """
    total = 0.0
    for rows in _around(start):
        sides = _Sides.of(cut, truth, rows)
        (hit, inside), outside = sides.here, sides.there[1]
        total += _log_likelihood(hit, inside) + _log_likelihood(inside, inside + outside)
    return total


def _log_likelihood(hit: int, of: int) -> float:
    """Of so many hits at the share that they have."""
    parts = (count for count in (hit, of - hit) if count)
    return sum(count * math.log(count / of) for count in parts)


def _retired(start: int, cut: Cut, truth: Truths, log: AttemptLog) -> Retired:
    since = _Sides.of(cut, truth, slice(start, None))
    counts = tuple(
        Count(label=label, failed=failed, of=of)
        for label, (failed, of) in ((cut.label, since.here), (cut.rest_label, since.there))
    )
    began = log.attempts[start].began
    attempt, day = log.before + start + 1, began.date() if began is not None else None
    return Retired(
        attempt=attempt,
        day=day,
        counts=counts,
        sentence=sentences.no_longer(attempt, day, counts),
    )
