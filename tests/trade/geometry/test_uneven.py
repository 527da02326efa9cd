"""Girdles that are not round: check values computed elsewhere, and a general optimiser."""

import math

import numpy as np
import pytest
from scipy.optimize import minimize

from platebook.trade.geometry.uneven import (
    Outline,
    Wave,
    gap_round,
    measured_outline,
    of_radii,
    outline,
    smallest_hole,
    widths_mm,
)


@pytest.mark.parametrize(
    ("waves", "hole", "gap", "at"),
    [
        ((Wave(2, 0.02),), 2.040, 0.040, 90),
        ((Wave(3, 0.02),), 2.040, 0.040, 60),
        ((Wave(3, 0.03),), 2.060, 0.060, 60),
        ((Wave(2, 0.02), Wave(3, 0.015, 0.4)), 2.043, 0.066, 286),
    ],
)
def test_the_smallest_hole_and_the_largest_gap(
    waves: tuple[Wave, ...], hole: float, gap: float, at: float
) -> None:
    """Mean radius 1.00, computed independently; of equal gaps any may be named."""
    girdle = outline(1.0, waves)
    found = smallest_hole(girdle)
    seen = gap_round(girdle, found, 0.02)
    assert found.diameter_mm == pytest.approx(hole, abs=0.0006)
    assert seen.largest_mm == pytest.approx(gap, abs=0.0006)
    if len(waves) > 1:
        assert seen.at_deg == pytest.approx(at, abs=1.0)
    else:
        lobes = waves[0].lobes
        assert seen.at_deg % (360 / lobes) == pytest.approx(at, abs=1.0)


def test_a_flat_on_the_girdle() -> None:
    """A flat of 0.06 over about 40° leaves the hole at 2.000 and a gap of 0.060 before it."""
    girdle = of_radii(lambda a: min(1.0, 0.94 / c) if (c := math.cos(a)) > 0 else 1.0)
    found = smallest_hole(girdle)
    seen = gap_round(girdle, found, 0.001)
    assert found.diameter_mm == pytest.approx(2.0, abs=0.0002)
    assert seen.largest_mm == pytest.approx(0.060, abs=0.0002)
    assert 1 - seen.held == pytest.approx(40 / 360, abs=0.01)


def _by_optimiser(girdle: Outline) -> float:
    """The smallest circle by moving its centre: least largest distance to any point."""
    points = np.array(girdle)

    def reach(centre: np.ndarray) -> float:
        return float(np.max(np.hypot(*(points - centre).T)))

    best = minimize(reach, np.zeros(2), method="Nelder-Mead", tol=1e-9)
    return 2 * float(best.fun)


def test_the_smallest_hole_agrees_with_an_optimiser() -> None:
    """On 150 random girdles of one to five waves, to 0.00001 mm; the gap from the same centre."""
    random = np.random.default_rng(20260201)
    for _ in range(150):
        mean = random.uniform(0.4, 3.0)
        waves = [
            Wave(int(lobes), random.uniform(0, 0.03) * mean, random.uniform(0, 2 * math.pi))
            for lobes in random.choice([2, 3, 4, 5, 7], size=random.integers(1, 4), replace=False)
        ]
        girdle = outline(mean, waves, points=240)
        found = smallest_hole(girdle)
        assert found.diameter_mm == pytest.approx(_by_optimiser(girdle), abs=1e-5)
        distances = np.hypot(*(np.array(girdle) - found.centre).T)
        seen = gap_round(girdle, found, 0.01)
        assert seen.largest_mm == pytest.approx(found.diameter_mm / 2 - distances.min(), abs=1e-9)
        assert 0 <= seen.held <= 1


def test_three_lobes_are_as_wide_in_every_direction() -> None:
    """Turning them in a gauge shows nothing, a gauged hole shows it all (geometry)."""
    girdle = outline(1.0, (Wave(3, 0.02),))
    least, most = widths_mm(girdle)
    assert most - least < 0.004
    assert smallest_hole(girdle).diameter_mm == pytest.approx(most + 0.04, abs=0.004)


def test_an_oval_held_at_45_degrees_looks_round() -> None:
    """Two readings at a right angle agree there; turning shows the 0.08 between least and most."""
    girdle = outline(1.0, (Wave(2, 0.02),))
    points = np.array(girdle)
    turns = (math.pi / 4, 3 * math.pi / 4)
    across = [float(np.ptp(points @ (math.cos(a), math.sin(a)))) for a in turns]
    assert across[0] == pytest.approx(across[1], abs=1e-6)
    least, most = widths_mm(girdle)
    assert most - least == pytest.approx(0.08, abs=0.001)


@pytest.mark.parametrize("hole", [None, 2.01, 2.05])
def test_what_was_measured_is_what_the_outline_gives(hole: float | None) -> None:
    """The widths by turning and the hole come back, as far as three lobes leave the widths."""
    girdle = measured_outline(1.97, 2.01, hole)
    assert smallest_hole(girdle).diameter_mm == pytest.approx(hole or 2.01, abs=0.0005)
    if hole is None or hole == 2.01:
        assert widths_mm(girdle) == pytest.approx((1.97, 2.01), abs=0.0005)


def test_few_points_have_a_hole_too() -> None:
    """None, one, two and three in line: the circle of the farthest two."""
    assert smallest_hole(()).diameter_mm == 0
    assert smallest_hole(((1.0, 1.0),)).diameter_mm == 0
    assert smallest_hole(((0.0, 0.0), (2.0, 0.0))).diameter_mm == 2
    assert smallest_hole(((0.0, 0.0), (1.0, 0.0), (3.0, 0.0))).diameter_mm == 3
