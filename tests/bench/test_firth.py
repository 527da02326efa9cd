"""Firth's regression: published values, the closed form, and a reference library."""

import csv
from pathlib import Path

import numpy as np
import pytest
from bench.firth import firth, profile_limits
from firthmodels import FirthLogisticRegression

REFERENCE = Path(__file__).parents[1] / "reference" / "firth-endometrial.csv"


def _endometrial() -> tuple[np.ndarray, np.ndarray]:
    with REFERENCE.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    x = np.array([[1.0, float(r["NV"]), float(r["PI"]), float(r["EH"])] for r in rows])
    return x, np.array([float(r["HG"]) for r in rows])


def test_the_endometrial_data_give_the_published_coefficients() -> None:
    """Heinze and Schemper, Stat Med 2002;21:2409: a variable that separates stays finite."""
    fit = firth(*_endometrial())
    assert fit.coefficients == pytest.approx([3.774560, 2.929273, -0.034752, -2.604164], abs=2e-6)
    assert fit.log_likelihood == pytest.approx(-24.03727, abs=1e-5)


@pytest.mark.parametrize(
    ("place", "limits"),
    [(1, (0.60972, 7.85463)), (2, (-0.12446, 0.04046)), (3, (-4.36518, -1.23272))],
)
def test_the_endometrial_data_give_the_published_limits(
    place: int, limits: tuple[float, float]
) -> None:
    """Profile penalised likelihood, 95 %: Heinze and Schemper, Stat Med 2002;21:2409."""
    assert profile_limits(*_endometrial(), place) == pytest.approx(limits, abs=2e-5)


def test_one_two_valued_column_gives_the_closed_form() -> None:
    """With one two-valued column Firth's estimate is the log odds ratio with 0.5 in each cell."""
    x, y = _endometrial()
    nv = x[:, 1]
    cells = [float(((nv == a) & (y == b)).sum()) + 0.5 for a in (1, 0) for b in (1, 0)]
    closed = np.log(cells[0] * cells[3] / (cells[1] * cells[2]))
    fit = firth(x[:, :2], y)
    assert closed == pytest.approx(4.335608655, abs=1e-8)
    assert fit.coefficients[1] == pytest.approx(closed, abs=1e-7)


def test_the_shuttle_data_give_the_published_coefficients() -> None:
    """Dalal, Fowlkes and Hoadley, J Am Stat Assoc 1989;84:945: temperature and O-ring distress."""
    cold = [53, 57, 58, 63, 66, 67, 67, 67, 68, 69, 70, 70, 70, 70, 72, 73, 75, 75, 76, 76, 78]
    degrees = np.array([*cold, 79, 81], dtype=float)
    distress = np.zeros(23)
    distress[[0, 1, 2, 3, 11, 12, 17]] = 1.0
    fit = firth(np.column_stack([np.ones(23), degrees]), distress)
    assert fit.coefficients == pytest.approx([11.9495, -0.18604], abs=2e-4)


@pytest.mark.parametrize("seed", range(5))
def test_random_data_agree_with_the_reference_library(seed: int) -> None:
    """The test-only package `firthmodels` gives the same coefficients."""
    rng = np.random.default_rng(seed)
    x = rng.standard_normal((40, 3))
    y = (rng.random(40) < 1 / (1 + np.exp(1 - 2 * x[:, 0]))).astype(float)
    other = FirthLogisticRegression(gtol=1e-7, max_iter=1000).fit(x, y)
    fit = firth(np.column_stack([np.ones(40), x]), y)
    assert fit.coefficients[1:] == pytest.approx(other.coef_, abs=1e-5)


def test_all_failed_stays_finite() -> None:
    """Nothing to compare, yet no coefficient runs away."""
    fit = firth(np.column_stack([np.ones(8), np.arange(8.0)]), np.ones(8))
    assert np.isfinite(fit.coefficients).all()


def test_a_constant_column_is_refused() -> None:
    """Two columns that say the same cannot both be fitted."""
    with pytest.raises(ValueError, match="not made of each other"):
        firth(np.ones((6, 2)), np.array([0.0, 1, 0, 1, 0, 1]))
