"""The size of a found effect: its posterior, with the null's columns and the cell's prior.

The log likelihood of β is profiled on a grid (every other coefficient fitted anew, Laplace's
approximation for what they leave open) and multiplied by the cell's prior, which draws a lucky
estimate back. Finite with few and with separated data, because the prior is.
"""

import math
from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats
from platebook.analysis.null_model import Frame, NullFit, fit_null
from platebook.analysis.weigh import Cell, log_prior

_GRID = np.linspace(-5.0, 5.0, 101)


@dataclass(frozen=True, slots=True)
class Effect:
    """Posterior median of a log odds ratio for one standard deviation more, with its 95 % limits.

    `unit` is what a step from "no" to "yes" counts in standard deviations; 1 for what is measured
    in standard deviations itself: a number, a rank or a distance.
    """

    median: float
    lower: float
    upper: float
    unit: float

    @property
    def more(self) -> bool:
        """Whether more of it goes with the defect."""
        return self.median >= 0.0

    @property
    def odds_ratio(self) -> tuple[float, float, float]:
        """The odds ratio and its limits: for a standard deviation more, or "yes" against "no"."""
        median, lower, upper = (
            math.exp(beta / self.unit) for beta in (self.median, self.lower, self.upper)
        )
        return median, lower, upper

    @property
    def size(self) -> float:
        """How large it is, whichever way."""
        return abs(self.median)

    @property
    def least_size(self) -> float:
        """How large it is at least; 0 where it may point either way."""
        return max(self.lower, -self.upper, 0.0)


def _log_marginal(frame: Frame, fit: NullFit, truth: Floats, offset: Floats) -> Floats:
    eta = fit.fixed @ frame.z.T + fit.random[:, frame.session] + offset
    log_likelihood = (truth * eta - np.logaddexp(0.0, eta)).sum(axis=1)
    penalty = 0.5 * (np.square(fit.fixed) @ frame.precision)
    penalty += 0.5 * frame.session_precision * np.square(fit.random).sum(axis=1)
    volume = np.linalg.slogdet(fit.projection.core)[1] + np.log(fit.projection.session_weight).sum(
        axis=1
    )
    return np.asarray(log_likelihood - penalty - 0.5 * volume, dtype=float)


def effect(frame: Frame, truth: Floats, x: Floats, cell: Cell) -> Effect:
    """The effect of x (n, standardised) on one outcome (n zeros and ones)."""
    offset = _GRID[:, None] * x[None, :]
    outcomes = np.tile(truth, (len(_GRID), 1))
    fit = fit_null(frame, outcomes, offset=offset, near=1e-3)
    log_density = _log_marginal(frame, fit, outcomes, offset)
    log_density += log_prior(_GRID, cell)
    density = np.exp(log_density - log_density.max())
    middle = np.concatenate([[0.0], (density[1:] + density[:-1]) / 2])
    share = np.cumsum(middle) / middle.sum()
    lower, median, upper = np.interp([0.025, 0.5, 0.975], share, _GRID)
    candidate = cell.candidate
    unit = candidate.scale if candidate.column.kind in {"yes/no", "level"} else 1.0
    return Effect(float(median), float(lower), float(upper), unit)
