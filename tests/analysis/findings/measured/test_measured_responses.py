"""The score of a measured response: against the general linear model, and on drawn truths."""

import math

import numpy as np
import pytest
from tests.builders import an_attempt

from platebook.analysis.findings.asking.candidates import Candidate, Group
from platebook.analysis.findings.measured.measured_responses import (
    LOGIT,
    MeasuredPart,
    enough_measured,
    measured_depth_error,
    measured_height,
    measured_overcut,
    measured_tilt,
)
from platebook.analysis.models.bayes_factors import Cell
from platebook.analysis.models.censored import (
    Measurement,
    Measurements,
    Response,
    Spreads,
    between,
    exactly,
)
from platebook.analysis.models.null_model import Nuisance
from platebook.analysis.variables.attempt_log import attempt_log
from platebook.analysis.variables.columns import Column
from platebook.values import replace

NEEDED_MM = 1.98 * 0.192
"""Crown 16.2 % (M. Tolkowsky, Diamond Design, 1919) and a girdle of 3 % (common practice)."""


def _limits(reading: Measurement | None) -> tuple[float, float] | None:
    return None if reading is None else (round(reading.low, 4), round(reading.high, 4))


@pytest.mark.parametrize(
    ("values", "limits"),
    [
        ({"seat_diameter_mm": 1.95}, (0.05, 0.05)),
        ({"seat_go_mm": 1.94, "seat_nogo_mm": 1.96}, (0.04, 0.06)),
        ({"fit": "drops in"}, (0.08, 0.14)),
        ({"fit": "drops in and moves"}, (0.14, math.inf)),
        ({"fit": "enters with a firm push"}, (-math.inf, 0.02)),
        ({}, None),
        ({"seat_diameter_mm": 9.0}, None),
    ],
)
def test_overcut_is_seat_minus_bur(
    values: dict[str, object], limits: tuple[float, float] | None
) -> None:
    """A 1.9 mm bur and a 1.98 mm stone: a value, between pins, or beside the stone."""
    assert _limits(measured_overcut(an_attempt(**values))) == limits


def test_a_measured_depth_speaks_before_the_trial_stone() -> None:
    """Depth minus what the named cut needs (geometry)."""
    read = measured_depth_error(an_attempt(seat_depth_mm=0.42, trial_height="proud"))
    assert _limits(read) == (round(0.42 - NEEDED_MM, 4),) * 2


@pytest.mark.parametrize(
    ("word", "low", "high"),
    [
        ("proud", -math.inf, -0.015 * 1.98),
        ("flush", -0.015 * 1.98, 0.01 * 1.98),
        ("just under", 0.01 * 1.98, 0.03 * 1.98),
        ("deep", 0.03 * 1.98, math.inf),
    ],
)
def test_the_trial_stone_tells_a_side(word: str, low: float, high: float) -> None:
    """A proud trial stone: cut shallow and standing high; in diameters (common practice)."""
    attempt = an_attempt(trial_height=word)
    assert _limits(measured_depth_error(attempt)) == (round(low, 4), round(high, 4))
    assert _limits(measured_height(attempt)) == (round(-high, 4), round(-low, 4))


def test_the_set_table_speaks_before_the_trial_stone() -> None:
    """The set table, measured last, is what the result shows."""
    assert _limits(measured_height(an_attempt(table_height_mm=-0.03, trial_height="proud"))) == (
        -0.03,
        -0.03,
    )


@pytest.mark.parametrize(("tilt", "limits"), [(1.5, (1.5, 1.5)), (-2.0, (2.0, 2.0)), (90.0, None)])
def test_tilt_counts_without_its_sign(tilt: float, limits: tuple[float, float] | None) -> None:
    """A lean is a lean; a right angle is a typing error."""
    assert _limits(measured_tilt(an_attempt(table_tilt_deg=tilt))) == limits


def test_without_a_stone_s_size_a_side_says_nothing() -> None:
    """The trial stone's side is a length only beside a known stone."""
    bare = an_attempt(stone_diameter_mm=None, trial_height="proud", fit="drops in")
    assert (measured_overcut(bare), measured_depth_error(bare), measured_height(bare)) == (
        None,
        None,
        None,
    )


ROWS, SESSIONS = 48, 6
PLAIN = Response("length", 0.0, 1.0)
KNOWN = Spreads(0.8, 0.5)
NO_LOG = attempt_log([])


