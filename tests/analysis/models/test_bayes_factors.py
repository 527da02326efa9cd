"""Weighing cells: the Bayes factor, the signed map, what a class adds."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import norm

from platebook.analysis.findings.asking.candidates import Candidate
from platebook.analysis.models.bayes_factors import (
    NOTHING,
    Cell,
    Expected,
    Prior,
    cell,
    log_odds,
    log_prior,
    log_sums,
    log_terms,
)
from platebook.analysis.models.effect_size import effect
from platebook.analysis.models.null_model import Frame, Nuisance, fit_null
from platebook.analysis.models.scores import Scores
from platebook.analysis.variables.columns import Column
from platebook.analysis.variables.trade_map import Form


def _candidate(name: str, form: Form = "linear") -> Candidate:
    return Candidate(Column(name, "number", process=False, values=np.zeros(1)), form, 1.0)


def _cell(name: str, outcome: str, form: Form = "linear") -> Cell:
    found = cell(_candidate(name, form), outcome, {"loose": 0.5, "high": 0.5})
    assert found is not None
    return found


def _terms(cells: list[Cell], u: list[float], v: list[float]) -> np.ndarray:
    return log_terms(Scores(np.array([u]), np.array([v])), Prior.of(cells))


@pytest.mark.parametrize(("u", "v"), [(4.0, 3.0), (-2.0, 6.0), (0.5, 0.4)])
def test_the_bayes_factor_is_the_integral_it_stands_for(u: float, v: float) -> None:
    """Scipy's numerical integral of the likelihood over the prior gives the same number."""
    one = _cell("hammer_g", "loose")
    error = v**-0.5

    def weighted(beta: float) -> float:
        return float(norm.pdf(u / v, beta, error) * norm.pdf(beta, one.mean, one.sd))

    expected = quad(weighted, -12, 12, limit=200)[0] / norm.pdf(u / v, 0.0, error)
    found = float(np.exp(_terms([one], [u], [v])[0, 0])) / (1 - NOTHING)
    assert found == pytest.approx(expected, rel=1e-6)


def test_a_cell_without_information_keeps_its_prior() -> None:
    """V near 0 says nothing: the prior share stands."""
    assert float(np.exp(_terms([_cell("hammer_g", "loose")], [0.0], [0.0])[0, 0])) == (
        pytest.approx(1 - NOTHING)
    )


def test_the_map_lifts_what_the_trade_expects_and_bends_to_strong_data() -> None:
    """Wide seats and loose stones: believed sooner one way, believed in the end the other way."""
    one = _cell("clearance_mm", "loose")
    sums = [float(_terms([one], [z * 4.0], [16.0])[0, 0]) for z in (2.5, -2.5, -6.0)]
    assert sums[0] > sums[1]
    assert sums[2] > sums[0]


def test_a_pair_that_is_true_by_definition_is_no_cell() -> None:
    """Depth and low, depth and failure as a whole: mechanisms, never discoveries."""
    assert cell(_candidate("depth_error_mm"), "low", {}) is None
    assert cell(_candidate("depth_error_mm"), "any", {"low": 1.0}) is None
    assert cell(_candidate("depth_error_mm"), "loose", {}) is not None


def test_weights_follow_the_map() -> None:
    """Strong 3, usual 2, not in the map 0.4; the form that the map does not name two fifths."""
    assert [
        _cell("clearance_mm", "loose").weight,
        _cell("clearance_mm", "high").weight,
        _cell("hammer_g", "loose").weight,
        _cell("clearance_mm", "loose", "distance").weight,
    ] == pytest.approx([3.0, 2.0, 0.4, 1.2])


def test_a_defect_weighs_by_how_often_it_fails() -> None:
    """Three in four failures are loose, one in four high; what never fails weighs a quarter."""
    shares = {"loose": 0.75, "high": 0.25}
    cells = [cell(_candidate("clearance_mm"), name, shares) for name in ("loose", "high", "low")]
    assert [one.weight for one in cells if one is not None] == pytest.approx(
        [1.5 * 3.0, 0.5 * 2.0, 0.25 * 1.3]
    )


def test_failure_as_a_whole_is_expected_from_its_defects() -> None:
    """Clearance: half the failures loose (+), half high (-): no direction is left."""
    assert _cell("clearance_mm", "any").mean == pytest.approx(0.0)


def test_posteriors_and_nothing_sum_to_one() -> None:
    """Families share what nothing leaves."""
    cells = [_cell("clearance_mm", "loose"), _cell("hammer_g", "loose"), _cell("light", "high")]
    prior = Prior.of(cells)
    terms = _terms(cells, [3.0, 0.5, -1.0], [4.0, 4.0, 2.0])
    odds = log_odds(log_sums(terms, prior.family, len(prior.families)))[0]
    nothing = NOTHING / (NOTHING + float(np.exp(terms).sum()))
    assert float((1 / (1 + np.exp(-odds))).sum()) + nothing == pytest.approx(1.0)


def test_what_a_class_expects_raises_that_cell_alone() -> None:
    """The class's share of the prior goes to the cell it speaks of."""
    plain = [_cell("hammer_g", "loose"), _cell("light", "loose")]
    told = [
        Cell(plain[0].candidate, "loose", plain[0].weight, 0.0, 0.8, Expected(0.2, 0.9, 0.4)),
        plain[1],
    ]
    u, v = [3.6, 0.0], [4.0, 4.0]
    before, after = _terms(plain, u, v)[0], _terms(told, u, v)[0]
    assert after[0] > before[0]
    assert after[1] < before[1]


def test_odds_beyond_any_number_are_large_and_not_endless() -> None:
    """A school of hundreds leaves nothing to the others: no warning, no infinity."""
    odds = log_odds(np.array([[900.0]]))
    assert float(odds[0, 0]) > 600.0
    assert bool(np.isfinite(odds).all())


@pytest.mark.parametrize("slope", [0.0, 0.8, 2.5])
def test_the_effect_is_that_of_every_place_on_a_grid(slope: float) -> None:
    """Profiled anew at each of 201 effects, the median and the limits are the same."""
    rng = np.random.default_rng(5)
    x = rng.standard_normal(60)
    truth = (rng.random(60) < 1 / (1 + np.exp(1.0 - slope * x))).astype(float)
    nuisance = Nuisance(np.ones((60, 1)), np.array([0.01]), np.arange(60) // 6)
    frame, one = Frame.of(nuisance), _cell("hammer_g", "loose")
    grid = np.linspace(-5.0, 5.0, 201)
    fit = fit_null(frame, np.tile(truth, (201, 1)), offset=grid[:, None] * x)
    eta = fit.fixed @ frame.z.T + fit.random[:, frame.session] + grid[:, None] * x
    logs = (truth * eta - np.logaddexp(0.0, eta)).sum(axis=1) - frame.session_penalty(fit.random)
    logs -= 0.5 * (np.square(fit.fixed) @ frame.precision)
    logs -= 0.5 * np.linalg.slogdet(fit.projection.core)[1]
    logs -= 0.5 * np.log(fit.projection.session_weight).sum(axis=1)
    density = np.exp(logs + log_prior(grid, one) - logs.max())
    share = (np.cumsum(density) - density / 2) / density.sum()
    found = effect(frame, truth, x, one, 1.0)
    expected = np.interp([0.025, 0.5, 0.975], share, grid)
    assert [found.lower, found.median, found.upper] == pytest.approx(list(expected), abs=0.03)
