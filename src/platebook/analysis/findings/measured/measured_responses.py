"""What is measured of each attempt as a response, and the score of each column for it.

| function | gives |
|---|---|
| `measured_overcut` | seat minus bur, by the closest reading |
| `measured_depth_error` | seat depth minus what the stone needs, else the trial stone's side |
| `measured_height` | the table above the sheet after setting, else with the trial stone |
| `measured_tilt` | the lean of the table |

None where nothing was measured, or where it was measured of a stone of unknown size.

The score is that of the censored regression, in standard deviations of the response's scatter and
there brought to the scale of log odds (a logistic scatter has the standard deviation 1.81), so
that it can be weighed beside what is judged by yes or no. Drawn truths are scored by one step from
the observed null, with the scatter of each draw taken anew: with plain readings that is exact.
"""

import math
from collections.abc import Sequence

import numpy as np

from platebook.analysis.arrays import Floats, Whole
from platebook.analysis.findings.asking.candidates import Group
from platebook.analysis.measurements.seat_readings import (
    CUSTOM_EDGE_MM,
    NO_TOOLS,
    Worth,
    seat_reading,
)
from platebook.analysis.models.bayes_factors import Cell
from platebook.analysis.models.censored import (
    CensoredFit,
    Measurement,
    Measurements,
    Spreads,
    between,
    exactly,
    fit_censored,
    slopes,
)
from platebook.analysis.models.null_model import Nuisance
from platebook.analysis.models.scores import Scores
from platebook.analysis.variables.derived import NEEDED_DEPTH_RATIO, stone_mm
from platebook.practice.attempt import Attempt
from platebook.practice.fields import ranks
from platebook.values import Value, replace

DEPTH_U_MM = 0.03
"""Standard uncertainty of what is left under a flat pin on the ledge (judgement: ± 0.03 mm)."""

TRIAL_U_MM = 0.015
"""Standard uncertainty of a trial stone with a straight edge (judgement: ± 0.03 mm)."""

HEIGHT_U_MM = 0.015
"""Standard uncertainty of a table's height by a rule on edge and the light (judgement)."""

TILT_U_DEG = 0.5
"""Standard uncertainty of a lean told by a reflection (judgement)."""

TRIAL_EDGES = (-0.015, 0.01, 0.03)
"""Depth of the trial table, in diameters, between proud, flush, just under and deep: the nail
catches at 0.015 above, and good tables lie 0 to 0.03 below the metal (common practice)."""

FARTHEST_MM = 1.0
"""A depth error or height beyond this is a typing error (judgement)."""

STEEPEST_DEG = 45.0


def measured_overcut(attempt: Attempt, worth: Worth = NO_TOOLS) -> Measurement | None:
    """Seat minus bur: a value, between pins, or beside the stone by `fit`."""
    reading, _ = seat_reading(attempt, worth=worth)
    if reading is None:
        return None
    if reading.low_edges or reading.high_edges:
        stone = reading.low_mm
        return Measurement(
            stone + reading.low_edges * CUSTOM_EDGE_MM,
            stone + reading.high_edges * CUSTOM_EDGE_MM,
            reading.u_mm,
            edges=(stone - CUSTOM_EDGE_MM, stone, stone + CUSTOM_EDGE_MM),
        )
    step = reading.high_mm - reading.low_mm
    return Measurement(reading.low_mm, reading.high_mm, reading.u_mm, step=step)


def measured_depth_error(attempt: Attempt) -> Measurement | None:
    """Too deep is positive. The trial stone tells a side where the depth was not measured."""
    stone, depth = stone_mm(attempt), attempt.seat_depth_mm
    if stone is None:
        return None
    if depth is not None and 0 < depth < math.inf:
        error = depth - stone * NEEDED_DEPTH_RATIO
        return exactly(error, DEPTH_U_MM) if abs(error) <= FARTHEST_MM else None
    place = ranks("trial_height").get(attempt.trial_height or "")
    if place is None:
        return None
    return between(tuple(edge * stone for edge in TRIAL_EDGES), place - 1, TRIAL_U_MM)


def measured_height(attempt: Attempt) -> Measurement | None:
    """Above the sheet is positive. The trial stone speaks where the set table was not measured."""
    height, stone = attempt.table_height_mm, stone_mm(attempt)
    if height is not None and abs(height) <= FARTHEST_MM:
        return exactly(height, HEIGHT_U_MM)
    place = ranks("trial_height").get(attempt.trial_height or "")
    if stone is None or place is None:
        return None
    edges = tuple(-edge * stone for edge in reversed(TRIAL_EDGES))
    return between(edges, len(edges) - (place - 1), TRIAL_U_MM)


