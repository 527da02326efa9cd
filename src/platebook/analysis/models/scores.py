"""Score statistics: what a null model leaves for each column to explain.

U = xᵀr and V = xᵀWx - xᵀWZ(ZᵀWZ + Λ)⁻¹ZᵀWx, with the residuals r = y - p and Z holding the fixed
columns and the sessions of the null model. U/√V is near standard normal where the column goes with
nothing; a constant column has V near 0 and says nothing.

| function or class | gives |
|---|---|
| `score` | U and V of every column for fits with these residuals |
| `Straight` | the same as a straight line in the outcomes, for many drawn ones |
"""

from collections.abc import Iterable

import numpy as np

from platebook.analysis.arrays import Floats, Whole
from platebook.analysis.models.null_model import Frame, NullFit, Projection
from platebook.values import Value


class Scores(Value, eq=False):
    """U and V, each d fits by c columns."""

    u: Floats
    v: Floats

    @classmethod
    def joined(cls, draws: int, by_part: Iterable["Scores"]) -> "Scores":
        """Those of several parts (each d by its columns) beside each other; none is d by 0."""
        parts = [cls(np.zeros((draws, 0)), np.zeros((draws, 0))), *by_part]
        return cls(np.hstack([part.u for part in parts]), np.hstack([part.v for part in parts]))


class _Explained(Value, eq=False):
    """What d fits explain of c columns: by Z (d by q by c), by sessions (d by m by c); V left."""

    fixed: Floats
    random: Floats
    v: Floats

    @classmethod
    def of(cls, frame: Frame, projection: Projection, x: Floats) -> "_Explained":
        """What these fits explain of the columns x (n by c)."""
        cross, session_weight = projection.cross, projection.session_weight[:, :, None]
        by_session = frame.weighted(projection.weight, x)
        scaled = by_session / session_weight
        with_z = np.stack(
            [projection.weight @ (column[:, None] * x) for column in frame.z.T], axis=1
        )
        with_z -= np.matmul(cross.transpose(0, 2, 1), scaled)
        fixed = np.linalg.solve(projection.core, with_z)
        v = projection.weight @ np.square(x)
        v -= np.einsum("dmc,dmc->dc", by_session, scaled)
        v -= np.einsum("dqc,dqc->dc", with_z, fixed)
        random = scaled - np.matmul(cross, fixed) / session_weight
        return cls(fixed, random, np.maximum(v, 0.0))


def score(frame: Frame, projection: Projection, residual: Floats, x: Floats) -> Scores:
    """U and V of every column of x (n by c) for d fits with these residuals (d by n)."""
    return Scores(residual @ x, _Explained.of(frame, projection, x).v)


class Straight(Value, eq=False):
    """The score as a straight line in the outcomes: U = (y - p)ᵀx + at_null, and V with them.

    One Newton step from the observed null, with its weights kept: right to first order, and the
    more so the more attempts there are. Rarer outcomes weigh less: V goes with the share s of those
    that show the outcome as s(1 - s).

    `chance` (d by n) and `x` (d by n by c) are of d observed nulls, `at_null` and `v` are d by c.
    """

    chance: Floats
    x: Floats
    at_null: Floats
    v: Floats

    @classmethod
    def of(cls, frame: Frame, fit: NullFit, x: Floats) -> "Straight":
        """The straight lines through d observed nulls, for the columns x (n by c)."""
        explained = _Explained.of(frame, fit.projection, x)
        by_null = np.matmul(frame.z, explained.fixed) + explained.random[:, frame.session]
        pull = frame.precision_of(fit.random) * fit.random
        at_null = np.einsum("dqc,dq->dc", explained.fixed, frame.precision * fit.fixed)
        at_null += np.einsum("dmc,dm->dc", explained.random, pull)
        return cls(fit.chance, x - by_null, at_null, explained.v)

    def observed(self, truths: Floats, x: Floats) -> Scores:
        """U and V of the observed nulls themselves (each d by c), of their outcomes (d by n)."""
        return Scores((truths - self.chance) @ x, self.v)

    def scores(self, place: int, columns: Whole, outcomes: Floats) -> Scores:
        """U and V of these columns for d sets of outcomes (d by n), by one of the lines."""
        u = (outcomes - self.chance[place]) @ self.x[place][:, columns]
        share, at_share = outcomes.mean(axis=1), float(self.chance[place].mean())
        weight = share * (1.0 - share) / (at_share * (1.0 - at_share))
        return Scores(u + self.at_null[place, columns], weight[:, None] * self.v[place, columns])
