"""Seats in ring shanks and domes: check values computed elsewhere, and brute force on solids."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from platebook.trade.geometry.curved import (
    back_mm,
    between_seats_mm,
    drop_mm,
    drops,
    one_side_high_mm,
    tilt_deg,
)
from platebook.trade.records import Curve

CROWN = 0.162
"""Crown height of Tolkowsky's cut, of the diameter."""

SIDES = {
    8: {1.5: (0.035, 0.208), 2.0: (0.063, 0.261), 2.5: (0.098, 0.307), 3.0: (0.142, 0.344)},
    9: {1.5: (0.031, 0.212), 2.0: (0.056, 0.268), 2.5: (0.087, 0.318), 3.0: (0.126, 0.360)},
    10: {1.5: (0.028, 0.215), 2.0: (0.050, 0.274), 2.5: (0.078, 0.327), 3.0: (0.113, 0.373)},
    12.5: {1.5: (0.023, 0.220), 2.0: (0.040, 0.284), 2.5: (0.063, 0.342), 3.0: (0.090, 0.396)},
}
AT_4_MM = {8: (0.254, 0.394), 9: (0.225, 0.423), 10: (0.202, 0.446), 12.5: (0.161, 0.487)}


@pytest.mark.parametrize("radius_mm", SIDES)
def test_the_drop_at_the_sides_and_the_wall_left(radius_mm: float) -> None:
    """Computed independently, to 0.0006 mm: s, and the wall 0.162 d - s."""
    for stone_mm, (drop, wall) in {**SIDES[radius_mm], 4.0: AT_4_MM[radius_mm]}.items():
        found = drop_mm(Curve(kind="ring", radius_mm=radius_mm), stone_mm / 2, 90)
        assert found == pytest.approx(drop, abs=0.0006)
        assert CROWN * stone_mm - found == pytest.approx(wall, abs=0.0006)
        assert found == pytest.approx(stone_mm**2 / (8 * radius_mm), rel=0.02)


def test_the_drop_round_the_rim() -> None:
    """R = 10, d = 3 at 15° steps to 90° (computed independently)."""
    ring = Curve(kind="ring", radius_mm=10)
    found = [drop.mm for drop in drops(ring, 1.5)][:7]
    expected = [0, 0.0075, 0.0282, 0.0564, 0.0847, 0.1055, 0.1131]
    assert found == pytest.approx(expected, abs=0.00006)


def test_off_the_crest_the_hole_leans() -> None:
    """R = 10, e = 0.2: 1.15°, one side 0.040 high for d = 2 (computed independently)."""
    ring = Curve(kind="ring", radius_mm=10, off_crest_mm=0.2)
    assert tilt_deg(ring) == pytest.approx(1.15, abs=0.005)
    assert one_side_high_mm(ring, 1.0) == pytest.approx(0.040, abs=0.0005)


def test_seats_round_a_ring_converge() -> None:
    """R = 10, d = 2, S = 1.96, P = 2.6: 0.64 at the surface, 0.54 at the girdle."""
    girdle_mm = (0.162 + 0.03) * 2.0
    assert between_seats_mm(2.6, 1.96, 0.0, 10) == pytest.approx(0.64)
    assert between_seats_mm(2.6, 1.96, girdle_mm, 10) == pytest.approx(0.54, abs=0.0005)
    assert between_seats_mm(2.6, 1.96) == pytest.approx(0.64)


def test_the_drop_agrees_with_the_solid() -> None:
    """On 600 random rings and domes, on and off the crest, the surface is found by its equation."""
    random = np.random.default_rng(20260131)
    for _ in range(600):
        radius = random.uniform(5, 20)
        curve = Curve(
            kind="ring" if random.random() < 0.5 else "dome",
            radius_mm=radius,
            off_crest_mm=random.choice([0.0, random.uniform(0, 1)]),
        )
        rim, angle = random.uniform(0.3, 2.5), random.uniform(0, 360)
        x, y = rim * math.cos(math.radians(angle)), rim * math.sin(math.radians(angle))

        def level(depth: float, at: tuple[float, float], of: Curve = curve) -> float:
            height = math.sqrt(of.radius_mm**2 - of.off_crest_mm**2) - depth
            along = at[0] if of.kind == "dome" else 0.0
            return (at[1] + of.off_crest_mm) ** 2 + along**2 + height**2 - of.radius_mm**2

        found = brentq(level, -radius / 2, math.sqrt(radius**2 - curve.off_crest_mm**2), ((x, y),))
        assert drop_mm(curve, rim, angle) == pytest.approx(found, abs=1e-9)


def test_the_back_is_as_far_below_as_the_metal_is_thick() -> None:
    """On the crest, and measured square to the surface everywhere (geometry)."""
    ring = Curve(kind="ring", radius_mm=10)
    assert back_mm(ring, 1.5, 0.0, 90) == pytest.approx(1.5)
    y = 2.0
    assert math.hypot(y, 10 - back_mm(ring, 1.5, y, 90)) == pytest.approx(8.5)
    assert back_mm(ring, 1.5, y, 0) == pytest.approx(1.5)


def test_a_dome_falls_alike_all_round() -> None:
    """And a ring not at all along itself."""
    dome = Curve(kind="dome", radius_mm=9)
    assert len({round(drop.mm, 12) for drop in drops(dome, 1.0)}) == 1
    assert drop_mm(Curve(kind="ring", radius_mm=9), 1.0, 0) == 0


def test_a_curve_that_ends_is_refused() -> None:
    """A hole wider than the ring has no rim to speak of."""
    ring = Curve(kind="ring", radius_mm=2)
    assert not ring.reaches(2.5)
    with pytest.raises(ValueError, match="ends before"):
        drop_mm(ring, 2.5, 90)
    with pytest.raises(ValueError, match="inner radius"):
        back_mm(ring, 1.5, 1.0, 90)
