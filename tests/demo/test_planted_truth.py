"""Planted heights: what is judged follows from the table, and causes move it."""

from dataclasses import replace

import numpy as np
import pytest
from tests.simulated.planted import RATES, Cause, Lift, Plan, planted

PLAN = Plan(attempts=160, heights=True)


def test_high_stones_stand_higher_than_low_ones() -> None:
    """Written down on every attempt, good ones too."""
    log = planted(PLAN, 1).attempts
    heights = {
        word: [a.table_height_mm or 0.0 for a in log if (word in (a.result or ()))]
        for word in ("high", "good")
    }
    assert min(heights["high"]) > float(np.median(heights["good"]))
    assert all(a.table_height_mm is not None and a.table_tilt_deg is not None for a in log)


def test_each_defect_has_its_rate() -> None:
    """Over forty logs high and tilted come as often as the plan says (error 0.01)."""
    logs = [planted(PLAN, seed).attempts for seed in range(40)]
    for defect in ("high", "tilted"):
        share = np.mean([defect in (a.result or ()) for log in logs for a in log])
        assert float(share) == pytest.approx(RATES[defect], abs=0.03)


def test_a_cause_of_tilted_moves_the_tilt() -> None:
    """More spindle tilt, more lean."""
    plan = replace(PLAN, causes=(Cause("spindle_tilt_deg", "tilted"),))
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
