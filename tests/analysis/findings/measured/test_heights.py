"""Heights as responses of their own: cells, draws, and what a log must have for them."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm
from tests.simulated.planted import FEW_CHECKS, planted

from platebook.analysis.findings.asking.candidates import Candidate
from platebook.analysis.findings.asking.cutoffs import Cut
from platebook.analysis.findings.asking.search import PreparedLog
from platebook.analysis.findings.deciding.null_logs import draw, source
from platebook.analysis.findings.measured.heights import (
    Difference,
    Height,
    difference,
    height_cell,
    heights,
)
from platebook.analysis.models.censored import Measurements, Response, Spreads, exactly
from platebook.analysis.models.null_model import Nuisance, nuisance
from platebook.analysis.variables.attempt_log import attempt_log
from platebook.analysis.variables.columns import Column
from platebook.practice.attempt import Attempt
from platebook.values import replace

RESPONSE = Response("overcut", 0.0, 0.03)
KNOWN = Spreads(1.0, 1e-3)
N = 40


def _split(inside: np.ndarray) -> Cut:
    return Cut(inside, ~inside, "a wide bur", "below it", "wide", "narrow")


def _log(seed: int, apart: float) -> tuple[Nuisance, Height, np.ndarray, np.ndarray]:
    """Measurements in millimetres, a third of them `apart` units higher; each its own session."""
    rng = np.random.default_rng(seed)
    inside = np.arange(N) % 3 == 0
    y = rng.standard_normal(N) + apart * inside
    readings = Measurements.of(RESPONSE, [exactly(0.03 * v, 0.0) for v in y])
    adjusted = Nuisance(np.ones((N, 1)), np.array([1e-6]), np.arange(N))
    return adjusted, Height(readings, KNOWN), inside, y


@pytest.mark.parametrize("seed", range(4))
def test_a_real_difference_is_the_shrunk_one_of_two_means(seed: int) -> None:
    """Precision 1/n1 + 1/n2 of the means and N(0, 1) before: d / (1 + v), v = 1/n1 + 1/n2."""
    adjusted, height, inside, y = _log(seed, 1.0)
    moved = difference(adjusted, height, _split(inside), real=1.0)
    plain = y[inside].mean() - y[~inside].mean()
    v = 1 / inside.sum() + 1 / (~inside).sum()
    mean, sd = plain / (1 + v), np.sqrt(v / (1 + v))
    assert moved.by == pytest.approx(0.03 * mean, abs=1e-5)
    low, high = (float(norm.ppf(share, mean, sd)) for share in (0.025, 0.975))
    assert moved.low == pytest.approx(0.03 * low, abs=1e-5)
    assert moved.high == pytest.approx(0.03 * high, abs=1e-5)
    assert moved.measured == N


def test_a_doubtful_difference_reaches_nothing() -> None:
    """With a chance of nothing the interval holds 0."""
    adjusted, height, inside, _ = _log(1, 2.0)
    sure, doubtful = (difference(adjusted, height, _split(inside), real=r) for r in (1.0, 0.9))
    assert sure.low > 0.0
    assert doubtful.low == 0.0
    assert doubtful.by == sure.by


def test_counts_are_of_readings_beyond_the_middle() -> None:
    """Both sides together are all readings; half of them lie above the middle."""
    adjusted, height, inside, _ = _log(2, 3.0)
    (k, of), (k_out, of_out) = difference(adjusted, height, _split(inside), 1.0).beyond
    assert (of, of_out, k + k_out) == (int(inside.sum()), int((~inside).sum()), N // 2)
    assert k / of > k_out / of_out


@pytest.mark.parametrize("everyone", [True, False])
def test_a_group_of_all_or_none_differs_by_nothing(*, everyone: bool) -> None:
    """No contrast: the prior alone answers, around 0."""
    adjusted, height, _, _ = _log(3, 1.0)
    moved = difference(adjusted, height, _split(np.full(N, everyone)), 0.5)
    assert moved.by == pytest.approx(0.0, abs=1e-9)
    assert moved.low == pytest.approx(-moved.high)


@given(
    st.floats(min_value=-1, max_value=1),
    st.floats(min_value=0, max_value=1),
    st.integers(min_value=0, max_value=9),
)
def test_turning_twice_gives_the_same(by: float, half: float, k: int) -> None:
    """Wider by so much is narrower by as little, and back."""
    made = Difference(by, by - half, by + half, 20, ((k, 10), (9 - k, 10)))
    assert made.downwards().downwards() == made
    assert made.downwards().low <= made.downwards().by <= made.downwards().high


LOG = planted(FEW_CHECKS, 4).attempts


def _heights(attempts: tuple[Attempt, ...]) -> dict[str, int]:
    log = attempt_log(attempts)
    return {height.name: len(height.measurements) for height in heights(log, nuisance(log))}


def _candidate(name: str) -> Candidate:
    column = Column(name, "number", process=False, values=np.array([0.0, 1.0]))
    return Candidate(column, "linear", 1.0)


def test_a_log_with_both_has_two_responses() -> None:
    """Height and tilt of every attempt, good ones too."""
    assert _heights(LOG) == {"table height": 64, "table tilt": 64}


@pytest.mark.parametrize("count", [0, 1, 11])
def test_few_heights_are_not_asked_about(count: int) -> None:
    """Below a dozen readings a height is no response of its own."""
    assert _heights(LOG[:count]) == {}


def test_constant_heights_are_not_asked_about() -> None:
    """Where all tables are level and flush neither height nor tilt has anything to explain."""
    flat = tuple(replace(a, table_height_mm=0.0, table_tilt_deg=1.0) for a in LOG)
    assert _heights(flat) == {}


def test_one_sided_heights_are_asked_about_where_they_vary() -> None:
    """The trial stone's word alone, proud or not, makes a height that varies."""
    sides = tuple(
        replace(
            a,
            table_height_mm=None,
            table_tilt_deg=None,
            trial_height="proud" if i % 3 else "flush",
        )
        for i, a in enumerate(LOG)
    )
    assert _heights(sides) == {"table height": 64}


