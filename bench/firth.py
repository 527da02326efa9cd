"""Firth's penalised logistic regression, for a single question asked by itself.

The log likelihood is raised by half the log determinant of the information (the Jeffreys prior),
which takes away the first-order bias and keeps every estimate finite, also where a variable parts
good from failed perfectly. Limits are those of the profile penalised likelihood. Source: Heinze and
Schemper, Stat Med 2002;21:2409. With no rows or a constant column the fit raises ValueError.
"""

from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats
from platebook.analysis.models.null_model import sigmoid

_STEPS = 200
_LONGEST = 2.0
_NEAR = 1e-9
_QUANTILE_95 = 3.841458820694124


@dataclass(frozen=True, eq=False)
class FirthFit:
    """Coefficients (q) in the order of the columns, and the penalised log likelihood."""

    coefficients: Floats
    log_likelihood: float


def _penalised(x: Floats, y: Floats, beta: Floats) -> tuple[float, Floats, Floats]:
    """Penalised log likelihood, its slope and the information at beta."""
    eta = x @ beta
    chance = sigmoid(eta)
    weight = chance * (1 - chance)
    information = (x * weight[:, None]).T @ x
    leverage = weight * np.einsum("ni,ni->n", x @ np.linalg.inv(information), x)
    value = float((y * eta - np.logaddexp(0.0, eta)).sum())
    value += 0.5 * float(np.linalg.slogdet(information)[1])
    return value, x.T @ (y - chance + leverage * (0.5 - chance)), information


def firth(x: Floats, y: Floats, *, fixed: tuple[int, float] | None = None) -> FirthFit:
    """Fit y (n zeros and ones) on x (n by q, with its own column of ones).

    `fixed` holds one coefficient (its place and value) while the others are fitted.
    """
    rows, count = x.shape
    if rows == 0 or np.linalg.matrix_rank(x) < count:
        raise ValueError("firth needs rows, and columns that are not made of each other")
    free = np.array([i for i in range(count) if fixed is None or i != fixed[0]], dtype=np.intp)
    beta = np.zeros(count)
    if fixed is not None:
        beta[fixed[0]] = fixed[1]
    value, slope, information = _penalised(x, y, beta)
    for _ in range(_STEPS):
        step = np.zeros(count)
        step[free] = np.linalg.solve(information[np.ix_(free, free)], slope[free])
        step *= min(1.0, _LONGEST / max(float(np.abs(step).max()), _NEAR))
        if float(np.abs(step).max()) < _NEAR:
            break
        for _ in range(12):
            tried = _penalised(x, y, beta + step)
            if tried[0] >= value - 1e-12:
                break
            step *= 0.5
        beta = beta + step
        value, slope, information = tried
    return FirthFit(beta, value)


def _crossing(x: Floats, y: Floats, place: int, fit: FirthFit, side: int) -> float:
    target = fit.log_likelihood - _QUANTILE_95 / 2
    inner = float(fit.coefficients[place])

    def below(at: float) -> bool:
        return firth(x, y, fixed=(place, at)).log_likelihood < target

    reach = 1.0
    while not below(inner + side * reach) and reach < 1e3:
        reach *= 2.0
    near, far = inner, inner + side * reach
    while abs(far - near) > 1e-6:
        middle = (near + far) / 2
        near, far = (near, middle) if below(middle) else (middle, far)
    return (near + far) / 2


def profile_limits(x: Floats, y: Floats, place: int) -> tuple[float, float]:
    """The 95 % limits of one coefficient by profile penalised likelihood."""
    fit = firth(x, y)
    return _crossing(x, y, place, fit, -1), _crossing(x, y, place, fit, 1)
