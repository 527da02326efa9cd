"""The scores against statsmodels, and the straight line against the scores it stands for."""

import numpy as np
import pytest
import statsmodels.api as sm

from platebook.analysis.models.null_model import Frame, Nuisance, fit_null
from platebook.analysis.models.scores import Straight, score

ROWS = 60


def _frame(seed: int) -> tuple[Frame, np.ndarray]:
    rng = np.random.default_rng(seed)
    z = np.column_stack([np.ones(ROWS), rng.standard_normal((ROWS, 2))])
    session = np.sort(rng.integers(0, 6, ROWS))
    y = (rng.random(ROWS) < 1 / (1 + np.exp(0.8 - z[:, 1]))).astype(float)
    return Frame.of(Nuisance(z, np.array([0.01, 0.25, 0.25]), session)), y


@pytest.mark.parametrize("seed", range(3))
def test_the_score_is_the_one_of_statsmodels(seed: int) -> None:
    """Without sessions and with vanishing penalties U²/V is Rao's score test of `statsmodels`."""
    rng = np.random.default_rng(seed)
    z = np.column_stack([np.ones(ROWS), rng.standard_normal(ROWS)])
    x = rng.standard_normal((ROWS, 1))
    y = (rng.random(ROWS) < 0.4).astype(float)
    nuisance = Nuisance(z, np.full(2, 1e-10), np.zeros(ROWS, dtype=np.intp))
    frame = Frame.of(nuisance, session_precision=1e12)
    fit = fit_null(frame, y[None, :])
    scores = score(frame, fit.projection, y[None, :] - fit.chance, x)
    null = sm.GLM(y, z, family=sm.families.Binomial()).fit()
    statistic, _, _ = null.model.score_test(null.params, exog_extra=x)
    assert float(scores.u[0, 0] ** 2 / scores.v[0, 0]) == pytest.approx(
        float(statistic[0]), rel=1e-5
    )


def test_a_column_made_of_the_null_has_nothing_to_say() -> None:
    """What the null explains wholly leaves no information beside its weak prior."""
    frame, y = _frame(6)
    fit = fit_null(frame, y[None, :])
    scores = score(frame, fit.projection, y[None, :] - fit.chance, np.ones((ROWS, 1)))
    assert float(scores.v[0, 0]) < 0.05


def test_the_straight_line_goes_through_the_observed_scores() -> None:
    """At the outcomes it was fitted to it gives U and V; outcomes together as each alone."""
    frame, y = _frame(2)
    x = np.random.default_rng(3).standard_normal((ROWS, 4))
    both = np.array([y, np.roll(y, 7)])
    fit = fit_null(frame, both)
    line = Straight.of(frame, fit, x)
    scores = score(frame, fit.projection, both - fit.chance, x)
    columns = np.array([0, 2])
    for place in range(2):
        drawn = line.scores(place, columns, both[[place]])
        by_itself = Straight.of(frame, fit_null(frame, both[[place]]), x)
        alone = by_itself.scores(0, columns, both[[place]])
        assert drawn.u[0] == pytest.approx(scores.u[place, columns], abs=1e-4)
        assert drawn.v[0] == pytest.approx(scores.v[place, columns], rel=1e-3)
        assert drawn.u == pytest.approx(alone.u)
    observed = line.observed(both, x)
    assert observed.u == pytest.approx(scores.u)
    assert observed.v == pytest.approx(scores.v)
