"""Approximate Bayes factors of every cell with the signed trade map.

A cell is one variable, in one form, for one outcome. Its estimate U/V is near N(β, 1/V): β is 0
where the cell goes with nothing, N(±0.9, 0.6²) where the trade expects a direction, N(0, 0.8²)
elsewhere. One expectation in three is taken to be wrong, N(0, 1²). Half of the prior is "nothing
goes with failure"; the other half is shared by the cells in proportion to their weights. The map
is soft: strong data overrule it.

A class says what to expect of one more setter by sums of the other setters' score statistics. Sums
carry no attempt and no name, and are made for five setters or more. They are soft too: half of what
the class says is believed, and a setter may differ from the class by a spread of their own.

| function | gives |
|---|---|
| `cell`, `prior_for` | a question with what the trade expects of it |
| `class_expectations` | what a class expects, by cell |
| `log_terms`, `log_sums`, `log_odds` | each cell's evidence, and posterior odds of families |
"""

import functools
from collections.abc import Mapping, Sequence
from typing import Annotated, NamedTuple

import numpy as np
from pydantic import Field

from platebook.analysis.arrays import Floats, Whole
from platebook.analysis.findings.asking.candidates import Candidate
from platebook.analysis.findings.telling.results import Result
from platebook.analysis.models.scores import Scores
from platebook.analysis.variables.attempt_log import ANY
from platebook.analysis.variables.columns import variable
from platebook.analysis.variables.trade_map import Form, defined_by, expectation
from platebook.values import Value

NOTHING = 0.5
NOT_IN_MAP = 0.4
LEAST_OFTEN = 0.25
WEIGHTS = {"strong": 3.0, "usual": 2.0, "weak": 1.3, "open": NOT_IN_MAP}
ANY_FAILURE = 0.45
OTHER_FORM = 0.4
EXPECTED, EXPECTED_SD = 0.9, 0.6
OPEN_SD = 0.8
MAP_WRONG, WRONG_SD = 0.35, 1.0
ANY_SD = 0.65
LEAST_SETTERS = 5
BELIEF = 0.5
OWN_SPREAD = 0.4
LEAST_SHARE = 0.002


class Key(NamedTuple):
    """What a cell asks, the same in every log; `level` is empty but for a level column."""

    variable: str
    form: Form
    level: str
    outcome: str


class Expected(NamedTuple):
    """What a class expects of a cell: its share of the prior, and where the effect lies."""

    share: float
    mean: float
    sd: float


class Cell(Value, eq=False, dict=True):
    """One question: does this candidate go with this outcome? `mean` and `sd` are its prior's.

    `by_class` is what the setter's class expects beside the trade map, None without a class.
    """

    candidate: Candidate
    outcome: str
    weight: float
    mean: float
    sd: float
    by_class: Expected | None = None

    @functools.cached_property
    def family(self) -> str:
        """The family of the candidate's variable."""
        return variable(self.candidate.column.variable).family

    @property
    def key(self) -> Key:
        """What the cell asks, to find it again in another log."""
        column = self.candidate.column
        return Key(column.variable, self.candidate.form, column.level or "", self.outcome)


def prior_for(candidate: Candidate, outcome: str) -> tuple[float, float, float]:
    """Weight, mean and sd of the prior for one defect or response of a seat.

    Mean and sd are log odds for a standard deviation.
    """
    expected = expectation(candidate.column.variable, outcome)
    form = expected.form if expected is not None else "linear"
    weight = WEIGHTS[expected.weight] if expected is not None else NOT_IN_MAP
    if candidate.form != form:
        return weight * OTHER_FORM, 0.0, OPEN_SD
    if expected is None or candidate.column.kind == "level":
        return weight, 0.0, OPEN_SD
    sign = 1 if form == "distance" else expected.sign
    return weight, sign * EXPECTED, EXPECTED_SD if sign else OPEN_SD


def _of_any(candidate: Candidate, shares: Mapping[str, float]) -> tuple[float, float, float]:
    """Failure of any kind: what the trade expects of its defects, by their share of the failures.

    What goes with one defect goes more weakly with failure as a whole, and against it where the
    defects pull apart.
    """
    if expectation(candidate.column.variable, ANY) is not None:
        return prior_for(candidate, ANY)
    priors = [(share, prior_for(candidate, defect)) for defect, share in shares.items()]
    weight = sum(share * weight for share, (weight, _, _) in priors)
    mean = sum(share * mean for share, (_, mean, _) in priors)
    return ANY_FAILURE * weight, mean, ANY_SD


def cell(candidate: Candidate, outcome: str, shares: Mapping[str, float]) -> Cell | None:
    """The cell with its prior; None where the pair is true by definition.

    `shares` are the defects' shares of the failures.
    """
    defined = defined_by(candidate.column.variable)
    if outcome in defined or (outcome == ANY and defined):
        return None
    if outcome == ANY:
        weight, mean, sd = _of_any(candidate, shares)
    else:
        weight, mean, sd = prior_for(candidate, outcome)
        weight *= _how_often(outcome, shares)
    return Cell(candidate, outcome, weight, mean, sd)


