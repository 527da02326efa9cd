"""The size of a found effect: its posterior, with the null's columns and the cell's prior.

The log likelihood of β is profiled on a grid (every other coefficient fitted anew, Laplace's
approximation for what they leave open) and multiplied by the cell's prior, which draws a lucky
estimate back. Finite with few and with separated data, because the prior is.
"""

from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats
from platebook.analysis.null_model import Frame, NullFit, fit_null
from platebook.analysis.weigh import Cell, log_prior

_GRID = np.linspace(-5.0, 5.0, 101)


@dataclass(frozen=True, slots=True)
class Effect:
    """Posterior median of an odds ratio, with its 95 % interval.

    For a number, a rank or a distance the ratio is for one standard deviation more; for a yes/no
    field or a level it is for "yes" against "no".
    """

    odds_ratio: float
    low: float
    high: float

    @property
    def more(self) -> bool:
        """Whether more of it goes with the defect."""
        return self.odds_ratio >= 1.0


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
    unit = cell.candidate.scale if cell.candidate.column.kind in {"yes/no", "level"} else 1.0
    low, median, high = np.exp(np.interp([0.025, 0.5, 0.975], share, _GRID) / unit)
    return Effect(float(median), float(low), float(high))
