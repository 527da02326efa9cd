"""What a class expects of one more setter: sums of the other setters' score statistics.

Sums carry no attempt and no name, and are made for five setters or more. They are soft: half of
what the class says is believed, and a setter may differ from the class by a spread of their own.
"""

import functools
from collections.abc import Mapping
from typing import Annotated

import numpy as np
from pydantic import Field

from platebook.analysis.findings.results import Result
from platebook.analysis.models.bayes_factors import NOTHING, Expected, Key, log_factor
from platebook.analysis.variables.trade_map import Form

LEAST_SETTERS = 5
BELIEF = 0.5
OWN_SPREAD = 0.4
LEAST_SHARE = 0.002


class CellSum(Result):
    """U and V of one cell summed over setters, with the cell's own prior."""

    variable: str
    form: Form
    level: str
    outcome: str
    u: float
    v: float
    weight: Annotated[float, Field(gt=0)]
    mean: float
    sd: Annotated[float, Field(gt=0)]


class ClassPrior(Result):
    """The sums of a class, of five setters or more."""

    setters: Annotated[int, Field(ge=LEAST_SETTERS)]
    cells: tuple[CellSum, ...]

    def expectations(self) -> Mapping[Key, Expected]:
        """What the class expects, by cell; cells that it thinks nothing of are left out."""
        return _expectations(self)


@functools.lru_cache(maxsize=64)
def _expectations(prior: ClassPrior) -> Mapping[Key, Expected]:
    if not prior.cells:
        return {}
    sums = prior.cells
    v = np.maximum(np.array([cell.v for cell in sums]), 1e-9)
    estimate, error = np.array([cell.u for cell in sums]) / v, 1.0 / v
    mean, sd = np.array([cell.mean for cell in sums]), np.array([cell.sd for cell in sums])
    weight = np.array([cell.weight for cell in sums])
    terms = np.log((1 - NOTHING) * weight / weight.sum())
    terms += log_factor(estimate, error, mean, np.square(sd))
    top = max(float(terms.max()), float(np.log(NOTHING)))
    scaled = np.exp(terms - top)
    share = scaled / (scaled.sum() + np.exp(np.log(NOTHING) - top))
    precision = v + sd**-2
    centre = (v * estimate + mean * sd**-2) / precision
    spread = np.sqrt(1 / precision + OWN_SPREAD**2)
    return {
        Key(cell.variable, cell.form, cell.level, cell.outcome): Expected(
            (1 - NOTHING) * BELIEF * float(share[i]), float(centre[i]), float(spread[i])
        )
        for i, cell in enumerate(sums)
        if share[i] > LEAST_SHARE
    }