def _how_often(defect: str, shares: Mapping[str, float]) -> float:
    """How often this defect fails, as a multiple of what defects do on the average.

    A strong cause makes its defect frequent, so a defect that is frequent has one more likely.
    """
    return max(shares.get(defect, 0.0) * len(shares), LEAST_OFTEN)


def _log_normal(x: Floats, mean: float, sd: float) -> Floats:
    return np.asarray(-0.5 * np.square((x - mean) / sd) - np.log(sd), dtype=float)


def log_prior(beta: Floats, cell: Cell) -> Floats:
    """Log prior density of effects under a cell, up to a constant."""
    density = _log_normal(beta, cell.mean, cell.sd)
    if cell.mean != 0.0:
        wrong = _log_normal(beta, 0.0, WRONG_SD)
        density = np.logaddexp(np.log(1.0 - MAP_WRONG) + density, np.log(MAP_WRONG) + wrong)
    if cell.by_class is None:
        return density
    by_class = _log_normal(beta, cell.by_class.mean, cell.by_class.sd)
    share = cell.by_class.share
    mixed = np.logaddexp(np.log1p(-share) + density, np.log(share) + by_class)
    return np.asarray(mixed, dtype=float)


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


class Prior(Value, eq=False):
    """The cells' priors as arrays (c), and which family each belongs to (an index)."""

    cells: tuple[Cell, ...]
    log_share: Floats
    mean: Floats
    variance: Floats
    by_class: Whole
    class_log_share: Floats
    class_mean: Floats
    class_variance: Floats
    family: Whole
    families: tuple[str, ...]

    @classmethod
    def of(cls, cells: Sequence[Cell]) -> "Prior":
        """The prior shares of these cells, out of the half that is not "nothing"."""
        weight = np.array([c.weight for c in cells], dtype=float)
        family_numbers: dict[str, int] = {}
        family = [family_numbers.setdefault(c.family, len(family_numbers)) for c in cells]
        by_class = [(i, c.by_class) for i, c in enumerate(cells) if c.by_class is not None]
        left = 1.0 - NOTHING - sum(expected.share for _, expected in by_class)
        return cls(
            cells=tuple(cells),
            log_share=np.log(left * weight / weight.sum()),
            mean=np.array([c.mean for c in cells], dtype=float),
            variance=np.array([c.sd**2 for c in cells], dtype=float),
            by_class=np.array([place for place, _ in by_class], dtype=np.intp),
            class_log_share=np.log([expected.share for _, expected in by_class]),
            class_mean=np.array([expected.mean for _, expected in by_class], dtype=float),
            class_variance=np.array([expected.sd**2 for _, expected in by_class], dtype=float),
            family=np.array(family, dtype=np.intp),
            families=tuple(family_numbers),
        )


def log_factor(estimate: Floats, error: Floats, mean: Floats, variance: Floats) -> Floats:
    """Log Bayes factor of effects N(mean, variance) against none, for estimates with errors."""
    spread = variance + error
    return np.asarray(
        0.5
        * (
            np.log(error / spread)
            + np.square(estimate) / error
            - np.square(estimate - mean) / spread
        ),
        dtype=float,
    )


@functools.lru_cache(maxsize=64)
def class_expectations(prior: ClassPrior | None) -> Mapping[Key, Expected]:
    """What a class expects, by cell; cells that it thinks nothing of are left out."""
    if prior is None or not prior.cells:
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


def log_terms(scores: Scores, prior: Prior) -> Floats:
    """Log of prior share times Bayes factor of every cell (d by c).

    A cell without information (V near 0) has the Bayes factor 1.
    """
    safe = np.maximum(scores.v, 1e-9)
    estimate, error = scores.u / safe, 1.0 / safe
    terms = log_factor(estimate, error, prior.mean, prior.variance)
    signed = prior.mean != 0.0
    other = log_factor(estimate[:, signed], error[:, signed], np.zeros(1), np.full(1, WRONG_SD**2))
    terms[:, signed] = np.logaddexp(
        np.log(1.0 - MAP_WRONG) + terms[:, signed], np.log(MAP_WRONG) + other
    )
    informed = scores.v > 1e-6
    terms = prior.log_share + np.where(informed, terms, 0.0)
    if len(prior.by_class):
        at = prior.by_class
        expected = log_factor(estimate[:, at], error[:, at], prior.class_mean, prior.class_variance)
        expected = prior.class_log_share + np.where(informed[:, at], expected, 0.0)
        terms[:, at] = np.logaddexp(terms[:, at], expected)
    return terms


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
    # Where nothing else is left at all the odds are beyond any number: as large as can be told.
    return np.asarray(log_sum - top - np.log(np.maximum(others, 1e-300)), dtype=float)
