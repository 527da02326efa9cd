"""The null model: failure explained by practice, size, grade and session alone.

Practice is the logarithm of the attempt's number; grade and session are random effects.

A penalised logistic regression y ~ Zβ + session, with a normal prior on each coefficient and a
t-distributed random effect a session, fitted by Newton steps. The sessions are
eliminated first (their block of the Hessian is diagonal), so a fit costs n·q² and many outcomes
fit at once. All good or all failed, one row, or a column that separates: the prior keeps every
coefficient finite.
"""

import numpy as np

from platebook.analysis.arrays import Floats, Truths, Whole
from platebook.analysis.variables.attempt_log import AttemptLog
from platebook.analysis.variables.derived import stone_mm
from platebook.practice.attempt import Attempt
from platebook.values import Value, replace

FIXED_SD = 2.0
GRADE_SD = 0.5
SESSION_SD = 0.6
SESSION_TAIL = 2.0
"""Scale and degrees of freedom of a session's effect: usual evenings lie as with a normal one of
0.5, and one that wholly failed is left to itself. With a normal one of 0.5 such a log had a false
claim in 0.18 of 50 logs, with this in 0.10; power was the same (100 logs at 40 and at 80)."""

_INTERCEPT_SD = 10.0


class Nuisance(Value, eq=False):
    """n rows by q adjusting columns, the intercept first, with the prior precision of each.

    `session` numbers the session of each row, ascending but with holes where rows were left out.
    """

    columns: Floats
    precision: Floats
    session: Whole

    def rows(self, chosen: Whole) -> "Nuisance":
        """The same on some rows only; a column that no longer varies there is left out."""
        part = self.columns[chosen]
        keep = np.ptp(part, axis=0) > 0 if len(chosen) else np.zeros(part.shape[1], dtype=bool)
        keep[0] = True
        return Nuisance(part[:, keep], self.precision[keep], self.session[chosen])

    def with_columns(self, columns: Floats, *, sd: float = FIXED_SD) -> "Nuisance":
        """With more columns (n rows by k), whose coefficients are believed to be N(0, sd²)."""
        more = np.full(columns.shape[1], sd**-2)
        return Nuisance(
            np.hstack([self.columns, columns]),
            np.concatenate([self.precision, more]),
            self.session,
        )


def grade_of(attempt: Attempt) -> str:
    """The grade's id; without one, the stone's size and metal stand for it."""
    if attempt.grade:
        return attempt.grade
    stone = stone_mm(attempt)
    size = "" if stone is None else f"{stone:.1f}"
    return f"{size} {attempt.metal or ''}".strip()


def _standard(values: Floats) -> Floats | None:
    """Mean 0 and standard deviation 1, what is missing at the mean; None where nothing varies."""
    known = values[~np.isnan(values)]
    if len(known) < 2 or np.ptp(known) <= 1e-9 * max(1.0, float(np.abs(known).max())):
        return None
    filled = np.where(np.isnan(values), known.mean(), values)
    return np.asarray((filled - known.mean()) / known.std(), dtype=float)


def _marks(labels: list[str]) -> Floats:
    names = sorted(set(labels))
    if len(names) < 2:
        return np.zeros((len(labels), 0))
    return np.array([[float(label == name) for name in names] for label in labels])


def nuisance(log: AttemptLog) -> Nuisance:
    """The adjusting columns of a log's attempts."""
    rows = log.attempts
    count = len(rows)
    fixed = [
        np.log(np.arange(1, count + 1, dtype=float)),
        np.array([stone_mm(a) or np.nan for a in rows], dtype=float),
        np.array([float(a.kind == "block") for a in rows]),
    ]
    standing = [column for column in map(_standard, fixed) if column is not None]
    grades = _marks([grade_of(a) for a in rows])
    parts = [np.ones((count, 1)), *(c[:, None] for c in standing), grades]
    precision = np.concatenate(
        [
            [_INTERCEPT_SD**-2],
            np.full(len(standing), FIXED_SD**-2),
            np.full(grades.shape[1], GRADE_SD**-2),
        ]
    )
    return Nuisance(np.hstack(parts), precision, log.session)


