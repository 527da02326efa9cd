"""Heights and tilts as responses of their own, and how far a response differs between two groups.

That a stone was high tells little of one that was not; how high each table stood tells of all. Each
height is asked about in the same search as the defects, so that what goes with high and low stones
is found from fewer attempts.

The group is one more column of the censored regression, beside practice, size, grade and evening;
its effect is believed to be about one usual scatter at most, N(0, 1), which draws a lucky estimate
back. The interval also holds the chance that there is nothing, so a weak lead's reaches 0. Finite
with few and with one-sided readings, because the prior is.
"""

from collections.abc import Callable, Mapping
from statistics import NormalDist

import numpy as np

from platebook.analysis.arrays import Floats, Truths
from platebook.analysis.findings.asking.candidates import Candidate
from platebook.analysis.findings.asking.cutoffs import Cut
from platebook.analysis.findings.measured.measured_responses import (
    LEAST_MEASURED,
    measured_height,
    measured_tilt,
)
from platebook.analysis.models.bayes_factors import EXPECTED, OPEN_SD, Cell, prior_for
from platebook.analysis.models.censored import (
    HEIGHT,
    TILT,
    CensoredFit,
    Measurement,
    Measurements,
    Response,
    Spreads,
    best_guess,
    fit_censored,
    spreads,
)
from platebook.analysis.models.normal import normal_cdf
from platebook.analysis.models.null_model import Nuisance
from platebook.analysis.variables.attempt_log import AttemptLog
from platebook.analysis.variables.trade_map import defined_by
from platebook.practice.attempt import Attempt
from platebook.values import Value

MOST_MEASURED = 500
"""The latest so many heights are used; hands change."""

SHOWS: Mapping[str, tuple[tuple[str, int], ...]] = {
    HEIGHT.name: (("high", 1), ("low", -1)),
    TILT.name: (("tilted", 1),),
}
"""The defects that more (1) or less (-1) of a response shows as."""

_SOURCES: tuple[tuple[Response, Callable[[Attempt], Measurement | None]], ...] = (
    (HEIGHT, measured_height),
    (TILT, measured_tilt),
)


class Height(Value, eq=False):
    """One measured response of a log, with its spreads."""

    measurements: Measurements
    known: Spreads

    @property
    def name(self) -> str:
        """The response's name."""
        return self.measurements.response.name


class HeightSource(Value, eq=False):
    """What draws of a height are made from: its fit on all readings."""

    height: Height
    fit: CensoredFit

    @classmethod
    def of(cls, height: Height, adjusted: Nuisance) -> "HeightSource":
        """The null of a height; `adjusted` is the whole log's."""
        rows = height.measurements.rows
        return cls(height, fit_censored(adjusted.rows(rows), height.measurements, height.known))

    def draw(self, rng: np.random.Generator, draws: int) -> tuple[Floats, Floats]:
        """Heights that go with nothing (draws by r), and the chance that one is higher still."""
        frame = self.fit.frame
        luck = rng.standard_normal((draws, len(frame.starts)))[:, frame.session]
        scatter = rng.standard_normal((draws, len(frame.session)))
        middle = self.fit.fixed[0] @ frame.z.T
        truth = middle + self.height.known.evening * luck + self.fit.spread * scatter
        return truth, normal_cdf(-scatter)


def heights(log: AttemptLog, adjusted: Nuisance) -> tuple[Height, ...]:
    """The heights of a log that were read often enough and vary; empty where none was."""
    often_enough: list[Height] = []
    for response, measure in _SOURCES:
        measured = Measurements.of(response, [measure(attempt) for attempt in log.attempts])
        measured = measured.chosen(np.arange(len(measured))[-MOST_MEASURED:])
        if len(measured) >= LEAST_MEASURED and measured.varies():
            known = spreads(adjusted.rows(measured.rows), measured)
            often_enough.append(Height(measured, known))
    return tuple(often_enough)


def height_cell(candidate: Candidate, height: str) -> Cell | None:
    """The cell with its prior; None where the pair is true by definition.

    What the trade expects of the defects that a height shows as is expected of the height; where
    they pull against each other nothing is expected.
    """
    shows = SHOWS[height]
    if defined_by(candidate.column.variable) & {defect for defect, _ in shows}:
        return None
    priors = [(sign, prior_for(candidate, defect)) for defect, sign in shows]
    weight = max(weight for _, (weight, _, _) in priors)
    mean = EXPECTED * float(np.sign(sum(sign * mean for sign, (_, mean, _) in priors)))
    sd = min(sd for _, (_, _, sd) in priors) if mean else OPEN_SD
    return Cell(candidate, height, weight, mean, sd)


_EFFECT_SD = 1.0
"""How far two groups are believed to differ, in usual scatters."""

_ENDS = (0.025, 0.975)
_NORMAL = NormalDist()


class Difference(Value):
    """Inside minus outside in the response's own unit, should it be real; its 95 % limits.

    `beyond` counts, inside and outside, how many lie above the middle reading, of how many.
    """

    by: float
    low: float
    high: float
    measured: int
    beyond: tuple[tuple[int, int], tuple[int, int]]

    def downwards(self) -> "Difference":
        """The same seen downwards: how much less, and how many lie below the middle."""
        (k, of), (k_out, of_out) = self.beyond
        below = (of - k, of), (of_out - k_out, of_out)
        return Difference(-self.by, -self.high, -self.low, self.measured, below)


def difference(adjusted: Nuisance, height: Height, cut: Cut, real: float) -> Difference:
    """The difference that `cut` makes; `adjusted` is the whole log's, beside what was found.

    `real` is the posterior probability that there is one.
    """
    known = (cut.inside | cut.outside)[height.measurements.rows]
    measured = height.measurements.chosen(known)
    inside: Truths = cut.inside[measured.rows]
    column = inside.astype(float) - float(inside.mean())
    beside = adjusted.rows(measured.rows).with_columns(column[:, None], sd=_EFFECT_SD)
    fit = fit_censored(beside, measured, height.known)
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
