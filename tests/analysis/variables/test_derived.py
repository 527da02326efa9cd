"""Derived fields: from measurements alone, and nothing is filled in."""

import math
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platebook.analysis.variables.derived import derived, places, stone_mm
from platebook.practice.attempt import Attempt

EVENING = datetime(2026, 2, 3, 18, 30, tzinfo=UTC)


def _at(*minutes: float, takes: float | None = None) -> list[Attempt]:
    return [Attempt(began=EVENING + timedelta(minutes=m), minutes=takes) for m in minutes]


def test_a_pause_of_over_three_hours_begins_a_session() -> None:
    """180 minutes are still the same sitting, 181 are not."""
    assert [p.session for p in places(_at(0, 180, 361))] == [0, 0, 1]


def test_the_pause_counts_from_the_end_of_the_last_attempt() -> None:
    """An attempt that took an hour moves the pause by an hour."""
    assert [p.session for p in places(_at(0, 230, takes=60))] == [0, 0]


def test_order_and_minutes_start_again_with_each_session() -> None:
    """The first attempt of a sitting stands at minute 0 and place 1."""
    found = places(_at(0, 20, 24 * 60, 24 * 60 + 15))
    assert [(p.order_in_session, p.minutes_into_session) for p in found] == [
        (1, 0.0),
        (2, 20.0),
        (1, 0.0),
        (2, 15.0),
    ]


def test_days_since_practice_stand_for_the_whole_session() -> None:
    """Nobody practised before the first session, so there it is empty."""
    found = places(_at(0, 20, 7 * 24 * 60, 7 * 24 * 60 + 30))
    assert [p.days_since_practice for p in found[:2]] == [None, None]
    assert [round(p.days_since_practice or 0.0, 2) for p in found[2:]] == [6.99, 6.99]


def test_a_day_without_hours_is_one_session_without_minutes() -> None:
    """Two rows of one day are one sitting; nobody knows how far into it they were."""
    day = datetime(2026, 2, 3, tzinfo=UTC)
    rows = [Attempt(began=day + timedelta(days=d), day_only=True) for d in (0, 0, 2)]
    found = places(rows)
    assert [p.session for p in found] == [0, 0, 1]
    assert [p.minutes_into_session for p in found] == [None, None, None]
    assert found[2].days_since_practice == 2.0


def test_attempts_without_a_date_are_a_session_a_plate() -> None:
    """A plate is done in one go more often than not."""
    rows = [Attempt(plate="1"), Attempt(plate="1"), Attempt(plate="2"), *_at(0)]
    assert [p.session for p in places(rows)] == [0, 0, 1, 2]


def test_the_order_on_a_plate_counts_each_plate_by_itself() -> None:
    """Two plates in one sitting are each counted from one."""
    rows = [
        Attempt(began=EVENING + timedelta(minutes=10 * i), plate=plate)
        for i, plate in enumerate("abab")
    ]
    assert [p.order_on_plate for p in places(rows)] == [1, 1, 2, 2]


def test_no_attempts_have_no_places() -> None:
    """An empty log is an empty answer."""
    assert places([]) == ()


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
    found = derived(Attempt(stone_diameter_mm=2.0, seat_depth_mm=0.384))
    assert found["depth_error_mm"] == pytest.approx(0.0, abs=1e-9)


def test_an_empty_attempt_has_no_dimensions() -> None:
    """Empty is never zero."""
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
    """Millimetres or inches: the ratio is the same."""
    one = derived(Attempt(stone_diameter_mm=stone, pilot_mm=pilot))
    other = derived(Attempt(stone_diameter_mm=stone * scale, pilot_mm=pilot * scale))
    assert one["pilot_ratio"] == pytest.approx(other["pilot_ratio"])