_STEPS = 300
_SURE = 1.5
"""A Newton step that moves no row's log odds by more than this raises the penalised likelihood."""


_CLOSE, _LEAST_BEND = 0.5, 0.2


def sigmoid(eta: Floats) -> Floats:
    """The logistic function, without overflow."""
    return np.asarray(0.5 * (1.0 + np.tanh(0.5 * eta)), dtype=float)


def _pairs(z: Floats) -> Floats:
    """The products of each row's columns with each other (n by q²)."""
    return np.asarray(np.einsum("ni,nj->nij", z, z).reshape(len(z), z.shape[1] ** 2), dtype=float)


class Frame(Value, eq=False):
    """The null model's n rows, made ready: Z (n by q), its pairs, where each session starts."""

    z: Floats
    pairs: Floats
    starts: Whole
    session: Whole
    precision: Floats
    session_precision: float
    tail: float = np.inf

    @classmethod
    def of(
        cls,
        nuisance: Nuisance,
        *,
        session_precision: float = SESSION_SD**-2,
        tail: float = SESSION_TAIL,
    ) -> "Frame":
        """The frame of these nuisance columns; their rows come in order of session.

        Sessions are t-distributed with `tail` degrees of freedom, normal where it is infinite.
        """
        z = nuisance.columns
        starts = np.flatnonzero(np.diff(nuisance.session, prepend=-1))
        session = np.cumsum(np.diff(nuisance.session, prepend=-1) != 0) - 1
        return cls(z, _pairs(z), starts, session, nuisance.precision, session_precision, tail)

    def beside(self, x: Floats, sd: float) -> "Frame":
        """The same with one more column x (n), whose coefficient is believed to be N(0, sd²)."""
        z = np.column_stack([self.z, x])
        precision = np.append(self.precision, sd**-2)
        return replace(self, z=z, pairs=_pairs(z), precision=precision)

    def precision_of(self, random: Floats) -> Floats:
        """The precision of each session (d by m) that has the effects `random`.

        A t-distribution is a normal one whose precision is the less the farther out the effect
        lies: a wholly failed evening is left to itself. With it each step is that of a minorant of
        the penalised likelihood. Source: K. L. Lange, R. J. A. Little and J. M. G. Taylor, J Am
        Stat Assoc 1989;84:881.
        """
        if np.isinf(self.tail):
            return np.full(random.shape, self.session_precision)
        return (self.tail + 1.0) / (self.tail / self.session_precision + np.square(random))

    def curve_of(self, random: Floats, close: Truths) -> Floats:
        """What a step takes for the curve of the sessions' prior (d by m).

        Far from the top (`close` is false, d) that of the minorant, which cannot overshoot; close
        to it the curve itself, which gets there in a few steps, as far as it bends downwards.
        """
        precision = self.precision_of(random)
        if np.isinf(self.tail):
            return precision
        squares, at_scale = np.square(random), self.tail / self.session_precision
        bend = np.maximum((at_scale - squares) / (at_scale + squares), _LEAST_BEND)
        return np.where(close[:, None], bend, 1.0) * precision

    def session_penalty(self, random: Floats) -> Floats:
        """Minus the log prior of session effects (d by m), up to a constant (d)."""
        squares = self.session_precision * np.square(random)
        if np.isinf(self.tail):
            return np.asarray(0.5 * squares.sum(axis=1), dtype=float)
        return np.asarray(
            0.5 * (self.tail + 1.0) * np.log1p(squares / self.tail).sum(axis=1), dtype=float
        )

    def by_session(self, values: Floats, axis: int) -> Floats:
        """Sums over the rows of each session along one axis."""
        return np.asarray(np.add.reduceat(values, self.starts, axis=axis), dtype=float)

    def weighted(self, weight: Floats, x: Floats) -> Floats:
        """Sums of weight times x within each session: d by m by c, from d by n and n by c."""
        if len(weight) == 1:
            return self.by_session(weight[0][:, None] * x, 0)[None, :, :]
        sums = np.empty((len(weight), len(self.starts), x.shape[1]))
        ends = np.append(self.starts[1:], len(x))
        for place, (start, end) in enumerate(zip(self.starts, ends, strict=True)):
            sums[:, place, :] = weight[:, start:end] @ x[start:end]
        return sums