@pytest.mark.parametrize(
    ("name", "height", "sign"),
    [
        ("clearance_mm", "table height", -1),
        ("fit_checks", "table height", 0),
        ("spindle_tilt_deg", "table tilt", 1),
    ],
)
def test_a_height_is_expected_to_move_as_its_defects_do(name: str, height: str, sign: int) -> None:
    """From the trade map's rows of high, low and tilted; where they pull apart nothing is."""
    cell = height_cell(_candidate(name), height)
    assert cell is not None
    assert np.sign(cell.mean) == sign


@pytest.mark.parametrize("name", ["depth_error_mm", "trial_height"])
def test_a_depth_is_never_asked_about_a_height(name: str) -> None:
    """Too deep is low by definition (trade map, weight `definition`)."""
    assert height_cell(_candidate(name), "table height") is None


def test_drawn_high_stones_are_the_highest_ones() -> None:
    """In a draw the stones judged high stand higher than the others, as they do at the bench."""
    search = PreparedLog.of(attempt_log(LOG)).search()
    drawn = draw(source(search), np.random.default_rng(1), 50)
    high, height = drawn["high"] > 0, drawn["table height"]
    assert float(height[high].mean()) > float(height[~high].mean()) + 1.0


def test_what_makes_stones_high_stands_first_by_the_heights() -> None:
    """Few checks planted behind high stones; the heights make it stronger than the counts alone."""
    odds = {}
    for with_heights in (True, False):
        search = PreparedLog.of(attempt_log(LOG), with_heights=with_heights).search()
        first = search.ranked()[0]
        odds[with_heights] = first.log_odds if first.family == "checks of the fit" else -np.inf
    assert odds[True] > odds[False]
    assert odds[True] > 0.0
