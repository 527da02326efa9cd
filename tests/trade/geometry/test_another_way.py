"""The seat's geometry once more by brute force: outlines sampled and sunk, on random cases."""

import math

import numpy as np
import pytest

from platebook.trade.geometry.burs import bur_at
from platebook.trade.geometry.curved import drop_mm
from platebook.trade.geometry.cutting import cut_to
from platebook.trade.geometry.resting import Hole, needed_belt_mm, rest
from platebook.trade.geometry.section import section
from platebook.trade.records import Curve, Stone
from platebook.trade.stones import Profile, profile

CASES = 600
POINTS = 20_001
SEED = 20260202
SLOPES = {"setting": (60.0, 118.0), "hart": (60.0, 100.0)}


def _floor(shape: str, size: float, belt: float, angle: float, radii: np.ndarray) -> np.ndarray:
    """Depth of what one bur leaves at radii, written down from how such burs are named."""
    radius = size / 2
    if shape == "ball":
        inside = np.sqrt(np.maximum(radius**2 - radii**2, 0.0))
        depth = np.where(radii <= radius, belt + inside, 0.0)
    else:
        slope = angle / 2 if shape == "hart" else 90 - angle / 2
        inside = belt + (radius - radii) * math.tan(math.radians(slope))
        depth = np.where(radii <= radius, inside, 0.0)
    return np.maximum(depth, 0.0)


def _case(random: np.random.Generator) -> tuple[Profile, Hole, tuple[str, float, float, float]]:
    """A stone, a hole of pilot, opening and seat bur, and the seat bur as it was drawn."""
    diameter = random.uniform(0.8, 6.5)
    stone = profile(Stone(diameter_mm=diameter, depth_mm=random.uniform(0.5, 0.8) * diameter))
    shape = str(random.choice(["setting", "hart", "ball"]))
    size = diameter * random.uniform(0.93, 1.05)
    angle = random.uniform(*SLOPES.get(shape, (90.0, 90.0)))
    belt = random.uniform(0.1, 0.3) * diameter
    seat = bur_at(shape, size, belt, angle_deg=angle if shape != "ball" else None)
    opening = bur_at("ball", diameter * random.uniform(0.7, 0.92), 0.0)
    pilot = diameter * random.uniform(0.25, 0.5)
    hole = Hole(3.0 * diameter, pilot, seat, (opening,))
    return stone, hole, (shape, size, belt, angle)


def _rests(stone: Profile, hole: Hole, bur: tuple[str, float, float, float]) -> float:
    """Depth of the girdle's lower edge once one step more would push pavilion into metal."""
    shape, size, belt, angle = bur
    limit = min(stone.diameter_mm, size) / 2
    radii = np.linspace(hole.pilot_mm / 2, limit, POINTS)
    opening = 2 * hole.others[0].radius_mm
    metal = np.maximum(
        _floor(shape, size, belt, angle, radii), _floor("ball", opening, 0.0, 0.0, radii)
    )
    under = stone.pavilion_mm * (1 - radii / (stone.diameter_mm / 2))
    return float(np.min(metal - under))


def test_where_stones_rest_on_random_cases() -> None:
    """Table, ledge and point to 0.0006 of the diameter, on 600 stones and holes."""
    random = np.random.default_rng(SEED)
    for _ in range(CASES):
        stone, hole, bur = _case(random)
        found = rest(stone, hole)
        assert found is not None
        girdle = _rests(stone, hole, bur)
        near = 0.0006 * stone.diameter_mm
        assert found.girdle_depth_mm == pytest.approx(girdle, abs=near)
        assert found.table_height_mm == pytest.approx(stone.carried_mm - girdle, abs=near)
        assert found.ledge_mm == pytest.approx(hole.thickness_mm - girdle, abs=near)


def test_the_depth_to_cut_levels_the_table_by_brute_force() -> None:
    """Cut to what is printed, the sampled stone lies level, as far as any depth levels it."""
    random = np.random.default_rng(SEED + 1)
    levelled = 0
    for _ in range(CASES):
        stone, hole, (shape, size, _, angle) = _case(random)
        belt = needed_belt_mm(stone, hole)
        assert cut_to(stone, hole, 0.0).sunk_mm == belt
        if belt is None or belt < 0:
            continue
        girdle = _rests(stone, hole.with_seat_at(belt), (shape, size, belt, angle))
        assert stone.carried_mm - girdle == pytest.approx(0.0, abs=0.0006 * stone.diameter_mm)
        levelled += 1
    assert levelled > CASES // 2


def test_the_wall_in_the_section_of_a_ring_is_the_solids() -> None:
    """On 600 rings and domes the drawn wall is crown less the fall, found on the circle itself."""
    random = np.random.default_rng(SEED + 2)
    for _ in range(CASES):
        stone, hole, _ = _case(random)
        radius = random.uniform(2.5, 12) * stone.diameter_mm
        kind = "ring" if random.random() < 0.5 else "dome"
        curve = Curve(kind=kind, radius_mm=radius)
        drawn = section(stone, hole, curve=curve)
        height = next(d.mm for d in drawn.dimensions if d.name == "table height")
        wall = next(d.mm for d in drawn.dimensions if d.name == "wall")
        angle = math.asin(stone.diameter_mm / 2 / radius)
        fall = radius * (1 - math.cos(angle))
        assert drop_mm(curve, stone.diameter_mm / 2, 90) == pytest.approx(fall, abs=1e-9)
        assert wall == pytest.approx(stone.crown_mm - height - fall, abs=0.0002)
