"""Which reading of a seat speaks, and which one is refused with its reason."""

import math
from datetime import timedelta
from typing import cast

import pytest
from tests.builders import BEGAN, an_attempt

from platebook.analysis.measurements.seat_readings import (
    DIRECT_U_MM,
    FIELDS,
    FIT_U_MM,
    PIN_U_MM,
    SeatReading,
    seat_readings,
)
from platebook.practice.attempt import Attempt
from platebook.practice.fields import choices
from platebook.trade.measuring.tool_checks import ReadingWorth


def the_reading(**values: object) -> SeatReading:
    """The one reading of an attempt with a 1.9 mm bur and a 1.98 mm stone."""
    ((reading,), _) = seat_readings([an_attempt(**values)])
    return reading


def the_refusal(**values: object) -> str:
    """Why the closest reading of that attempt was refused."""
    (_, (refused,)) = seat_readings([an_attempt(attempt_id="a", **values)])
    assert refused.attempt_id == "a"
    return str(refused.fault)


class Watched:
    """An attempt that writes down which of its fields are looked at."""

    def __init__(self, attempt: Attempt, looked_at: set[str]) -> None:
        self._attempt, self._looked_at = attempt, looked_at

    def __getattr__(self, name: str) -> object:
        self._looked_at.add(name)
        return getattr(self._attempt, name)


def test_the_fields_named_are_those_looked_at() -> None:
    """No more, or a class's hands are taken from what was not read; and no fewer."""
    logged = [
        an_attempt(began=None, plate="P1", fit="drops in"),
        an_attempt(began=BEGAN, day_only=True, seat_go_mm=1.94, seat_nogo_mm=1.96),
        an_attempt(began=BEGAN, minutes=10, seat_diameter_mm=1.96, seat_measured_with="caliper"),
        an_attempt(began=BEGAN, kind="part", part="seat", stone_diameter_mm=None, fit="drops in"),
    ]
    looked_at: set[str] = set()
    watched = [cast("Attempt", Watched(attempt, looked_at)) for attempt in logged]
    worth = {"caliper": ReadingWorth(bias_mm=0.01, standard_mm=0.02)}
    assert seat_readings(watched, worth) == seat_readings(logged, worth)
    assert looked_at == {*FIELDS, "attempt_id"}


def limits(reading: SeatReading) -> tuple[float, float, float]:
    """Limits in whole micrometres, and the uncertainty."""
    return round(reading.low_mm, 3), round(reading.high_mm, 3), reading.u_mm


def test_a_direct_reading_is_a_value_with_its_measuring_spread() -> None:
    """A 1.96 mm seat from a 1.9 mm bur is 0.06 mm wide of it, whatever pins and fit say."""
    read = the_reading(seat_diameter_mm=1.96, seat_go_mm=1.9, fit="enters tilted and snaps")
    assert limits(read) == (0.06, 0.06, DIRECT_U_MM)


def test_pins_are_limits() -> None:
    """A pin that goes and one that does not hold the seat between them."""
    assert limits(the_reading(seat_go_mm=1.94, seat_nogo_mm=1.96)) == (0.04, 0.06, PIN_U_MM)


def test_one_pin_reaches_one_wide_step() -> None:
    """The largest pin that enters is within 0.10 mm of the seat, and so is the smallest not to."""
    assert limits(the_reading(seat_go_mm=1.94)) == (0.04, 0.14, PIN_U_MM)
    assert limits(the_reading(seat_nogo_mm=1.96)) == (-0.04, 0.06, PIN_U_MM)


def test_fit_is_a_side_of_the_stone() -> None:
    """The five answers rise; the stone's own size parts those that snap from those that drop."""
    reads = [the_reading(fit=choice.value) for choice in choices()["fit"]]
    assert {limits(read) for read in reads} == {(0.08, 0.08, FIT_U_MM)}
    edges = [(read.low_edges, read.high_edges) for read in reads]
    tight, snaps, drops, moves = (-math.inf, -1.0), (-1.0, 0.0), (0.0, 1.0), (1.0, math.inf)
    assert edges == [tight, tight, snaps, drops, moves]


@pytest.mark.parametrize(
    "nothing",
    [
        Attempt(),
        an_attempt(),
        an_attempt(seat_bur_mm=None, seat_diameter_mm=1.96),
        an_attempt(seat_bur_mm=0.0, seat_diameter_mm=1.96),
        an_attempt(stone_diameter_mm=None, fit="drops in"),
        an_attempt(fit="a word of their own"),
    ],
)
def test_nothing_read_is_no_reading(nothing: Attempt) -> None:
    """Without bur, stone or answer there is neither a reading nor a refusal."""
    assert seat_readings([nothing]) == ((), ())


def test_a_caliper_in_a_small_hole_is_refused() -> None:
    """A hole that reads far under its bur, or under what entered it, was read by flat jaws."""
    for values in (
        {"seat_diameter_mm": 1.79},
        {"seat_diameter_mm": 1.87, "fit": "enters tilted and snaps"},
        {"seat_diameter_mm": 1.90, "seat_go_mm": 1.96, "seat_nogo_mm": 1.98},
        {"seat_diameter_mm": 1.90, "fit": "drops in"},
    ):
        (_, (refused,)) = seat_readings([an_attempt(**values)])
        assert "flat inside jaws bridge the curve" in refused.fault.expected


def test_the_next_closest_reading_speaks_for_a_refused_one() -> None:
    """Pins still count where the caliper was refused."""
    readings, refused = seat_readings(
        [an_attempt(seat_diameter_mm=1.84, seat_go_mm=1.94, seat_nogo_mm=1.96)]
    )
    assert [limits(r) for r in readings] == [(0.04, 0.06, PIN_U_MM)]
    assert len(refused) == 1


def test_what_no_seat_of_the_bur_can_be_is_refused() -> None:
    """A slip of a digit, pins the wrong way round, a stone far wider than the bur that drops in."""
    wanted = "expected a seat of 1.80 to 2.20 mm from a bur of 1.9 mm"
    assert the_refusal(seat_diameter_mm=2.96).endswith(wanted)
    assert the_refusal(seat_diameter_mm=0.96).endswith(wanted)
    assert the_refusal(seat_diameter_mm=math.nan).endswith(wanted)
    assert the_refusal(seat_go_mm=2.94, seat_nogo_mm=2.96).endswith(wanted)
    assert the_refusal(stone_diameter_mm=2.5, fit="drops in").endswith(wanted)
    assert "smaller than the no-go pin" in the_refusal(seat_go_mm=1.96, seat_nogo_mm=1.94)


def test_shape_uses_and_evening_stand_beside_the_reading() -> None:
    """An unnamed shape is a setting bur's; a count no bur reaches is not known; evenings part."""
    later = BEGAN + timedelta(days=7)
    rows = [
        an_attempt(seat_diameter_mm=1.96, seat_bur_shape=None, seat_bur_uses=12),
        an_attempt(seat_diameter_mm=1.96, seat_bur_uses=120_000, began=later),
    ]
    first, second = seat_readings(rows)[0]
    assert (first.shape, first.uses, first.session) == ("setting", 12, 0)
    assert (second.shape, second.uses, second.session) == ("hart", None, 1)


@pytest.mark.parametrize(
    ("part", "count"), [("burnishing", 0), ("levelling", 0), ("width", 1), ("depth", 1)]
)
def test_a_seat_that_was_prepared_says_nothing_of_this_hand(part: str, count: int) -> None:
    """Only where the setter cut it, as in width and depth."""
    log = [an_attempt(kind="part", part=part, fit="drops in")]
    assert len(seat_readings(log)[0]) == count
