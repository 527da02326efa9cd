"""Where a stone comes to rest."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from platebook.trade import Sheet, size
from platebook.trade.geometry.burs import ConeBur, RoundBur, bur_at
from platebook.trade.geometry.resting import Hole, entry_tilt_deg, needed_belt_mm, rest
from platebook.trade.geometry.section import hole_of
from platebook.trade.records import Stone
from platebook.trade.rules import RuleBook
from platebook.trade.stones import Profile, profile
from platebook.values import as_dict, replace

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
    fields = as_dict(gem).items()
    lengths = {name: value * factor for name, value in fields if name.endswith("_mm")}
    return replace(gem, **lengths)


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
    for name, value in as_dict(small).items():
        if name == "contact":
            assert value == large.contact
            continue
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


PILOT_MM, BELT_MM, THICKNESS_MM = 0.66, 0.35, 1.6
STEP_MM = 1e-4


def _metal(shape: str, seat_mm: float, radii_mm: np.ndarray) -> np.ndarray:
    """Depth of the metal at radii inside the seat."""
    radius = seat_mm / 2
    if shape == "ball":
        return np.asarray(BELT_MM + np.sqrt(radius**2 - radii_mm**2))
    half_angle = math.radians({"setting": 90, "hart": 180 - 70}[shape] / 2)
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


SIZES = st.floats(0.7, 10)


@pytest.mark.parametrize(
    ("stone_mm", "girdle_mm", "seat_mm", "degrees"),
    [(1.98, 0.0594, 1.93, 14.7), (1.50, 0.045, 1.46, 15.1), (3.00, 0.09, 2.93, 14.2)],
)
def test_disc_in_a_hole(stone_mm: float, girdle_mm: float, seat_mm: float, degrees: float) -> None:
    """Geometry: d·cos φ + g·sin φ = D."""
    found = entry_tilt_deg(stone_mm, girdle_mm, seat_mm)
    assert found == pytest.approx(degrees, abs=0.05)


@given(SIZES, st.floats(0.01, 0.1), st.floats(0.1, 0.9999))
def test_the_tilt_solves_its_equation(stone_mm: float, girdle: float, seat: float) -> None:
    """The disc at that tilt is exactly as wide as the seat."""
    girdle_mm, seat_mm = girdle * stone_mm, seat * stone_mm
    tilt = entry_tilt_deg(stone_mm, girdle_mm, seat_mm)
    assert tilt is not None
    phi = math.radians(tilt)
    width = stone_mm * math.cos(phi) + girdle_mm * math.sin(phi)
    assert width == pytest.approx(seat_mm)


@given(SIZES, st.floats(0.0, 0.1), st.floats(0.1, 1.2), st.floats(0, 0.3))
def test_a_wider_seat_never_needs_more_tilt(
    stone_mm: float, girdle: float, seat: float, wider: float
) -> None:
    """Invariant; a seat as wide as the stone needs none."""
    narrow = entry_tilt_deg(stone_mm, girdle * stone_mm, seat * stone_mm)
    wide = entry_tilt_deg(stone_mm, girdle * stone_mm, (seat + wider) * stone_mm)
    assert narrow is not None
    assert wide is not None
    assert wide <= narrow + 1e-9


def test_the_ends() -> None:
    """A wide seat needs no tilt; one narrower than the girdle is thick takes no stone."""
    assert entry_tilt_deg(2.0, 0.06, 2.0) == 0
    assert entry_tilt_deg(2.0, 0.06, 0.05) is None


@pytest.mark.parametrize(
    ("sheet_mm", "depth_mm", "proud_mm", "sunk_mm"),
    [
        (0.812, 1.5, 0.072, 0.448),
        (0.812, 1.6, 0.117, 0.480),
        (1.024, 1.5, 0.097, 0.471),
        (1.024, 1.6, 0.163, 0.518),
        (2.048, 1.5, 0.097, 0.481),
        (2.048, 1.6, 0.163, 0.547),
    ],
)
def test_a_deep_stone_as_it_is_worked_by_hand(
    sheet_mm: float, depth_mm: float, proud_mm: float, sunk_mm: float
) -> None:
    """A floor of 45° under a steeper pavilion: it stands where metal begins (docs/methods)."""
    asked = Stone(diameter_mm=2.0, depth_mm=depth_mm)
    sizes = size(asked, Sheet(sheet_mm=sheet_mm))
    deep = profile(asked)
    resting = rest(deep, hole_of(sizes, RuleBook()).with_seat_at(deep.carried_mm))
    assert resting is not None
    begins = max(0.68 / 2, 0.98 - (sheet_mm - 0.384))
    by_hand = 0.384 - (0.384 + (0.98 - begins) - (depth_mm - 0.384) * (1 - begins))
    assert resting.table_height_mm == pytest.approx(by_hand, abs=1e-9)
    assert (round(by_hand, 3), sizes.seat.bur_sunk_mm) == (proud_mm, sunk_mm)
