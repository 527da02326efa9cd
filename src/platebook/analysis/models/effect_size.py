"""How large an effect is: the odds ratio of one cell with its limits.

The log likelihood of β is profiled on a grid (every other coefficient fitted anew, Laplace's
approximation for what they leave open) and multiplied by the cell's prior, which draws a lucky
estimate back. Finite with few and with separated data, because the prior is. The median is that of
a real effect; the interval also holds the chance that there is none, so a weak lead's reaches 1.
"""

import math

import numpy as np

from platebook.analysis.arrays import Floats
from platebook.analysis.models.bayes_factors import Cell, log_prior
from platebook.analysis.models.null_model import Frame, NullFit, fit_null
from platebook.values import Value

_GRID = np.linspace(-5.0, 5.0, 401)
_NODES, _REACH = 15, 5.0
_NODES_SD, _NEAR = 2.0, 1e-2
"""The likelihood is profiled at so many places, over so many standard deviations to each side of
where it would be highest under a wide prior N(0, 2²)."""


class Effect(Value):
    """Posterior median of a log odds ratio for one standard deviation more, with its 95 % limits.

    `weak` and `strong` are the quartiles nearer to and farther from none. `unit` is what a step
    from "no" to "yes" counts in standard deviations; 1 for what is measured in standard deviations
    itself: a number, a rank or a distance.
    """

    median: float
    lower: float
    upper: float
    weak: float
    strong: float
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


def _log_marginal(frame: Frame, fit: NullFit, truth: Floats, offset: Floats) -> Floats:
    eta = fit.fixed @ frame.z.T + fit.random[:, frame.session] + offset
    log_likelihood = (truth * eta - np.logaddexp(0.0, eta)).sum(axis=1)
    penalty = 0.5 * (np.square(fit.fixed) @ frame.precision)
    penalty += frame.session_penalty(fit.random)
    volume = np.linalg.slogdet(fit.projection.core)[1] + np.log(fit.projection.session_weight).sum(
        axis=1
    )
    return np.asarray(log_likelihood - penalty - 0.5 * volume, dtype=float)


def _profiled(frame: Frame, truth: Floats, x: Floats) -> Floats:
    """The log likelihood of effects on the grid; minus infinity where it is out of reach."""
    beside = frame.beside(x, _NODES_SD)
    joint = fit_null(beside, truth[None, :], near=_NEAR)
    middle = float(joint.fixed[0, -1])
    sd = float(np.sqrt(np.linalg.inv(joint.projection.core[0])[-1, -1]))
    ends = np.clip([middle - _REACH * sd, middle + _REACH * sd], _GRID[0], _GRID[-1])
    nodes = np.linspace(ends[0], ends[1], _NODES)
    offset = nodes[:, None] * x[None, :]
    outcomes = np.tile(truth, (_NODES, 1))
    start = joint.fixed[0, :-1], joint.random[0]
    fit = fit_null(frame, outcomes, offset=offset, start=start, near=_NEAR)
    at_nodes = _log_marginal(frame, fit, outcomes, offset)
    curve = np.polynomial.Polynomial.fit(nodes, at_nodes, 6)
    left = np.interp(_GRID, nodes, at_nodes - curve(nodes))
    reached = (ends[0] <= _GRID) & (ends[1] >= _GRID)
    return np.where(reached, curve(_GRID) + left, -np.inf)


def _quantiles(share: Floats, real: float) -> tuple[float, float]:
    """The 95 % limits of an effect that is real with this chance, and else none."""
    step = np.where(_GRID >= 0.0, 1.0 - real, 0.0)
    whole = real * share + step
    low = float(_GRID[min(int(np.searchsorted(whole, 0.025)), len(_GRID) - 1)])
    high = float(_GRID[min(int(np.searchsorted(whole, 0.975)), len(_GRID) - 1)])
    return low, high


def effect(frame: Frame, truth: Floats, x: Floats, cell: Cell, real: float) -> Effect:
    """The effect of x (n, standardised) on one outcome (n zeros and ones).

    `real` is the posterior probability that there is one.
    """
    log_density = _profiled(frame, truth, x) + log_prior(_GRID, cell)
    density = np.exp(log_density - log_density.max())
    middle = np.concatenate([[0.0], (density[1:] + density[:-1]) / 2])
    share = np.cumsum(middle) / middle.sum()
    first, median, third = (float(q) for q in np.interp([0.25, 0.5, 0.75], share, _GRID))
    lower, upper = _quantiles(share, real)
    candidate = cell.candidate
    unit = candidate.scale if candidate.column.kind in {"yes/no", "level"} else 1.0
    weak, strong = sorted((first, third), key=abs)
    return Effect(median, lower, upper, weak, strong, unit)
