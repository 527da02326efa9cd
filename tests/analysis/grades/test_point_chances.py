"""Chances of a counter against sequential tests worked from their formulae, and run lengths."""

import csv
import math
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import norm

from platebook.analysis.grades.point_chances import Walk, chance_within, mean_attempts, mean_steps

REFERENCE = Path(__file__).parents[2] / "reference"


def _sequential_rows() -> list[dict[str, float]]:
    text = (REFERENCE / "sequential-test.csv").read_text(encoding="utf-8")
    return [{k: float(v) for k, v in row.items()} for row in csv.DictReader(text.splitlines())]


@pytest.mark.parametrize("row", _sequential_rows(), ids=lambda r: f"{r['p0']}-{r['p1']}")
def test_straight_successes_pass_as_the_formulae_say(row: dict[str, float]) -> None:
    """h0 / s goods in a row, both by Wald's formulae (1947) for these rates; no table of his.

    The walk is in logarithms here; what the program counts are whole points (`test_points`), whose
    chances come from the same chain.
    """
    p0, p1 = row["p0"], row["p1"]
    scale = math.log(p1 / p0) + math.log((1 - p0) / (1 - p1))
    assert math.log((1 - p0) / (1 - p1)) / scale == pytest.approx(row["s"], abs=5e-5)
    limit = row["h0"] * scale
    walk = Walk(math.log((1 - p0) / (1 - p1)), math.log(p0 / p1), limit)
    reached = chance_within(walk, 0.0, 100)
    assert int(np.argmax(reached >= 1)) + 1 == row["straight_successes_to_pass"]


def test_a_limit_for_other_rates_promotes_most_inadequate_learners() -> None:
    """With p0 0.10, p1 0.20 a limit of 1.25 (memory) passes 65 % within 50, as summed here."""
    walk = Walk(math.log(0.9 / 0.8), math.log(0.1 / 0.2), 1.25)
    assert chance_within(walk, 0.20, 50)[-1] == pytest.approx(0.65, abs=0.005)


@pytest.mark.parametrize(
    ("limit", "shift", "published"), [(4, 0, 168), (5, 0, 465), (4, 1, 8.38), (5, 1, 10.4)]
)
def test_run_lengths_of_the_normal_cusum(limit: int, shift: int, published: float) -> None:
    """Montgomery, Introduction to Statistical Quality Control, k = 0.5, two-sided.

    The chain is discretised as Brook & Evans, Biometrika 1972;59:539, describe.
    """

    def one_sided(mean: float) -> float:
        cells = 400
        width = limit / (cells - 0.5)
        centres = np.arange(cells) * width
        edges = np.append(-np.inf, centres + width / 2)
        stay = np.diff(norm.cdf(edges[None, :] - centres[:, None] + 0.5 - mean), axis=1)
        return float(mean_steps(stay)[0])

    two_sided = 1 / (1 / one_sided(shift) + 1 / one_sided(-shift))
    assert two_sided == pytest.approx(published, rel=0.005)


def test_the_mean_agrees_with_the_chances() -> None:
    """The mean is the sum of the chances not to have arrived yet."""
    walk = Walk(1, -2, 11)
    reached = chance_within(walk, 0.2, 3000)
    assert mean_attempts(walk, 0.2) == pytest.approx(1 + float(np.sum(1 - reached)), rel=1e-9)


def test_a_setter_who_always_fails_never_arrives() -> None:
    """A counter that cannot rise has an infinite mean and no chance."""
    assert mean_attempts(Walk(1, -2, 11), 1.0) == math.inf
    assert chance_within(Walk(1, -2, 11), 1.0, 30).max() == 0


def test_a_mean_needs_whole_points() -> None:
    """Fractions are refused by the exact mean."""
    with pytest.raises(ValueError, match="whole points"):
        mean_attempts(Walk(0.5, -2, 11), 0.1)


def test_no_attempts_give_no_chances() -> None:
    """Zero attempts are an empty answer."""
    assert chance_within(Walk(1, -2, 11), 0.1, 0).shape == (0,)
