"""Score statistics: how far each column moves with what the null model leaves unexplained.

U = xᵀ(y - p) and V = xᵀWx - xᵀWZ(ZᵀWZ + Λ)⁻¹ZᵀWx, with Z holding the fixed columns and the
sessions of the null model. U/√V is near standard normal where the column goes with nothing; a
constant column has V near 0 and says nothing.
"""

from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats
from platebook.analysis.null_model import Frame, NullFit


@dataclass(frozen=True, eq=False)
class Crossed:
    """c columns (n by c) crossed once with the frame, so that many outcomes are scored quickly."""

    x: Floats
    squares: Floats
    with_z: Floats

    @classmethod
    def of(cls, frame: Frame, x: Floats) -> "Crossed":
        """Cross the columns with the frame."""
        rows, count = x.shape
        with_z = (frame.z[:, :, None] * x[:, None, :]).reshape(rows, frame.z.shape[1] * count)
        return cls(x, np.square(x), with_z)


@dataclass(frozen=True, eq=False)
class Scores:
    """U and V (each d outcomes by c columns)."""

    u: Floats
    v: Floats


def score(frame: Frame, fit: NullFit, outcomes: Floats, crossed: Crossed) -> Scores:
    """U and V of every column for every outcome (d by n) that the null was fitted to."""
    draws, count = len(outcomes), crossed.x.shape[1]
    q = frame.z.shape[1]
    u = (outcomes - fit.chance) @ crossed.x
    by_session = frame.by_session(fit.weight[:, :, None] * crossed.x, 1)
    scaled = by_session / fit.session_weight[:, :, None]
    v = fit.weight @ crossed.squares - np.einsum("dmc,dmc->dc", by_session, scaled)
    with_z = (fit.weight @ crossed.with_z).reshape(draws, q, count)
    with_z -= np.matmul(fit.cross.transpose(0, 2, 1), scaled)
    v -= np.einsum("dqc,dqc->dc", with_z, np.linalg.solve(fit.core, with_z))
    return Scores(u, np.maximum(v, 0.0))
