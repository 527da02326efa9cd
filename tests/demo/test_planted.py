"""The simulated logs are what their plan says; what is judged follows from the planted table."""

from dataclasses import replace

import numpy as np
import pytest
from tests.simulated.planted import RATES, Cause, Lift, Plan, planted

from platebook.practice.fields import choices, fields

PLAN = Plan(attempts=160, causes=(Cause("clearance_mm", "loose"),))


def _clearance(plan: Plan, seed: int) -> tuple[np.ndarray, np.ndarray]:
    attempts = planted(plan, seed).attempts
    x = [(a.seat_diameter_mm or 0.0) - (a.stone_diameter_mm or 0.0) for a in attempts]
    return np.array(x), np.array(["loose" in (a.result or ()) for a in attempts])


def test_the_same_plan_and_seed_give_the_same_log() -> None:
    """Everything comes from the seed."""
    assert planted(PLAN, 3) == planted(PLAN, 3)
    assert planted(PLAN, 3) != planted(PLAN, 4)


def test_a_planted_cause_goes_with_its_defect_and_nothing_does_without() -> None:
    """Over twenty logs loose seats are wider where that was planted, and only there."""
    gaps = {}
    for name, plan in (("planted", PLAN), ("nothing", replace(PLAN, causes=()))):
        pairs = [_clearance(plan, seed) for seed in range(20)]
        gaps[name] = np.mean([x[bad].mean() - x[~bad].mean() for x, bad in pairs if bad.any()])
    assert gaps["planted"] > 0.03
    assert abs(gaps["nothing"]) < 0.01


def test_about_three_attempts_in_ten_fail() -> None:
    """Without a cause the failure rate is what the defects' rates say together."""
    rates = [
        np.mean([a.result != ("good",) for a in planted(Plan(attempts=160), seed).attempts])
        for seed in range(20)
    ]
    assert 0.25 < float(np.mean(rates)) < 0.42


def test_every_choice_is_one_of_the_record() -> None:
    """Simulated values are spelled as the record spells them."""
    listed = {name: {c.value for c in values} for name, values in choices().items()}
    for attempt in planted(PLAN, 1).attempts:
        for name in fields():
            value = getattr(attempt, name, None)
            if name in listed and isinstance(value, str):
                assert value in listed[name]


@pytest.mark.parametrize(("skips", "low", "high"), [("by lot", 0.5, 0.8), ("when good", 0.35, 0.7)])
def test_skipped_readings_are_left_empty(skips: str, low: float, high: float) -> None:
    """Left out by lot, or mostly when the setting was good."""
    log = planted(Plan(attempts=160, skips=skips), 2)  # type: ignore[arg-type]  # two of its words
    empty = [a.seat_diameter_mm is None for a in log.attempts]
    assert low < float(np.mean(empty)) < high
    assert [a.readings_asked for a in log.attempts] == [not e for e in empty]


WITH_HEIGHTS = Plan(attempts=160, heights=True)


def test_high_stones_stand_higher_than_low_ones() -> None:
    """Written down on every attempt, good ones too."""
    log = planted(WITH_HEIGHTS, 1).attempts
    heights = {
        word: [a.table_height_mm or 0.0 for a in log if (word in (a.result or ()))]
        for word in ("high", "good")
    }
    assert min(heights["high"]) > float(np.median(heights["good"]))
    assert all(a.table_height_mm is not None and a.table_tilt_deg is not None for a in log)


def test_each_defect_has_its_rate() -> None:
    """Over forty logs high and tilted come as often as the plan says (error 0.01)."""
    logs = [planted(WITH_HEIGHTS, seed).attempts for seed in range(40)]
    for defect in ("high", "tilted"):
        share = np.mean([defect in (a.result or ()) for log in logs for a in log])
        assert float(share) == pytest.approx(RATES[defect], abs=0.03)


def test_a_cause_of_tilted_moves_the_tilt() -> None:
    """More spindle tilt, more lean."""
    plan = replace(WITH_HEIGHTS, causes=(Cause("spindle_tilt_deg", "tilted"),))
    log = planted(plan, 3).attempts
    pairs = [(a.spindle_tilt_deg or 0.0, a.table_tilt_deg or 0.0) for a in log]
    assert float(np.corrcoef(np.array(pairs).T)[0, 1]) > 0.3


def test_a_lift_widens_the_seat_and_nothing_else() -> None:
    """Each standard deviation of wear adds its size to the seat, and the result follows it."""
    plan = Plan(attempts=80, lifts=(Lift("seat_bur_uses", "overcut", 0.02),))
    plain, lifted = (planted(p, 5).attempts for p in (replace(plan, lifts=()), plan))
    more = [
        (b.seat_diameter_mm or 0.0) - (a.seat_diameter_mm or 0.0)
        for a, b in zip(plain, lifted, strict=True)
    ]
    assert float(np.std(more)) == pytest.approx(0.02, abs=0.001)
    assert [a.seat_depth_mm for a in plain] == [a.seat_depth_mm for a in lifted]
