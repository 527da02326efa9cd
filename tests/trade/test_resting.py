"""Where a stone comes to rest."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from platebook.trade.burs import ConeBur, RoundBur, bur_at
from platebook.trade.proportions import Profile, profile
from platebook.trade.resting import Hole, needed_belt_mm, rest
from platebook.trade.stone import Stone

SHAPES = st.sampled_from(["setting", "hart", "ball", "flame"])


def stone(diameter_mm: float = 2.0, depth: float = 0.6) -> Profile:
    """A stone of this size and depth ratio, with the named cut's crown and girdle."""
    return profile(Stone(diameter_mm=diameter_mm, depth_mm=depth * diameter_mm, girdle="medium"))


def hole(
    shape: str = "setting", seat_mm: float = 2.0, belt_mm: float = 0.3, thickness_mm: float = 3.0
) -> Hole:
    """A hole with a 0.66 pilot in sheet thick enough to be no matter."""
    return Hole(thickness_mm, 0.66, bur_at(shape, seat_mm, belt_mm))


@pytest.mark.parametrize("clearance_mm", [0.0, 0.02, 0.06])
@pytest.mark.parametrize("angle_deg", [60, 70, 90])
def test_a_steep_cone_carries_the_girdles_edge(clearance_mm: float, angle_deg: float) -> None:
    """Geometry: in a cone steeper than the pavilion the edge lies c/2·tan below the wall's end."""
    bur = ConeBur(1.0 + clearance_mm / 2, 0.3, angle_deg)
    found = rest(stone(), Hole(3.0, 0.66, bur))
    assert found is not None
    slope = 1 / math.tan(math.radians(angle_deg / 2))
    assert found.girdle_depth_mm == pytest.approx(0.3 + clearance_mm / 2 * slope)
    assert found.contact == "girdle edge"
    assert found.side_gap_mm == pytest.approx(clearance_mm / 2)


@pytest.mark.parametrize("clearance_mm", [0.0, 0.04])
def test_a_flat_cone_carries_the_pavilion_at_the_pilot(clearance_mm: float) -> None:
    """Geometry: in a cone flatter than the pavilion the pavilion touches at the pilot's rim."""
    gem = stone()
    bur = ConeBur(1.0 + clearance_mm / 2, 0.3, 120)
    found = rest(gem, Hole(3.0, 0.66, bur))
    assert found is not None
    floor = 0.3 + (bur.radius_mm - 0.33) * math.tan(math.radians(30))
    assert found.contact == "pavilion"
    assert found.contact_radius_mm == 0.33
    assert found.girdle_depth_mm == pytest.approx(floor - gem.under_mm(0.33))
    assert found.gap_under_mm > 0


def test_a_tight_seat_holds_the_stone_up() -> None:
    """Geometry: the pavilion meets the wall's lower end, c/2·tan of the pavilion above it."""
    gem = stone()
    found = rest(gem, hole(seat_mm=1.96))
    assert found is not None
    slope = math.tan(math.radians(gem.pavilion_angle_deg))
    assert found.girdle_depth_mm == pytest.approx(0.3 - 0.02 * slope)
    assert found.side_gap_mm == pytest.approx(-0.02)


def test_before_it_is_pressed_a_wide_stone_perches_on_the_mouth() -> None:
    """Geometry: the pavilion rests on the mouth's rim, so the girdle lies above the sheet."""
    gem = stone()
    found = rest(gem, hole(seat_mm=1.96), pressed=False)
    assert found is not None
    slope = math.tan(math.radians(gem.pavilion_angle_deg))
    assert found.girdle_depth_mm == pytest.approx(-0.02 * slope)
    assert found.contact_radius_mm == 0.98


def test_a_ball_seat_carries_the_girdles_edge_on_its_arc() -> None:
    """Geometry: at the stone's radius a ball's floor is √(R² - r²) below its middle."""
    found = rest(stone(), Hole(3.0, 0.66, RoundBur(1.1, -0.2, 1.1)))
    assert found is not None
    assert found.contact == "girdle edge"
    assert found.girdle_depth_mm == pytest.approx(-0.2 + math.sqrt(1.1**2 - 1.0))


def test_the_gap_under_a_stone_in_a_ball_seat() -> None:
    """Geometry: the widest gap lies where the arc is as steep as the pavilion."""
    gem = stone()
    found = rest(gem, Hole(3.0, 0.3, RoundBur(1.1, -0.2, 1.1)))
    assert found is not None
    angle = math.radians(gem.pavilion_angle_deg)
    floor = -0.2 + 1.1 * math.cos(angle)
    widest = floor - gem.under_mm(1.1 * math.sin(angle)) - found.girdle_depth_mm
    assert found.gap_under_mm == pytest.approx(widest)


def test_what_is_left_of_the_metal() -> None:
    """A 90° seat in 0.812 sheet goes through where 45° meets the back (geometry)."""
    gem = stone()
    found = rest(gem, hole(belt_mm=0.384, thickness_mm=0.812))
    assert found is not None
    assert found.ledge_mm == pytest.approx(0.812 - 0.384)
    assert found.table_height_mm == pytest.approx(0)
    assert found.culet_clearance_mm == pytest.approx(0.812 - 1.2)
    assert found.back_hole_mm == pytest.approx(2 * (1.0 - (0.812 - 0.384)))
    assert found.ledge_width_mm == pytest.approx(0.812 - 0.384)