def measured_tilt(attempt: Attempt) -> Measurement | None:
    """Degrees from level; the sign, where somebody wrote one, does not count."""
    tilt = attempt.table_tilt_deg
    if tilt is None or not abs(tilt) <= STEEPEST_DEG:
        return None
    return exactly(abs(tilt), TILT_U_DEG)


LOGIT = math.pi / math.sqrt(3.0)
LEAST_MEASURED = 12
_LEAST_SHARE, _MOST_SHARE = 0.1, 10.0


class MeasuredPart(Value, eq=False):
    """A cell for each column of x (r by c), on the r rows that have both column and reading.

    `around` (r by p) are the adjusting columns and sessions, `taken` (p by r) solves for them;
    `pull` (p) is what their priors do at the fit, `v` the information and `left` what remains.
    """

    group: Group
    outcome: str
    measurements: Measurements
    x: Floats
    cells: tuple[Cell, ...]
    fit: CensoredFit
    around: Floats
    taken: Floats
    pull: Floats
    v: Floats
    left: float

    @classmethod
    def of(
        cls,
        group: Group,
        placed: Sequence[tuple[int, Cell]],
        measurements: Measurements,
        adjusted: Nuisance,
        known: Spreads,
    ) -> "MeasuredPart":
        """Make it ready where there is `enough_measured`; `adjusted` is the whole log's.

        `placed` are the cells, each with its column in the group.
        """
        here = measurements.chosen(np.isin(measurements.rows, group.rows))
        x = group.x[np.isin(group.rows, measurements.rows)][:, [place for place, _ in placed]]
        fit = fit_censored(adjusted.rows(here.rows), here, known)
        around, prior = _around(fit)
        weight = fit.projection.weight[0]
        inner = (around.T * weight) @ around + np.diag(prior)
        taken = np.linalg.solve(inner, around.T)
        weighted = weight[:, None] * x
        crossed = around.T @ weighted
        v = (weighted * x).sum(axis=0) - (crossed * (taken @ weighted)).sum(axis=0)
        scale = known.scatter / LOGIT
        pull = prior * np.concatenate([fit.fixed[0], fit.random[0]])
        part = cls(
            group=group,
            outcome=measurements.response.name,
            measurements=here,
            x=x,
            cells=tuple(cell for _, cell in placed),
            fit=fit,
            around=around,
            taken=taken,
            pull=pull,
            v=np.maximum(v, 0.0)[None, :] * scale**2,
            left=1.0,
        )
        return replace(part, left=float(part._left(part._rest(fit.residual))[0]))

    @property
    def rows(self) -> Whole:
        """The attempts in question."""
        return self.measurements.rows

    def _rest(self, residual: Floats) -> Floats:
        """Residuals (d by r) with what adjusting columns and sessions explain taken out."""
        explained = (residual @ self.around - self.pull) @ self.taken
        return np.asarray(residual - explained * self.fit.projection.weight[0], dtype=float)

    def _left(self, rest: Floats) -> Floats:
        squares = np.square(rest) / self.fit.projection.weight[0]
        return np.asarray(squares.sum(axis=1), dtype=float)

    def observed(self) -> Scores:
        """U and V (1 by c) of the log as it is."""
        return self._scores(self.fit.residual, np.ones(1))

    def drawn(self, truth: Floats) -> Scores:
        """U and V of d drawn truths (d by all attempts), read as the log's own were."""
        low, high = self.measurements.read(truth[:, self.rows])
        residual = slopes(low, high, self.fit.middle, self.fit.spread).residual
        left = self._left(self._rest(residual))
        share = left / self.left if self.left > 0.0 else np.ones_like(left)
        return self._scores(residual, np.sqrt(np.clip(share, _LEAST_SHARE, _MOST_SHARE)))

    def _scores(self, residual: Floats, scatter: Floats) -> Scores:
        scale = self.fit.scatter / LOGIT
        u = (self._rest(residual) @ self.x) * scale / scatter[:, None]
        return Scores(u, np.repeat(self.v, len(residual), axis=0))


def enough_measured(group: Group, measurements: Measurements) -> bool:
    """Whether enough attempts have both a value in the group's columns and a measurement."""
    return int(np.isin(measurements.rows, group.rows).sum()) >= LEAST_MEASURED


def _around(fit: CensoredFit) -> tuple[Floats, Floats]:
    """Adjusting columns and one column a session (r by p), and the prior precision of each."""
    frame = fit.frame
    sessions = np.zeros((len(frame.session), len(frame.starts)))
    sessions[np.arange(len(frame.session)), frame.session] = 1.0
    prior = np.concatenate([frame.precision, np.full(len(frame.starts), frame.session_precision)])
    return np.hstack([frame.z, sessions]), prior
