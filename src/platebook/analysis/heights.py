"""Heights and tilts as responses of their own: judged on every attempt, good ones too.

That a stone was high tells little of one that was not; how high each table stood tells of all. Each
height is asked about in the same search as the defects, so that what goes with high and low stones
is found from fewer attempts.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats
from platebook.analysis.candidates import Candidate
from platebook.analysis.censored import CensoredFit, Spreads, fit_censored, spreads
from platebook.analysis.counted import Counted
from platebook.analysis.measured import HEIGHT, TILT, Measurement, Measurements, Response
from platebook.analysis.measured_part import LEAST_MEASURED
from platebook.analysis.nuisance import Nuisance
from platebook.analysis.responses import measured_height, measured_tilt
from platebook.analysis.trade_map import defined_by
from platebook.analysis.weigh import EXPECTED, OPEN_SD, Cell, prior_for
from platebook.practice.attempt import Attempt

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


@dataclass(frozen=True, eq=False)
class Height:
    """One measured response of a log, with its spreads."""

    measurements: Measurements
    known: Spreads

    @property
    def name(self) -> str:
        """The response's name."""
        return self.measurements.response.name


@dataclass(frozen=True, eq=False)
class HeightSource:
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
        from scipy.special import ndtr

        frame = self.fit.frame
        luck = rng.standard_normal((draws, len(frame.starts)))[:, frame.session]
        scatter = rng.standard_normal((draws, len(frame.session)))
        middle = self.fit.fixed[0] @ frame.z.T
        truth = middle + self.height.known.evening * luck + self.fit.spread * scatter
        return truth, np.asarray(ndtr(-scatter), dtype=float)


def heights(counted: Counted, adjusted: Nuisance) -> tuple[Height, ...]:
    """The heights of a log that were read often enough and vary; empty where none was."""
    often_enough: list[Height] = []
    for response, measure in _SOURCES:
        measured = Measurements.of(response, [measure(attempt) for attempt in counted.attempts])
        measured = measured.some(np.arange(len(measured))[-MOST_MEASURED:])
        if len(measured) >= LEAST_MEASURED and measured.varies():
            known = spreads(adjusted.rows(measured.rows), measured)
            often_enough.append(Height(measured, known))
    return tuple(often_enough)


def height_cell(candidate: Candidate, height: str, levels: int = 1) -> Cell | None:
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
    return Cell(candidate, height, weight / levels, mean, sd)
