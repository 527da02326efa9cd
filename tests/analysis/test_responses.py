"""What is measured of an attempt: values, limits and sides, in millimetres and degrees."""

import math

import pytest
from tests.builders import an_attempt

from platebook.analysis.measured import Measurement
from platebook.analysis.responses import (
    measured_depth_error,
    measured_height,
    measured_overcut,
    measured_tilt,
)

NEEDED_MM = 1.98 * 0.192
"""Crown 16.2 % (M. Tolkowsky, Diamond Design, 1919) and a girdle of 3 % (common practice)."""


def _limits(reading: Measurement | None) -> tuple[float, float] | None:
    return None if reading is None else (round(reading.low, 4), round(reading.high, 4))


@pytest.mark.parametrize(
    ("values", "limits"),
    [
        ({"seat_diameter_mm": 1.95}, (0.05, 0.05)),
        ({"seat_go_mm": 1.94, "seat_nogo_mm": 1.96}, (0.04, 0.06)),
        ({"fit": "drops in"}, (0.08, 0.14)),
        ({"fit": "drops in and moves"}, (0.14, math.inf)),
        ({"fit": "enters with a firm push"}, (-math.inf, 0.02)),
        ({}, None),
        ({"seat_diameter_mm": 9.0}, None),
    ],
)
def test_overcut_is_seat_minus_bur(
    values: dict[str, object], limits: tuple[float, float] | None
) -> None:
    """A 1.9 mm bur and a 1.98 mm stone: a value, between pins, or beside the stone."""
    assert _limits(measured_overcut(an_attempt(**values))) == limits


def test_a_measured_depth_speaks_before_the_trial_stone() -> None:
    """Depth minus what the named cut needs (geometry)."""
    read = measured_depth_error(an_attempt(seat_depth_mm=0.42, trial_height="proud"))
    assert _limits(read) == (round(0.42 - NEEDED_MM, 4),) * 2


@pytest.mark.parametrize(
    ("word", "low", "high"),
    [
        ("proud", -math.inf, -0.015 * 1.98),
        ("flush", -0.015 * 1.98, 0.01 * 1.98),
        ("just under", 0.01 * 1.98, 0.03 * 1.98),
        ("deep", 0.03 * 1.98, math.inf),
    ],
)
def test_the_trial_stone_tells_a_side(word: str, low: float, high: float) -> None:
    """A proud trial stone: cut shallow and standing high; in diameters (common practice)."""
    attempt = an_attempt(trial_height=word)
    assert _limits(measured_depth_error(attempt)) == (round(low, 4), round(high, 4))
    assert _limits(measured_height(attempt)) == (round(-high, 4), round(-low, 4))


def test_the_set_table_speaks_before_the_trial_stone() -> None:
    """What was measured last is what the result is."""
    assert _limits(measured_height(an_attempt(table_height_mm=-0.03, trial_height="proud"))) == (
        -0.03,
        -0.03,
    )


@pytest.mark.parametrize(("tilt", "limits"), [(1.5, (1.5, 1.5)), (-2.0, (2.0, 2.0)), (90.0, None)])
def test_tilt_counts_without_its_sign(tilt: float, limits: tuple[float, float] | None) -> None:
    """A lean is a lean; a right angle is a typing error."""
    assert _limits(measured_tilt(an_attempt(table_tilt_deg=tilt))) == limits


def test_without_a_stone_s_size_a_side_says_nothing() -> None:
    """Sides are told beside the stone."""
    bare = an_attempt(stone_diameter_mm=None, trial_height="proud", fit="drops in")
    assert (measured_overcut(bare), measured_depth_error(bare), measured_height(bare)) == (
        None,
        None,
        None,
    )
