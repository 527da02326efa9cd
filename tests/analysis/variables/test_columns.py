"""Columns: dimensions from measurements alone, and every field as numbers."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platebook.analysis.variables.derived import derived, stone_mm
from platebook.practice.attempt import Attempt

LENGTHS = st.floats(min_value=0.5, max_value=5.0).map(lambda x: round(x, 3))


def test_each_dimension_follows_its_definition() -> None:
    """Plain arithmetic on one fully measured attempt (definitions of the trade, worked by hand)."""
    attempt = Attempt(
        stone_diameter_mm=2.0,
        stone_diameter_min_mm=1.98,
        stone_diameter_max_mm=2.02,
        stone_depth_mm=1.2,
        sheet_mm=0.8,
        layers=2,
        pilot_mm=0.7,
        opening_bur_mm=1.8,
        seat_bur_mm=1.9,
        seat_diameter_mm=1.97,
        seat_depth_mm=0.4,
    )
    assert derived(attempt) == {
        "clearance_mm": pytest.approx(-0.03),
        "undersize_mm": pytest.approx(0.1),
        "depth_error_mm": pytest.approx(0.016),
        "pilot_ratio": pytest.approx(0.35),
        "opening_ratio": pytest.approx(0.9),
        "wall_ratio": pytest.approx(0.8),
        "culet_clearance_mm": pytest.approx(0.4),
        "ovality_mm": pytest.approx(0.04),
    }


def test_needed_depth_is_tolkowskys_crown_and_a_girdle() -> None:
    """Crown 16.2 % (Tolkowsky, Diamond Design, 1919) and girdle 3 %: 0.384 mm at 2 mm."""
    dimensions = derived(Attempt(stone_diameter_mm=2.0, seat_depth_mm=0.384))
    assert dimensions["depth_error_mm"] == pytest.approx(0.0, abs=1e-9)


def test_an_empty_attempt_has_no_dimensions() -> None:
    """What nobody measured is left out, never taken as zero."""
    assert derived(Attempt()) == {}


@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf])
def test_impossible_sizes_give_nothing(value: float) -> None:
    """A size that cannot be is treated as not written down."""
    assert derived(Attempt(stone_diameter_mm=value, seat_bur_mm=1.9, pilot_mm=0.7)) == {}


def test_the_middle_of_a_measured_oval_stands_for_the_stone() -> None:
    """Both measured diameters together say the size; one alone does not."""
    assert stone_mm(Attempt(stone_diameter_min_mm=1.9, stone_diameter_max_mm=2.1)) == 2.0
    assert stone_mm(Attempt(stone_diameter_min_mm=1.9)) is None


def test_near_pins_stand_for_a_reading_and_far_ones_do_not() -> None:
    """Pins 0.04 apart bound the seat closely; pins 0.2 apart leave it an interval."""
    near = Attempt(stone_diameter_mm=2.0, seat_go_mm=2.0, seat_nogo_mm=2.04)
    far = Attempt(stone_diameter_mm=2.0, seat_go_mm=1.9, seat_nogo_mm=2.1)
    assert derived(near)["clearance_mm"] == pytest.approx(0.02)
    assert "clearance_mm" not in derived(far)


@given(LENGTHS, LENGTHS, st.sampled_from([2.0, 25.4, 0.1]))
def test_ratios_do_not_depend_on_the_unit(stone: float, pilot: float, scale: float) -> None:
    """Millimetres or inches: the ratio is the same, to its six places."""
    dimensions = derived(Attempt(stone_diameter_mm=stone, pilot_mm=pilot))
    other = derived(Attempt(stone_diameter_mm=stone * scale, pilot_mm=pilot * scale))
    assert dimensions["pilot_ratio"] == pytest.approx(other["pilot_ratio"], abs=1.5e-6)
