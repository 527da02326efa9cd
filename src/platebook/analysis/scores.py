"""Score statistics: how far each column moves with what the null model leaves unexplained.

U = xᵀr and V = xᵀWx - xᵀWZ(ZᵀWZ + Λ)⁻¹ZᵀWx, with the residuals r = y - p and Z holding the fixed
columns and the sessions of the null model. U/√V is near standard normal where the column goes with
nothing; a constant column has V near 0 and says nothing.
"""

from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats
from platebook.analysis.null_model import Frame, NullFit, Projection


@dataclass(frozen=True, eq=False)
class Scores:
    """U and V, each d fits by c columns."""

    u: Floats
    v: Floats


def score(frame: Frame, projection: Projection, residual: Floats, x: Floats) -> Scores:
    """U and V of every column of x (n by c) for d fits with these residuals (d by n)."""
    by_session = frame.weighted(projection.weight, x)
    scaled = by_session / projection.session_weight[:, :, None]
    with_z = np.stack([projection.weight @ (column[:, None] * x) for column in frame.z.T], axis=1)
    with_z -= np.matmul(projection.cross.transpose(0, 2, 1), scaled)
    v = projection.weight @ np.square(x)
    v -= np.einsum("dmc,dmc->dc", by_session, scaled)
    v -= np.einsum("dqc,dqc->dc", with_z, np.linalg.solve(projection.core, with_z))
    return Scores(residual @ x, np.maximum(v, 0.0))


@dataclass(frozen=True, eq=False)
class Straight:
    """The score as a straight line in the outcomes, for large logs: U = (y - p)ᵀx + at_null.

    One Newton step from the observed null, with its weights kept: right to first order, and the
    more so the more attempts there are.
    """

    chance: Floats
    x: Floats
    at_null: Floats
    v: Floats

    @classmethod
    def of(cls, frame: Frame, fit: NullFit, x: Floats) -> "Straight":
        """The straight line through the observed null, from one fit of it (d = 1)."""
        projection = fit.projection
        weighted = projection.weight[0][:, None] * x
        count = x.shape[1]
        repeated = Projection(
            np.repeat(projection.weight, count, axis=0),
            np.repeat(projection.session_weight, count, axis=0),
            np.repeat(projection.cross, count, axis=0),
            np.repeat(projection.core, count, axis=0),
        )
        fixed, random = repeated.solve(weighted.T @ frame.z, frame.by_session(weighted, 0).T)
        explained = fixed @ frame.z.T + random[:, frame.session]
        at_null = fixed @ (frame.precision * fit.fixed[0])
        at_null = at_null + frame.session_precision * (random @ fit.random[0])
        v = score(frame, projection, np.zeros_like(fit.chance), x).v
        return cls(fit.chance, x - explained.T, at_null, v)

    def scores(self, outcomes: Floats) -> Scores:
        """U and V of d sets of outcomes (d by n)."""
        u = (outcomes - self.chance) @ self.x + self.at_null
        return Scores(u, np.repeat(self.v, len(outcomes), axis=0))
