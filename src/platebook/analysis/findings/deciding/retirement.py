"""Retirement: whether a claim still holds in the latest attempts, and since when it does not.

A claim rests on all attempts of the window, so that a habit which ended, or which does no harm any
more, would stand for a year. Two things retire it:

* it is not done any more: none of the latest attempts lies on its side, where five or more would
  have been expected and where so many sessions without any, at the share of sessions before, have a
  chance of 1 in 500 at the most;
* it does no harm any more: the difference among the latest attempts is so much likelier with
  nothing behind it than with the difference that there was before them, 50 to 1 (both normal, with
  the variances of the shares).

The latest attempts are looked at from few to many, evening by evening. A stretch whose difference
is likelier the other way, 8 to 1, ends the search: the claim holds, or has come back. Of the
stretches that do not bear the claim out, the one is told at whose beginning the share on its
side changed most plainly (the likelihood of one change).

What has one value all through an evening is compared by evenings: the attempts of one then count as
one between them, since they share its luck as well.

With few attempts on either side nothing is said, and the claim stands. That it holds is not proven
by standing; the interval beside it says how much there is.
"""

import math

import numpy as np

from platebook.analysis.arrays import Truths
from platebook.analysis.findings.asking.apart_in_time import constant_in_sessions
from platebook.analysis.findings.asking.cutoffs import Cut
from platebook.analysis.findings.telling import counts_in_sentences
from platebook.analysis.findings.telling.results import Count, Retired
from platebook.analysis.variables.attempt_log import AttemptLog
from platebook.values import Value

LEAST_ON_A_SIDE = 4
LEAST_EXPECTED = 5.0
"""So few say neither that a claim holds nor that it does not (judgement)."""

GONE, STANDS = 50.0, 8.0
"""Likelihood ratios. In drawn logs whose claim goes on 1 to 3 in 100 retire, in logs whose claim
does no harm any more from attempt 72 to 180 half to four fifths, by how much harm it did."""

LEAST_SESSIONS = 3
BY_CHANCE = 0.002
"""What is chosen once an evening is left out by luck for several evenings on end."""


class _Sides(Value):
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

    def by_session(self, sessions: float) -> "_Sides":
        """The same shares counted as so many sessions."""
        of_all = self.here[1] + self.there[1]
        (k, of), (k_out, of_out) = (
            (round(hit * sessions / of_all), round(of * sessions / of_all))
            for hit, of in (self.here, self.there)
        )
        return _Sides((min(k, of), of), (min(k_out, of_out), of_out))

    @property
    def few(self) -> bool:
        """Whether either side is too small to compare."""
        return min(self.here[1], self.there[1]) < LEAST_ON_A_SIDE

    @property
    def difference(self) -> float:
        """The share here minus the share there."""
        return self.here[0] / self.here[1] - self.there[0] / self.there[1]

    @property
    def variance(self) -> float:
        """That of the difference, each share drawn to the middle by two attempts: never 0."""
        sides = (((hit + 1) / (of + 2), of) for hit, of in (self.here, self.there))
        return sum(share * (1 - share) / of for share, of in sides)


def retirement(cut: Cut, truth: Truths, log: AttemptLog) -> Retired | None:
    """Since when the claim of this cut does not hold; None where it stands.

    `truth` (n) says which attempts showed the defect.
    """
    starts = np.flatnonzero(np.diff(log.session, prepend=-1))[:0:-1]
    known = cut.inside | cut.outside
    evenings_own = constant_in_sessions(cut.inside[known].astype(float), log.session[known])
    ended: list[int] = []
    for start in starts.tolist():
        before, since = (_Sides.of(cut, truth, rows) for rows in _around(start))
        if before.few or before.difference <= 0.0:
            break
        if evenings_own and since.here[1]:
            since = since.by_session(len(np.unique(log.session[start:][known[start:]])))
        verdict = _bears_out(before, since, left_out=_chance_left_out(cut, log, start))
        if verdict is True:
            break
        if verdict is False:
            ended.append(start)
    if not ended:
        return None
    return _retired(max(ended, key=lambda start: _change(cut, truth, start)), cut, truth, log)


def _around(start: int) -> tuple[slice, slice]:
    return slice(0, start), slice(start, None)


def _chance_left_out(cut: Cut, log: AttemptLog, start: int) -> float:
    """Chance that no session since has any on the claim's side, if as many had as before."""
    before, since = (np.unique(log.session[rows]) for rows in _around(start))
    if len(since) < LEAST_SESSIONS:
        return 1.0
    having = np.unique(log.session[:start][cut.inside[:start]])
    return float((1.0 - len(having) / (len(before) + 1)) ** len(since))


def _bears_out(before: _Sides, since: _Sides, *, left_out: float) -> bool | None:
    """Whether the stretch bears the claim out; None where it says neither."""
    if since.here[1] == 0:
        share = before.here[1] / (before.here[1] + before.there[1])
        gone = left_out <= BY_CHANCE and share * since.there[1] >= LEAST_EXPECTED
        return False if gone else None
    if since.few:
        return None
    ratio = _log_ratio(before, since)
    if ratio >= math.log(STANDS):
        return True
    return False if ratio <= -math.log(GONE) else None


def _log_ratio(before: _Sides, since: _Sides) -> float:
    """Log likelihood of the difference since: as it was before, against none at all."""
    found, was = since.difference, before.difference
    wide, narrow = since.variance + before.variance, since.variance
    return 0.5 * (
        found * found / narrow - (found - was) ** 2 / wide - math.log(wide) + math.log(narrow)
    )


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
        sentence=counts_in_sentences.no_longer(attempt, day, counts, cut.sides),
    )