def test_a_deep_opening_takes_the_ledge_away() -> None:
    """A flame sunk to its width leaves only the rim of a setting bur's floor."""
    gem = stone()
    seat = bur_at("setting", 2.0, 0.384)
    alone = rest(gem, Hole(3.0, 0.66, seat))
    opened = rest(gem, Hole(3.0, 0.66, seat, (bur_at("flame", 1.8, 0.0),)))
    assert alone is not None
    assert opened is not None
    assert alone.ledge_width_mm == pytest.approx(1.0 - 0.33)
    assert opened.ledge_width_mm < 0.3
    assert opened.girdle_depth_mm == alone.girdle_depth_mm


def test_a_seat_inside_a_wider_opening_has_no_ledge_of_its_own() -> None:
    """The opening's floor carries the stone; the seat bur has cut nothing under it."""
    found = rest(stone(), Hole(3.0, 0.66, bur_at("setting", 1.5, -1), (bur_at("setting", 2, 0.3),)))
    assert found is not None
    assert found.ledge_width_mm == pytest.approx(0)
    assert found.girdle_depth_mm == pytest.approx(0.3)


def test_a_stone_with_nothing_under_it_falls_through() -> None:
    """A pilot as wide as the stone, or a wall deeper than the sheet."""
    assert rest(stone(), Hole(0.8, 2.0, bur_at("setting", 1.9, 0.3))) is None
    assert rest(stone(), hole(belt_mm=0.9, thickness_mm=0.8)) is None


@given(SHAPES, st.floats(0.9, 1.08), st.floats(-0.6, 1), st.floats(0, 0.5), st.floats(0.4, 3))
def test_a_deeper_seat_never_raises_the_table(
    shape: str, seat: float, belt_mm: float, deeper_mm: float, thickness_mm: float
) -> None:
    """Invariant, for every bur shape, thick sheet and thin."""
    gem = stone()
    shallow = rest(gem, hole(shape, seat * 2.0, belt_mm, thickness_mm))
    deep = rest(gem, hole(shape, seat * 2.0, belt_mm + deeper_mm, thickness_mm))
    if shallow is None:
        assert deep is None
    elif deep is not None:
        assert deep.table_height_mm <= shallow.table_height_mm + 1e-9


def scaled(gem: Profile, factor: float) -> Profile:
    """The same shape with every length multiplied."""
    lengths = gem.model_dump(
        include={name for name in Profile.model_fields if name.endswith("_mm")}
    )
    return gem.model_copy(update={name: length * factor for name, length in lengths.items()})


@given(SHAPES, st.floats(0.9, 1.08), st.floats(-0.3, 0.6), st.integers(-7, 7))
def test_scaling_all_lengths_scales_all_answers(
    shape: str, seat: float, belt_mm: float, power: int
) -> None:
    """Invariant: the geometry knows no millimetre (powers of two, so that ties stay ties)."""
    gem, factor = stone(), 2.0**power
    opening = bur_at("ball", 1.8, 0.0)
    small = rest(gem, Hole(1.2, 0.66, bur_at(shape, seat * 2, belt_mm), (opening,)))
    large = rest(
        scaled(gem, factor),
        Hole(
            1.2 * factor,
            0.66 * factor,
            bur_at(shape, seat * 2 * factor, belt_mm * factor),
            (bur_at("ball", 1.8 * factor, 0.0),),
        ),
    )
    if small is None:
        assert large is None
        return
    assert large is not None
    for name, value in small.model_dump(exclude={"contact"}).items():
        tolerance = 1e-6 * factor
        assert getattr(large, name) == pytest.approx(value * factor, rel=1e-6, abs=tolerance), name


@given(SHAPES, st.floats(0.9, 1.08), st.floats(-0.5, 1))
def test_no_stone_sinks_into_the_metal(shape: str, seat: float, belt_mm: float) -> None:
    """At rest the pavilion is nowhere below the floor under it, and touches it at the contact."""
    gem = stone()
    cut = hole(shape, seat * 2.0, belt_mm)
    found = rest(gem, cut)
    assume(found is not None)
    assert found is not None
    limit = min(gem.diameter_mm / 2, cut.mouth_mm)
    for k in range(1, 60):
        radius = cut.inner_mm + (limit - cut.inner_mm) * k / 60
        floor = cut.floor_mm(radius, outward=True)
        assert found.girdle_depth_mm + gem.under_mm(radius) <= floor + 1e-9


@given(SHAPES, st.floats(0.95, 1.05), st.floats(0.3, 4), st.floats(0, 0.06))
def test_the_needed_depth_gives_the_wanted_table(
    shape: str, seat: float, thickness_mm: float, below_mm: float
) -> None:
    """What is answered is right; the table lies where it was wanted."""
    gem = stone()
    cut = hole(shape, seat * 2.0, 0.0, thickness_mm)
    belt = needed_belt_mm(gem, cut, below_mm=below_mm)
    if belt is not None:
        found = rest(gem, cut.with_seat_at(belt))
        assert found is not None
        assert found.table_height_mm == pytest.approx(-below_mm, abs=1e-5)


def test_the_needed_depth_of_a_setting_bur() -> None:
    """Geometry: crown and girdle less c/2·tan 45° for a seat 0.04 wider than the stone."""
    belt = needed_belt_mm(stone(), hole(seat_mm=2.04))
    assert belt == pytest.approx(0.192 * 2.0 - 0.02)


def test_no_depth_levels_a_table_in_foil() -> None:
    """Sheet thinner than crown and girdle: the stone falls through first."""
    assert needed_belt_mm(stone(), hole(thickness_mm=0.3)) is None
