"""What comes before the seat: planted wear is found from measured seats, bad seats get words."""

import dataclasses
import warnings

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.simulated.planted import Lift, Plan, planted

from platebook.analysis.findings.measured.measured_responses import measured_overcut
from platebook.analysis.findings.measured.upstream import (
    Upstream,
    prepared_seats,
    seats_measured,
    upstream,
)
from platebook.analysis.measurements.seat_readings import CUSTOM_EDGE_MM
from platebook.analysis.models.censored import OVERCUT
from platebook.practice.attempt import Attempt
from platebook.values import replace

WORN = Plan(attempts=96, lifts=(Lift("seat_bur_uses", "overcut", 0.03),))
LOG = planted(WORN, 2).attempts
FEW = settings(max_examples=6, deadline=None)


def _answers(attempts: tuple[Attempt, ...] | list[Attempt]) -> dict[str, Upstream]:
    with warnings.catch_warnings(), np.errstate(all="raise", under="ignore"):
        warnings.simplefilter("error")
        return {answer.response.name: answer for answer in upstream(attempts, seed=7)}


def _odds(attempts: tuple[Attempt, ...] | list[Attempt]) -> dict[str, float]:
    seats = seats_measured(attempts, OVERCUT, measured_overcut)
    return {ranked.family: ranked.log_odds for ranked in prepared_seats(seats).search().ranked()}


def _by_fit(attempt: Attempt) -> Attempt:
    """Only the stone's own answer is known of the seat."""
    apart = (attempt.seat_diameter_mm or 0.0) - (attempt.stone_diameter_mm or 0.0)
    words = ("enters with a firm push", "enters tilted and snaps", "drops in", "drops in and moves")
    place = sum(apart > edge for edge in (-CUSTOM_EDGE_MM, 0.0, CUSTOM_EDGE_MM))
    return replace(attempt, seat_diameter_mm=None, fit=words[place])


def _by_pins(attempt: Attempt) -> Attempt:
    seat = attempt.seat_diameter_mm or 0.0
    go = round(np.floor(seat / 0.02 + 1e-9) * 0.02, 3)
    return replace(attempt, seat_diameter_mm=None, seat_go_mm=go, seat_nogo_mm=round(go + 0.02, 3))


@pytest.mark.parametrize("way", ["read", "pins", "fit"])
def test_planted_wear_stands_first_however_the_seats_were_read(way: str) -> None:
    """By a direct reading, between pins, or beside the stone alone."""
    read = {"read": lambda a: a, "pins": _by_pins, "fit": _by_fit}[way]
    answer = _answers([read(attempt) for attempt in LOG])["overcut"]
    assert answer.measured == 96
    assert [(f.ranked.family, f.claimed) for f in answer.families][:1] == [
        ("wear of the seat bur", True)
    ]


def test_seats_of_parts_and_without_a_look_are_measured_too() -> None:
    """Parts and attempts without a result count by their measured seats as whole settings do."""
    others = [replace(a, kind="part", part="width", result=("missed",)) for a in LOG[:20]]
    unjudged = [replace(a, result=None) for a in LOG[20:40]]
    assert _answers([*others, *unjudged])["overcut"].measured == 40


def test_claims_stand_between_checkpoints() -> None:
    """At 96 seats the decision is that of the first 72."""
    families = [
        [f.ranked.family for f in _answers(LOG[:n])["overcut"].families if f.claimed]
        for n in (72, 96)
    ]
    assert families[0] == families[1] == ["wear of the seat bur"]


@pytest.mark.parametrize("count", [0, 1, 19])
def test_few_seats_are_counted_and_not_asked_about(count: int) -> None:
    """Below twenty measured seats there is nothing to find."""
    answer = _answers(LOG[:count])["overcut"]
    assert (answer.measured, answer.checked, answer.families) == (count, 0, ())


def test_seats_that_all_read_the_same_are_not_asked_about() -> None:
    """Where all readings are alike there is nothing to explain, so no variable is asked about."""
    flat = [replace(a, stone_diameter_mm=2.0, seat_bur_mm=1.9, seat_diameter_mm=1.96) for a in LOG]
    answer = _answers(flat)["overcut"]
    assert (answer.measured, answer.checked, answer.families) == (96, 0, ())


def test_seats_all_on_one_side_of_the_stone_find_nothing() -> None:
    """Every stone drops in and moves: only the stones' own sizes differ, so nothing stands out."""
    wide = [replace(a, seat_diameter_mm=None, fit="drops in and moves") for a in LOG]
    assert [f for f in _answers(wide)["overcut"].families if f.claimed] == []


def test_two_times_at_the_same_second_and_no_times_get_an_answer() -> None:
    """An import without hours gives one session or none, and still an answer."""
    same = [replace(a, began=LOG[0].began) for a in LOG[:40]]
    none = [replace(a, began=None, attempt_id=None) for a in LOG[:40]]
    assert [_answers(rows)["overcut"].measured for rows in (same, none)] == [40, 40]


@FEW
@given(st.randoms(use_true_random=False))
def test_row_order_does_not_matter(random: object) -> None:
    """Seats are put in order by their time."""
    order = list(range(48))
    random.shuffle(order)  # type: ignore[attr-defined]  # the strategy gives a random.Random
    assert _odds([LOG[i] for i in order]) == pytest.approx(_odds(LOG[:48]))


@FEW
@given(st.floats(min_value=0.01, max_value=100.0))
def test_the_unit_of_a_variable_does_not_matter(scale: float) -> None:
    """Speed in turns a minute or a second gives the same odds."""
    rpm = [replace(a, spindle_rpm=1000.0 + 10 * (i * 7 % 31)) for i, a in enumerate(LOG[:48])]
    other = [replace(a, spindle_rpm=(a.spindle_rpm or 0.0) * scale) for a in rpm]
    assert _odds(other) == pytest.approx(_odds(rpm), abs=1e-6)


@FEW
@given(st.integers(min_value=1, max_value=400))
def test_the_numbers_of_the_evenings_do_not_matter(days: int) -> None:
    """The same evenings on other days give the same odds."""
    moved = [
        replace(a, began=a.began.replace(year=a.began.year + days)) for a in LOG[:48] if a.began
    ]
    odds, other = _odds(LOG[:48]), _odds(moved)
    odds.pop("days since practice", None), other.pop("days since practice", None)
    assert max(other, key=lambda name: other[name]) == max(odds, key=lambda name: odds[name])


def test_a_constant_column_changes_nothing() -> None:
    """One more column that never changes takes nothing from the others."""
    other = [replace(a, handpiece="pendant") for a in LOG]
    without = [replace(a, handpiece=None) for a in LOG]
    assert _odds(other) == _odds(without)


def test_nothing_planted_shows_few_claims() -> None:
    """Thirty logs with nothing behind their seats: at most three claim anything."""
    plan = dataclasses.replace(WORN, attempts=40, lifts=())
    claims = [
        any(f.claimed for f in answer.families)
        for seed in range(30)
        for answer in upstream(planted(plan, [8, seed]).attempts, seed=1)
    ]
    assert sum(claims) <= 3
