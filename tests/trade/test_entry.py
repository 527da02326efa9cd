"""How far a stone must be tipped to enter a seat."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platebook.trade.entry import entry_tilt_deg

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
