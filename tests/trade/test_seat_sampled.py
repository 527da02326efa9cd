"""The seat's exact answers against a slow independent way: sampled outlines, sunk step by step.

Nothing of the geometry under test is used here but its answers: metal and stone are depths at
100 000 radii, written down from the shapes themselves (cones, circles and straight lines).
"""

import math

import numpy as np
import pytest

from platebook.trade.burs import bur_at
from platebook.trade.entry import entry_tilt_deg
from platebook.trade.proportions import profile
from platebook.trade.resting import Hole, rest
from platebook.trade.stone import Stone

PILOT_MM, BELT_MM, THICKNESS_MM = 0.66, 0.35, 1.6
STEP_MM = 1e-4


def _metal(shape: str, seat_mm: float, radii_mm: np.ndarray) -> np.ndarray:
    """Depth of the metal at radii inside the seat."""
    radius = seat_mm / 2
    if shape == "ball":
        return np.asarray(BELT_MM + np.sqrt(radius**2 - radii_mm**2))
    half_angle = math.radians({"setting": 90, "hart": 70}[shape] / 2)
    return np.asarray(BELT_MM + (radius - radii_mm) / math.tan(half_angle))


def _sunk(shape: str, seat_mm: float, diameter_mm: float, pavilion_mm: float) -> float:
    """Depth of the girdle's lower edge once one step more would push pavilion into metal."""
    radii_mm = np.linspace(PILOT_MM / 2, min(seat_mm, diameter_mm) / 2, 100_001)
    room = _metal(shape, seat_mm, radii_mm) - pavilion_mm * (1 - radii_mm / (diameter_mm / 2))
    girdle = 0.0
    while np.all(room >= girdle + STEP_MM):
        girdle += STEP_MM
    return girdle


@pytest.mark.parametrize("shape", ["setting", "hart", "ball"])
@pytest.mark.parametrize("seat_mm", [1.93, 1.98, 2.02, 2.10])
@pytest.mark.parametrize("depth_mm", [1.10, 1.20, 1.28])
def test_where_the_stone_rests(shape: str, seat_mm: float, depth_mm: float) -> None:
    """Table, ledge and point of a 1.98 mm stone, pressed in, to two steps of sinking."""
    stone = profile(Stone(diameter_mm=1.98, depth_mm=depth_mm))
    found = rest(stone, Hole(THICKNESS_MM, PILOT_MM, bur_at(shape, seat_mm, BELT_MM)))
    assert found is not None
    sunk = _sunk(shape, seat_mm, 1.98, depth_mm - stone.crown_mm - stone.girdle_mm)
    table = stone.crown_mm + stone.girdle_mm - sunk
    assert found.table_height_mm == pytest.approx(table, abs=2 * STEP_MM)
    assert found.ledge_mm == pytest.approx(THICKNESS_MM - sunk, abs=2 * STEP_MM)
    assert found.culet_clearance_mm == pytest.approx(
        THICKNESS_MM - depth_mm + table, abs=2 * STEP_MM
    )


@pytest.mark.parametrize("seat_mm", [1.90, 1.93, 1.96, 1.979])
def test_how_far_it_is_tipped_to_enter(seat_mm: float) -> None:
    """The girdle's rectangle is turned by its corners until it is no wider than the seat."""
    diameter_mm, girdle_mm = 1.98, 0.0594
    angles = np.radians(np.arange(0, 45, 0.001))
    corners = [(x, y) for x in (-diameter_mm / 2, diameter_mm / 2) for y in (0.0, girdle_mm)]
    across = np.array([x * np.cos(angles) - y * np.sin(angles) for x, y in corners])
    width = across.max(axis=0) - across.min(axis=0)
    first = float(np.degrees(angles[int(np.argmax(width <= seat_mm))]))
    assert entry_tilt_deg(diameter_mm, girdle_mm, seat_mm) == pytest.approx(first, abs=0.002)