class Projection(Value, eq=False):
    """What takes the null's columns and sessions out of others, for d fits with weights (d by n).

    `session_weight` (d by m) is the sessions' diagonal, `cross` (d by m by q) couples them to Z,
    `core` (d by q by q) is what remains of Z's block once the sessions are eliminated.
    """

    weight: Floats
    session_weight: Floats
    cross: Floats
    core: Floats

    @classmethod
    def of(cls, frame: Frame, weight: Floats, session_precision: Floats | float) -> "Projection":
        """The projection with these weights and precisions of the sessions (d by m, or one)."""
        draws, q = len(weight), frame.z.shape[1]
        session_weight = frame.by_session(weight, 1) + session_precision
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


class NullFit(Value, eq=False):
    """Fits of d outcomes: chances (d by n), coefficients (d by q) and session effects (d by m).

    `settled` (d) says of each fit whether its steps came to an end.
    """

    chance: Floats
    fixed: Floats
    random: Floats
    projection: Projection
    settled: Truths


def fit_null(
    frame: Frame,
    outcomes: Floats,
    *,
    start: tuple[Floats, Floats] | None = None,
    offset: Floats | None = None,
    near: float = 1e-6,
    steps: int = _STEPS,
) -> NullFit:
    """Fit each row of `outcomes` (d by n, zeros and ones) to the frame.

    `start` gives coefficients (q, or d by q) and session effects (m, or d by m) to begin from.
    `offset` (d by n) is added to the linear predictor. A fit has settled when no step is larger
    than `near`; the error that is left is near its square. One that has not after so many steps is
    marked.

    Every step is shortened so that the penalised likelihood must rise (`_part_of_step`), whatever
    the start and however rare the outcome; plain Newton steps can leave a rare one for good.
    """
    draws = len(outcomes)
    q, m = frame.z.shape[1], len(frame.starts)
    fixed, random = np.zeros((draws, q)), np.zeros((draws, m))
    if start is not None:
        fixed += start[0]
        random += start[1]
    if start is None:
        share = np.clip(outcomes.mean(axis=1), 0.02, 0.98)
        fixed[:, 0] = np.log(share / (1 - share))
    eta = fixed @ frame.z.T + random[:, frame.session]
    if offset is not None:
        eta = eta + offset
    open_, close = np.arange(draws), np.zeros(draws, dtype=bool)
    for _ in range(steps):
        chance = sigmoid(eta[open_])
        residual = outcomes[open_] - chance
        precision = frame.precision_of(random[open_])
        curve = frame.curve_of(random[open_], close[open_])
        step, step_session = Projection.of(frame, chance * (1 - chance), curve).solve(
            residual @ frame.z - frame.precision * fixed[open_],
            frame.by_session(residual, 1) - precision * random[open_],
        )
        moved = step @ frame.z.T + step_session[:, frame.session]
        farthest = np.abs(moved).max(axis=1)
        part = _part_of_step(farthest)[:, None]
        close[open_] = farthest < _CLOSE
        fixed[open_] += part * step
        random[open_] += part * step_session
        eta[open_] += part * moved
        largest = np.maximum(np.abs(step).max(axis=1), np.abs(step_session).max(axis=1))
        open_ = open_[~(largest < near)]
        if not len(open_):
            break
    settled = np.ones(draws, dtype=bool)
    settled[open_] = False
    chance = sigmoid(eta)
    projection = Projection.of(frame, chance * (1 - chance), frame.precision_of(random))
    return NullFit(chance, fixed, random, projection, settled)


def _part_of_step(farthest: Floats) -> Floats:
    """The part of a Newton step to go, by how far (d) it would move any row's log odds.

    The logistic likelihood bends at most by its own curvature, so going this part of the step is
    sure to raise it, and the most that is sure. Source: F. Bach, Electron J Stat 2010;4:384.
    """
    safe = np.maximum(farthest, _SURE)
    return np.where(farthest <= _SURE, 1.0, np.log1p(safe) / safe)