def _adjusted(rng: np.random.Generator) -> Nuisance:
    columns = np.column_stack([np.ones(ROWS), rng.standard_normal(ROWS)])
    return Nuisance(columns, np.array([0.01, 0.25]), np.arange(ROWS) // (ROWS // SESSIONS))


def _part(
    seed: int, error: float = 0.6, known: Spreads = KNOWN
) -> tuple[MeasuredPart, np.ndarray, Nuisance]:
    rng = np.random.default_rng(seed)
    x, y = rng.standard_normal(ROWS), rng.standard_normal(ROWS)
    column = Column("speed_step", "number", process=False, values=x)
    candidate = Candidate(column, "linear", 1.0)
    group = Group(np.arange(ROWS), x[:, None], (candidate,))
    adjusted = _adjusted(rng)
    readings = Measurements.of(PLAIN, [exactly(v, error) for v in y])
    cell = Cell(candidate, "length", 1.0, 0.0, 0.8)
    part = MeasuredPart.of(group, [(0, cell)], readings, adjusted, known)
    return part, y, adjusted


@pytest.mark.parametrize("seed", range(4))
def test_plain_readings_give_the_score_of_the_general_linear_model(seed: int) -> None:
    """Z = x'Py / sqrt(x'Px), P = S - SZ(Z'SZ + L)Z'S and S the inverse covariance (closed form)."""
    part, y, adjusted = _part(seed)
    shared = adjusted.session[:, None] == adjusted.session[None, :]
    covariance = (KNOWN.scatter**2 + 0.6**2) * np.eye(ROWS) + KNOWN.evening**2 * shared
    s, z = np.linalg.inv(covariance), adjusted.columns
    p = s - s @ z @ np.linalg.solve(z.T @ s @ z + np.diag(adjusted.precision), z.T @ s)
    x = part.x[:, 0]
    scores = part.observed()
    scale = KNOWN.scatter / LOGIT
    assert scores.u[0, 0] == pytest.approx(scale * x @ p @ y)
    assert scores.v[0, 0] == pytest.approx(scale**2 * x @ p @ x)


@pytest.mark.parametrize("seed", range(4))
def test_a_drawn_truth_is_scored_as_if_it_had_been_read(seed: int) -> None:
    """With plain readings the one step is exact, but for the scatter that is taken anew."""
    part, _, adjusted = _part(seed)
    truth = np.random.default_rng(90 + seed).standard_normal(ROWS)
    readings = Measurements.of(PLAIN, [exactly(v, 0.6) for v in truth])
    again = MeasuredPart.of(part.group, [(0, part.cells[0])], readings, adjusted, KNOWN)
    assert again is not None
    scatter = np.sqrt(again.left / part.left)
    drawn = part.drawn(truth[None, :])
    assert drawn.u[0, 0] * scatter == pytest.approx(again.observed().u[0, 0])
    assert drawn.v[0, 0] == pytest.approx(again.observed().v[0, 0])


def test_a_drawn_truth_of_twice_the_scatter_scores_the_same() -> None:
    """What is weighed does not hang on how far readings scatter."""
    part, _, _ = _part(1, error=0.0, known=Spreads(0.8, 1e-3))
    middle = part.fit.middle
    truth = middle + np.random.default_rng(2).standard_normal((1, ROWS))
    twice = middle + 2 * (truth - middle)
    assert part.drawn(twice).u == pytest.approx(part.drawn(truth).u, rel=0.02, abs=0.02)


def test_scores_of_draws_are_near_standard_normal() -> None:
    """Choices that edges part: 2,000 truths with nothing behind them (Monte Carlo error 0.03)."""
    part, y, adjusted = _part(5)
    edges = (-0.6, 0.3, 1.0)
    readings = Measurements.of(
        PLAIN, [between(edges, int(np.searchsorted(edges, v)), 0.3) for v in y]
    )
    chosen = MeasuredPart.of(part.group, [(0, part.cells[0])], readings, adjusted, KNOWN)
    rng = np.random.default_rng(6)
    luck = KNOWN.evening * rng.standard_normal((2000, SESSIONS))[:, chosen.fit.frame.session]
    middle = chosen.fit.fixed[0] @ chosen.fit.frame.z.T
    truth = middle + luck + chosen.fit.spread * rng.standard_normal((2000, ROWS))
    scores = chosen.drawn(truth)
    z = scores.u[:, 0] / np.sqrt(scores.v[:, 0])
    assert abs(float(z.mean())) < 0.1
    assert float(z.std()) == pytest.approx(1.0, abs=0.1)


def test_too_few_readings_ask_nothing() -> None:
    """Below a dozen attempts with both nothing is asked."""
    part, _, _ = _part(1)
    counts = (11, 12, ROWS)
    enough = [enough_measured(part.group, part.measurements.chosen(np.arange(n))) for n in counts]
    assert enough == [False, True, True]


def test_constant_readings_have_a_finite_score() -> None:
    """Where all readings are alike U and V stay finite."""
    part, _, adjusted = _part(1)
    readings = replace(part.measurements, low=np.zeros(ROWS), high=np.zeros(ROWS))
    flat = MeasuredPart.of(part.group, [(0, part.cells[0])], readings, adjusted, KNOWN)
    assert flat.observed().u == pytest.approx(np.zeros((1, 1)), abs=1e-9)
    assert np.isfinite(flat.drawn(np.ones((3, ROWS))).u).all()
