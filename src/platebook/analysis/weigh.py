"""Weighing: approximate Bayes factors of every cell with the signed trade map.

A cell is one variable, in one form, for one outcome. Its estimate U/V is near N(β, 1/V): β is 0
where the cell goes with nothing, N(±0.9, 0.6²) where the trade expects a direction, N(0, 0.8²)
elsewhere. Half of the prior is "nothing goes with failure"; the other half is shared by the cells
in proportion to their weights. The map is soft: strong data overrule it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats, Whole
from platebook.analysis.candidates import Candidate
from platebook.analysis.counted import ANY
from platebook.analysis.trade_map import defined_by
from platebook.analysis.variables import expectation, variable

NOTHING = 0.5
WEIGHTS = {"strong": 3.0, "usual": 2.0, "weak": 1.3}
NOT_IN_MAP = 0.4
ANY_FAILURE = 1.0
OTHER_FORM = 0.3
EXPECTED, EXPECTED_SD = 0.9, 0.6
OPEN_SD = 0.8


@dataclass(frozen=True, eq=False)
class Cell:
    """One question: does this candidate go with this outcome? `weight` is 0 to leave it out."""

    candidate: Candidate
    outcome: str
    weight: float
    mean: float
    sd: float

    @property
    def family(self) -> str:
        """The family of the candidate's variable."""
        return variable(self.candidate.column.variable).family


def cell(candidate: Candidate, outcome: str, levels: int = 1) -> Cell | None:
    """The cell with its prior; None where the pair is true by definition.

    `levels` is the number of level columns that share the variable's weight.
    """
    name = candidate.column.variable
    defined = defined_by(name)
    if outcome in defined or (outcome == ANY and defined):
        return None
    expected = expectation(name, outcome)
    form = expected.form if expected is not None else "linear"
    weight = ANY_FAILURE if outcome == ANY else NOT_IN_MAP
    if expected is not None:
        weight = WEIGHTS[expected.weight]
    if candidate.form != form:
        weight *= OTHER_FORM
    mean, sd = 0.0, OPEN_SD
    if expected is not None and candidate.form == form and candidate.column.kind != "level":
        sign = 1 if form == "distance" else expected.sign
        mean, sd = sign * EXPECTED, EXPECTED_SD if sign else OPEN_SD
    return Cell(candidate, outcome, weight / levels, mean, sd)


@dataclass(frozen=True, eq=False)
class Prior:
    """The cells' priors as arrays (c), and which family each belongs to (an index)."""

    log_share: Floats
    mean: Floats
    variance: Floats
    family: Whole
    families: tuple[str, ...]

    @classmethod
    def of(cls, cells: Sequence[Cell]) -> "Prior":
        """The prior shares of these cells, out of the half that is not "nothing"."""
        weight = np.array([c.weight for c in cells], dtype=float)
        families = tuple(dict.fromkeys(c.family for c in cells))
        return cls(
            log_share=np.log((1.0 - NOTHING) * weight / weight.sum()),
            mean=np.array([c.mean for c in cells], dtype=float),
            variance=np.array([c.sd**2 for c in cells], dtype=float),
            family=np.array([families.index(c.family) for c in cells], dtype=np.intp),
            families=families,
        )


def log_bayes_factors(u: Floats, v: Floats, prior: Prior) -> Floats:
    """Log Bayes factor of every cell (d by c); a cell without information (V near 0) gives 0."""
    safe = np.maximum(v, 1e-9)
    estimate, error = u / safe, 1.0 / safe
    spread = prior.variance + error
    found = 0.5 * (
        np.log(error / spread)
        + np.square(estimate) / error
        - np.square(estimate - prior.mean) / spread
    )
    return np.where(v > 1e-6, found, 0.0)


def log_sums(log_terms: Floats, groups: Whole, count: int) -> Floats:
    """Log of the sums of exp over the columns (d by c) of each of `count` groups (d by count)."""
    top = log_terms.max(axis=1, keepdims=True)
    member = np.zeros((log_terms.shape[1], count))
    member[np.arange(len(groups)), groups] = 1.0
    return np.asarray(np.log(np.exp(log_terms - top) @ member + 1e-300) + top, dtype=float)


def log_odds(log_sum: Floats) -> Floats:
    """Posterior log odds of each group (d by g) against nothing and all other groups."""
    top = np.maximum(log_sum.max(axis=1, keepdims=True), np.log(NOTHING))
    scaled = np.exp(log_sum - top)
    nothing = np.exp(np.log(NOTHING) - top)
    others = nothing + np.maximum(scaled.sum(axis=1, keepdims=True) - scaled, 0.0)
    return np.asarray(log_sum - top - np.log(others), dtype=float)
