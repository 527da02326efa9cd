"""How far a measured response differs between two groups of attempts, with its interval.

The group is one more column of the censored regression, beside practice, size, grade and evening;
its effect is believed to be about one usual scatter at most, N(0, 1), which draws a lucky estimate
back. The interval also holds the chance that there is nothing, so a weak lead's reaches 0. Finite
with few and with one-sided readings, because the prior is.
"""

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from platebook.analysis.arrays import Floats, Truths
from platebook.analysis.censored import beside, best_guess, fit_censored
from platebook.analysis.cutoffs import Cut
from platebook.analysis.heights import Height
from platebook.analysis.nuisance import Nuisance

_ENDS = (0.025, 0.975)
_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True)
class Difference:
    """Inside minus outside in the response's own unit, should it be real; its 95 % limits.

    `beyond` counts, inside and outside, how many lie above the middle reading, of how many.
    """

    by: float
    low: float
    high: float
    measured: int
    beyond: tuple[tuple[int, int], tuple[int, int]]

    def turned(self) -> "Difference":
        """The same told downwards: how much less, and how many lie below the middle."""
        (k, of), (k_out, of_out) = self.beyond
        turned = (of - k, of), (of_out - k_out, of_out)
        return Difference(-self.by, -self.high, -self.low, self.measured, turned)


def difference(adjusted: Nuisance, height: Height, split: Cut, real: float) -> Difference:
    """The difference that `split` makes; `adjusted` is the whole log's, beside what was found.

    `real` is the posterior probability that there is one.
    """
    known = (split.inside | split.outside)[height.measurements.rows]
    measured = height.measurements.some(known)
    inside: Truths = split.inside[measured.rows]
    column = inside.astype(float) - float(inside.mean())
    fit = fit_censored(beside(adjusted.rows(measured.rows), column), measured, height.known)
    error = float(np.sqrt(np.linalg.inv(fit.projection.core[0])[-1, -1]))
    by = float(fit.fixed[0, -1])
    unit = height.measurements.response.unit
    low, high = (unit * _quantile(share, by, error, real) for share in _ENDS)
    guess = best_guess(fit, measured)
    return Difference(unit * by, low, high, len(measured), _beyond(guess, inside))


def _beyond(guess: Floats, inside: Truths) -> tuple[tuple[int, int], tuple[int, int]]:
    above = guess > float(np.median(guess))
    return (
        (int((above & inside).sum()), int(inside.sum())),
        (int((above & ~inside).sum()), int((~inside).sum())),
    )


def _quantile(share: float, middle: float, error: float, real: float) -> float:
    """Of N(middle, error²) that is real with this chance, and else 0."""
    real = min(max(real, 1e-6), 1.0)
    below = real * _NORMAL.cdf(-middle / error)
    if below <= share <= below + 1.0 - real:
        return 0.0
    rest = share / real if share < below else (share - (1.0 - real)) / real
    return middle + error * _NORMAL.inv_cdf(min(max(rest, 1e-9), 1.0 - 1e-9))
