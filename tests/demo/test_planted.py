"""The simulated logs are what their plan says."""

from dataclasses import replace

import numpy as np
import pytest
from tests.simulated.planted import Cause, Plan, planted

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
