"""The null model against a general optimiser."""

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.stats import t

from platebook.analysis.models.null_model import SESSION_SD, SESSION_TAIL, Frame, Nuisance, fit_null

ROWS = 60


def _frame(seed: int, *, sessions: int = 6) -> tuple[Frame, np.ndarray, np.ndarray]:
    rng = np.random.default_rng(seed)
    z = np.column_stack([np.ones(ROWS), rng.standard_normal((ROWS, 2))])
    session = np.sort(rng.integers(0, sessions, ROWS))
    y = (rng.random(ROWS) < 1 / (1 + np.exp(0.8 - z[:, 1]))).astype(float)
    return Frame.of(Nuisance(z, np.array([0.01, 0.25, 0.25]), session)), y, session


@pytest.mark.parametrize("seed", range(3))
def test_the_fit_is_the_top_of_the_penalised_likelihood(seed: int) -> None:
    """A general optimiser (scipy), told the whole penalised likelihood, finds the same chances."""
    frame, y, session = _frame(seed)
    names = np.unique(session)
    marks = (session[:, None] == names[None, :]).astype(float)
    columns = np.hstack([frame.z, marks])
    evenings = t(SESSION_TAIL, scale=SESSION_SD)

    def loss(beta: np.ndarray) -> float:
        eta, luck = columns @ beta, beta[len(frame.precision) :]
        prior = 0.5 * (frame.precision * beta[: len(frame.precision)] ** 2).sum()
        prior -= evenings.logpdf(luck).sum()
        return float((np.logaddexp(0.0, eta) - y * eta).sum() + prior)

    best = minimize(loss, np.zeros(columns.shape[1]), method="BFGS", options={"gtol": 1e-8})
    expected = 1 / (1 + np.exp(-columns @ best.x))
    assert fit_null(frame, y[None, :]).chance[0] == pytest.approx(expected, abs=1e-5)


def test_many_outcomes_fit_as_each_does_alone() -> None:
    """Draws are fitted at once; none depends on its neighbours."""
    frame, y, _ = _frame(4)
    outcomes = np.stack([y, 1 - y, np.roll(y, 7)])
    together = fit_null(frame, outcomes).chance
    alone = np.vstack([fit_null(frame, row[None, :]).chance for row in outcomes])
    assert together == pytest.approx(alone, abs=1e-9)


@pytest.mark.parametrize("events", [1, 2, ROWS - 1])
@pytest.mark.parametrize("far", [-9.0, 9.0, 30.0])
def test_a_rare_outcome_settles_from_any_start(events: int, far: float) -> None:
    """Plain Newton steps leave it for good from there; the top is the one found from near by."""
    frame, _, _ = _frame(6)
    y = (np.arange(ROWS) < events).astype(float)[None, :]
    start = np.full(3, far), np.full(len(frame.starts), -far)
    fit = fit_null(frame, y, start=start)
    assert fit.settled.all()
    assert fit.chance == pytest.approx(fit_null(frame, y).chance, abs=1e-5)


def test_a_fit_that_was_given_no_time_is_marked() -> None:
    """Two steps from afar do not reach the top; each outcome is marked by itself."""
    frame, y, _ = _frame(7)
    start = np.array([6.0, 0.0, 0.0]), np.zeros(len(frame.starts))
    assert not fit_null(frame, y[None, :], start=start, steps=2).settled.any()
    near = fit_null(frame, y[None, :])
    both = np.stack([y, 1 - y])
    fit = fit_null(frame, both, start=(near.fixed[0], near.random[0]), steps=1)
    assert fit.settled.tolist() == [True, False]


def test_a_wholly_failed_evening_is_left_to_itself() -> None:
    """Its effect lies farther out than a normal one of the usual 0.5 would let it."""
    frame, y, session = _frame(8)
    y = np.where(session == session[0], 1.0, y)
    effects = {}
    for tail, sd in ((SESSION_TAIL, SESSION_SD), (np.inf, 0.5)):
        nuisance = Nuisance(frame.z, frame.precision, session)
        fit = fit_null(Frame.of(nuisance, session_precision=sd**-2, tail=tail), y[None, :])
        effects[tail] = float(fit.random[0, 0])
    assert effects[SESSION_TAIL] > 1.5 * effects[np.inf] > 0.0


@pytest.mark.parametrize("value", [0.0, 1.0])
def test_all_good_or_all_failed_stays_finite(value: float) -> None:
    """The prior keeps every coefficient finite where the data would not."""
    frame, _, _ = _frame(5)
    fit = fit_null(frame, np.full((1, ROWS), value))
    assert np.isfinite(fit.fixed).all()
    assert abs(float(fit.chance.mean()) - value) < 0.1
