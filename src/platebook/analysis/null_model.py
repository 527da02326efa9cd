"""The null model: failure explained by practice, size, grade and session alone.

A penalised logistic regression y ~ Zβ + session, with a normal prior on each coefficient and a
random effect of standard deviation 0.5 a session, fitted by Newton steps. The sessions are
eliminated first (their block of the Hessian is diagonal), so a fit costs n·q² and many outcomes
fit at once. All good or all failed, one row, or a column that separates: the prior keeps every
coefficient finite.
"""

from dataclasses import dataclass

import numpy as np

from platebook.analysis.arrays import Floats, Whole
from platebook.analysis.nuisance import SESSION_SD, Nuisance

_STEPS = 25
_LARGEST_STEP = 3.0
_SMALL = 1e-12


def sigmoid(eta: Floats) -> Floats:
    """The logistic function, without overflow."""
    return np.asarray(0.5 * (1.0 + np.tanh(0.5 * eta)), dtype=float)


@dataclass(frozen=True, eq=False)
class Frame:
    """The null model's n rows, made ready: Z (n by q), its pairs, where each session starts."""

    z: Floats
    pairs: Floats
    starts: Whole
    session: Whole
    precision: Floats
    session_precision: float

    @classmethod
    def of(cls, nuisance: Nuisance, *, session_precision: float = SESSION_SD**-2) -> "Frame":
        """The frame of these nuisance columns; their rows come in order of session."""
        z = nuisance.columns
        starts = np.flatnonzero(np.diff(nuisance.session, prepend=-1))
        session = np.cumsum(np.diff(nuisance.session, prepend=-1) != 0) - 1
        pairs = np.einsum("ni,nj->nij", z, z).reshape(len(z), z.shape[1] ** 2)
        return cls(z, pairs, starts, session, nuisance.precision, session_precision)

    def by_session(self, values: Floats, axis: int) -> Floats:
        """Sums over the rows of each session along one axis."""
        return np.asarray(np.add.reduceat(values, self.starts, axis=axis), dtype=float)

    def weighted(self, weight: Floats, x: Floats) -> Floats:
        """Sums of weight times x within each session: d by m by c, from d by n and n by c."""
        if len(weight) == 1:
            return self.by_session(weight[0][:, None] * x, 0)[None, :, :]
        found = np.empty((len(weight), len(self.starts), x.shape[1]))
        ends = np.append(self.starts[1:], len(x))
        for place, (start, end) in enumerate(zip(self.starts, ends, strict=True)):
            found[:, place, :] = weight[:, start:end] @ x[start:end]
        return found


@dataclass(frozen=True, eq=False)
class Projection:
    """What takes the null's columns and sessions out of others, for d fits with weights (d by n).

    `session_weight` (d by m) is the sessions' diagonal, `cross` (d by m by q) couples them to Z,
    `core` (d by q by q) is what remains of Z's block once the sessions are eliminated.
    """

    weight: Floats
    session_weight: Floats
    cross: Floats
    core: Floats

    @classmethod
    def of(cls, frame: Frame, weight: Floats) -> "Projection":
        """The projection with these weights."""
        draws, q = len(weight), frame.z.shape[1]
        session_weight = frame.by_session(weight, 1) + frame.session_precision
        cross = frame.weighted(weight, frame.z)
        core = (weight @ frame.pairs).reshape(draws, q, q) + np.diag(frame.precision)
        core -= np.matmul(cross.transpose(0, 2, 1), cross / session_weight[:, :, None])
        return cls(weight, session_weight, cross, core)

    def solve(self, slope: Floats, slope_session: Floats) -> tuple[Floats, Floats]:
        """Solve (ZᵀWZ + Λ) step = slope for q fixed (d by q) and m session parts (d by m)."""
        reduced = slope - np.einsum("dmq,dm->dq", self.cross, slope_session / self.session_weight)
        step = np.linalg.solve(self.core, reduced[:, :, None])[:, :, 0]
        rest = slope_session - np.einsum("dmq,dq->dm", self.cross, step)
        return step, rest / self.session_weight


@dataclass(frozen=True, eq=False)
class NullFit:
    """Fits of d outcomes: chances (d by n), coefficients (d by q) and session effects (d by m)."""

    chance: Floats
    fixed: Floats
    random: Floats
    projection: Projection


def fit_null(
    frame: Frame,
    outcomes: Floats,
    *,
    start: tuple[Floats, Floats] | None = None,
    offset: Floats | None = None,
    near: float = 1e-6,
) -> NullFit:
    """Fit each row of `outcomes` (d by n, zeros and ones) to the frame.

    `start` gives coefficients (q) and session effects (m) to begin from. `offset` (d by n) is added
    to the linear predictor. Steps end when none is larger than `near`; the error that is left is
    near its square.
    """
    draws = len(outcomes)
    q, m = frame.z.shape[1], len(frame.starts)
    fixed = np.zeros((draws, q)) if start is None else np.tile(start[0], (draws, 1))
    random = np.zeros((draws, m)) if start is None else np.tile(start[1], (draws, 1))
    if start is None:
        share = np.clip(outcomes.mean(axis=1), 0.02, 0.98)
        fixed[:, 0] = np.log(share / (1 - share))
    shift = 0.0 if offset is None else offset
    for _ in range(_STEPS):
        chance = sigmoid(fixed @ frame.z.T + random[:, frame.session] + shift)
        residual = outcomes - chance
        step, step_session = Projection.of(frame, chance * (1 - chance)).solve(
            residual @ frame.z - frame.precision * fixed,
            frame.by_session(residual, 1) - frame.session_precision * random,
        )
        largest = np.maximum(np.abs(step).max(axis=1), np.abs(step_session).max(axis=1))
        shrink = np.minimum(1.0, _LARGEST_STEP / np.maximum(largest, _SMALL))[:, None]
        fixed = fixed + shrink * step
        random = random + shrink * step_session
        if float(largest.max()) < near:
            break
    chance = sigmoid(fixed @ frame.z.T + random[:, frame.session] + shift)
    return NullFit(chance, fixed, random, Projection.of(frame, chance * (1 - chance)))
