"""The hole that one bur leaves."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platebook.trade.geometry.burs import (
    ConeBur,
    RoundBur,
    angle_of_floor,
    bur_at,
    crossings_mm,
    floor_deg,
)
from platebook.trade.geometry.resting import Hole, rest
from platebook.trade.records import Stone
from platebook.trade.stones import profile

SHAPES = st.sampled_from(["setting", "hart", "ball", "flame"])
SIZES = st.floats(0.5, 4)
BELTS = st.floats(-0.4, 1)


def ball_mouth_mm(sunk_mm: float) -> float:
    """The mouth of a hole that a 1.8 mm ball bur leaves, its tip sunk so far."""
    return 2 * bur_at("ball", 1.8, sunk_mm - 0.9).mouth_mm


@pytest.mark.parametrize(("sunk_mm", "mouth_mm"), [(0.30, 1.342), (0.50, 1.612), (0.90, 1.800)])
def test_ball_bur_mouth(sunk_mm: float, mouth_mm: float) -> None:
    """Geometry: a 1.8 mm ball sunk h opens 2√(Dh - h²)."""
    assert ball_mouth_mm(sunk_mm) == pytest.approx(mouth_mm, abs=0.0005)
    assert ball_mouth_mm(sunk_mm) == pytest.approx(2 * math.sqrt(1.8 * sunk_mm - sunk_mm**2))


def test_a_ball_sunk_past_its_middle_opens_its_width() -> None:
    """Beyond half its diameter the mouth stays; not yet at the surface there is none."""
    assert ball_mouth_mm(1.5) == 1.8
    assert ball_mouth_mm(0) == pytest.approx(0)


@pytest.mark.parametrize(("angle_deg", "floor_deg"), [(90, 45), (70, 55), (118, 31)])
def test_the_cone_cuts_the_complement_of_half_its_angle(angle_deg: float, floor_deg: float) -> None:
    """Geometry: a 90° bur cuts 45°, a 70° bur 55°."""
    bur = bur_at("setting", 2.0, 0.0, angle_deg=angle_deg)
    assert isinstance(bur, ConeBur)
    assert math.degrees(math.atan(bur.slope)) == pytest.approx(floor_deg)


@pytest.mark.parametrize(("angle_deg", "share"), [(118, 0.3004), (135, 0.2071)])
def test_drill_points(angle_deg: float, share: float) -> None:
    """Geometry: a 118° point is 0.3004 of the diameter long, a 135° point 0.2071."""
    bur = bur_at("setting", 1.0, 0.0, angle_deg=angle_deg)
    assert bur.tip_mm == pytest.approx(share, abs=0.00005)


def test_assumed_angles_and_shapes() -> None:
    """A setting bur's tip is taken as 90°, a hart bur's edge as 70° (memory): a cone of 110°."""
    setting, hart = bur_at("setting", 2.0, 0.0), bur_at("hart", 2.0, 0.0)
    assert isinstance(setting, ConeBur)
    assert isinstance(hart, ConeBur)
    assert (setting.angle_deg, hart.angle_deg) == (90, 110)
    with pytest.raises(ValueError, match="no bur shape 'cup'"):
        bur_at("cup", 2.0, 0.0)


@given(SHAPES, SIZES, BELTS, st.floats(0, 1))
def test_floor_and_radius_undo_each_other(
    shape: str, diameter_mm: float, belt_mm: float, share: float
) -> None:
    """The radius at the depth of the floor at a radius is that radius."""
    bur = bur_at(shape, diameter_mm, belt_mm)
    radius = share * bur.radius_mm
    assert bur.radius_at_mm(bur.floor_mm(radius)) == pytest.approx(radius, abs=1e-6)
    assert bur.floor_mm(0) == pytest.approx(bur.tip_mm)
    assert bur.floor_mm(bur.radius_mm) == pytest.approx(belt_mm, abs=1e-6)


@given(SHAPES, SIZES, BELTS)
def test_the_mouth_is_where_the_hole_meets_the_surface(
    shape: str, diameter_mm: float, belt_mm: float
) -> None:
    """Not yet sunk to its width the floor is at the surface there; afterwards the mouth is full."""
    bur = bur_at(shape, diameter_mm, belt_mm)
    if belt_mm >= 0:
        assert bur.mouth_mm == bur.radius_mm
    elif bur.tip_mm > 0:
        assert bur.floor_mm(bur.mouth_mm) == pytest.approx(0, abs=1e-6)
    else:
        assert bur.mouth_mm == 0


@given(SHAPES, SHAPES, SIZES, SIZES, BELTS)
def test_every_change_of_the_deeper_bur_is_a_crossing(
    one: str, other: str, size_one: float, size_other: float, belt_mm: float
) -> None:
    """Where the deeper of two burs changes between two radii, a crossing lies between them."""
    first, second = bur_at(one, size_one, belt_mm), bur_at(other, size_other, 0.1)
    within = min(first.radius_mm, second.radius_mm)
    found = crossings_mm(first, second)
    radii = [within * k / 40 for k in range(41)]
    above = [first.floor_mm(r) - second.floor_mm(r) for r in radii]
    for k in range(40):
        if abs(above[k]) > 1e-6 and abs(above[k + 1]) > 1e-6 and above[k] * above[k + 1] < 0:
            assert any(radii[k] <= r <= radii[k + 1] for r in found)


def test_two_like_burs_never_cross() -> None:
    """The same arc or slope at two depths has no crossing; concentric arcs neither."""
    assert crossings_mm(bur_at("ball", 2, 0), bur_at("ball", 2, 0)) == ()
    assert crossings_mm(bur_at("ball", 2, 0), bur_at("ball", 1.6, 0)) == ()
    assert crossings_mm(bur_at("hart", 2, 0), bur_at("hart", 1.8, 0.3)) == ()


def test_the_steepest_place_of_an_arc() -> None:
    """A ball's floor falls at 45° where the radius is R·sin 45°; a cone has no such place."""
    ball = RoundBur(1.0, 0.0, 1.0)
    assert ball.steepest_mm(1.0) == pytest.approx(math.sin(math.radians(45)))
    assert bur_at("flame", 1.0, 0.0).steepest_mm(0.1) is None
    assert bur_at("setting", 1.0, 0.0).steepest_mm(1.0) is None


@pytest.mark.parametrize(
    ("shape", "named", "slope"),
    [("hart", 70, 35), ("hart", 90, 45), ("setting", 90, 45), ("setting", 70, 55)],
)
def test_what_a_burs_angle_names(shape: str, named: float, slope: float) -> None:
    """A hart bur's angle is its edge's, half of it the floor's; a setting bur's is its tip's."""
    assert floor_deg(shape, named) == slope
    assert angle_of_floor(shape, slope) == named
    bur = bur_at(shape, 2.0, 0.0, angle_deg=named)
    assert bur.floor_mm(0.5) == pytest.approx(0.5 * math.tan(math.radians(slope)))


def test_a_flat_hart_bur_lets_the_table_stand_higher() -> None:
    """A 2.00 stone in a 1.96 seat at one depth: 35° instead of 55° lifts its table by 0.12 mm."""
    stone = profile(Stone(diameter_mm=2.0))
    heights = []
    for cone in (110, 70):
        at_rest = rest(stone, Hole(1.0, 0.65, ConeBur(0.98, 0.38, cone)))
        assert at_rest is not None
        heights.append(at_rest.table_height_mm)
    assert heights[0] - heights[1] == pytest.approx(0.12, abs=0.02)
