"""A simulated hand cuts the seat that its numbers say, and what is plainly wrong is seen."""

import math
from itertools import pairwise
from statistics import fmean, stdev
from typing import Any

import numpy as np
import pytest
from tests.demo.bench import BENCH, LEVEL

from platebook.demo.simulated_setter import (
    CutSeat,
    Seen,
    SimulatedHand,
    cut_seat,
    judge,
    noise_left,
    still_to_learn,
)
from platebook.practice.defects import defects
from platebook.values import replace

STEADY = SimulatedHand(
    overcut_mm=0.08,
    width_mm=0.0,
    depth_mm=0.0,
    lean_deg=0.0,
    lean_unsupported_deg=2.0,
    burnish=0.0,
)


def _cut(hand: SimulatedHand = STEADY, seed: int = 1, **bench: Any) -> CutSeat:
    rng = np.random.default_rng(seed)
    return cut_seat(hand, replace(BENCH, **bench), 1.0, rng)


def _looked(seat: CutSeat, seed: int = 2, **bench: Any) -> tuple[Seen, ...]:
    rng = np.random.default_rng(seed)
    return judge(STEADY, replace(BENCH, **bench), seat, 1.0, rng)


def _share(defect: str, seat: CutSeat = LEVEL, hand: SimulatedHand = STEADY, **bench: Any) -> float:
    """How many of 1500 settings in this seat show the defect."""
    rng, tonight = np.random.default_rng(5), replace(BENCH, **bench)
    looks = [judge(hand, tonight, seat, 1.0, rng) for _ in range(1500)]
    return fmean(any(s.defect == defect for s in seen) for seen in looks)


def test_a_steady_hand_cuts_the_bur_and_its_overcut() -> None:
    """By hand: 1.90 and 0.08 and 0.01 for this evening is 1.99, 0.01 under a 2 mm stone."""
    seat = _cut(tonight_mm=0.01)
    assert seat.diameter_mm == pytest.approx(1.99)
    assert seat.clearance_mm == pytest.approx(-0.01)


@pytest.mark.parametrize(("bur_mm", "overcut_mm"), [(1.4, 0.0), (1.9, 0.05), (2.95, 0.12)])
def test_the_seat_follows_bur_and_hand_one_to_one(bur_mm: float, overcut_mm: float) -> None:
    """The seat is the sum of both (module's own definition), whatever the stone."""
    seat = _cut(replace(STEADY, overcut_mm=overcut_mm), bur_mm=bur_mm, stone_mm=3.0)
    assert seat.diameter_mm == pytest.approx(bur_mm + overcut_mm)
    assert seat.clearance_mm == pytest.approx(bur_mm + overcut_mm - 3.0)


@pytest.mark.parametrize(
    "steps",
    [
        [{"speed": speed} for speed in ("slow", "medium", "fast")],
        [{"runout": runout} for runout in ("none seen", "slight", "clear")],
        [{"bur_uses": uses} for uses in (0, 10, 40)],
    ],
)
def test_speed_runout_and_wear_widen_the_seat(steps: list[dict[str, Any]]) -> None:
    """Each step further cuts wider, as common practice has it."""
    widths = [_cut(**bench).diameter_mm for bench in steps]
    assert all(before < after for before, after in pairwise(widths))


def test_a_steady_hand_leaves_the_table_just_below_the_metal() -> None:
    """Crown 16.2 and girdle 3 percent (Tolkowsky) of 2 mm are 0.384; 0.015 diameters more."""
    seat = _cut()
    assert seat.depth_mm == pytest.approx(0.384 + 0.030)
    assert seat.proud_mm == pytest.approx(-0.030)


@pytest.mark.parametrize(("checks", "less_mm"), [("0", 0.1), ("1-2", 0.1), ("3-5", 0), ("6+", 0)])
def test_who_hardly_checks_cuts_too_little(checks: str, less_mm: float) -> None:
    """By the hand's own number of millimetres, and only below three checks."""
    shallow = replace(STEADY, shallow_mm=0.1)
    assert _cut(shallow, checks=checks).depth_mm == pytest.approx(0.414 - less_mm)


def test_width_and_depth_scatter_as_the_hand_does() -> None:
    """2000 seats: a standard deviation of a normal is known to 1.6 % then; 5 % allowed."""
    hand = SimulatedHand(width_mm=0.03, depth_mm=0.05)
    rng = np.random.default_rng(3)
    seats = [cut_seat(hand, replace(BENCH, checks="3-5"), 0.5, rng) for _ in range(2000)]
    assert stdev(seat.diameter_mm for seat in seats) == pytest.approx(0.015, rel=0.05)
    assert stdev(seat.depth_mm for seat in seats) < 0.5 * 0.05


def test_more_checks_scatter_the_depth_less() -> None:
    """The same luck, with each more careful way of checking, lies nearer to what was wanted."""
    hand = replace(STEADY, depth_mm=0.05)
    off = [abs(_cut(hand, checks=c).depth_mm - 0.414) for c in ("0", "1-2", "3-5", "6+")]
    assert all(before > after for before, after in pairwise(off))


def test_the_spindle_leans_by_half_a_normal_on_a_held_plate() -> None:
    """Mean of |N(0, 1.2°)| is 1.2 √(2/π) = 0.957°; its standard error over 2000 is 0.016°."""
    hand = replace(STEADY, lean_deg=1.2)
    leans = [_cut(hand, seed).lean_deg for seed in range(2000)]
    assert fmean(leans) == pytest.approx(1.2 * math.sqrt(2 / math.pi), abs=0.05)


@pytest.mark.parametrize("support", ["hand", "bench pin"])
def test_a_plate_in_the_hand_lets_the_spindle_lean(support: str) -> None:
    """By about the hand's own number of degrees, never by less than half; held it does not."""
    leans = [_cut(seed=seed, support=support).lean_deg for seed in range(300)]
    assert fmean(leans) == pytest.approx(2.0, abs=0.1)
    assert min(leans) > 1.0
    assert _cut().lean_deg == 0.0


def test_a_stone_leans_with_its_seat() -> None:
    """The same luck under a spindle that leans leaves the stone more out of level."""
    upright = [_cut(seed=seed).stone_tilt_deg for seed in range(50)]
    leaning = [_cut(seed=seed, support="hand").stone_tilt_deg for seed in range(50)]
    assert fmean(leaning) > fmean(upright) + 0.5


def test_practice_takes_half_of_the_noise_at_most() -> None:
    """All of it at first, half of it in the end, and e⁻¹ of the other half after 25 settings."""
    assert still_to_learn(0) == 1.0
    assert still_to_learn(25) == pytest.approx((1 + math.exp(-1)) / 2)
    assert still_to_learn(10_000) == 0.5
    left = [still_to_learn(n) for n in range(100)]
    assert all(before > after for before, after in pairwise(left))


def test_an_unsteady_hand_and_a_larger_stone_have_more_noise() -> None:
    """A 2 mm stone is the measure: all of the noise on the first evening."""
    hand = SimulatedHand()
    assert noise_left(hand, 0, 2.0) == 1.0
    assert noise_left(replace(hand, unsteady=1.4), 0, 2.0) == pytest.approx(1.4)
    assert noise_left(hand, 0, 1.5) < 1.0 < noise_left(hand, 0, 3.0)


@pytest.mark.parametrize(
    ("defect", "seat"),
    [
        ("high", replace(LEVEL, proud_mm=0.3)),
        ("low", replace(LEVEL, proud_mm=-0.5)),
        ("tilted", replace(LEVEL, stone_tilt_deg=10.0)),
        ("loose", replace(LEVEL, clearance_mm=0.3)),
    ],
)
def test_what_is_plainly_wrong_is_always_seen(defect: str, seat: CutSeat) -> None:
    """A table 0.3 mm proud, 0.5 mm sunk or 10° askew, and a seat 0.3 mm too wide."""
    assert _share(defect, seat) == 1.0
    assert _share(defect) < 0.02


def test_a_snug_stone_still_moves_as_often_as_the_hand_burnishes_badly() -> None:
    """A chance of 0.2 over 1500 settings: three standard errors are 0.031."""
    badly = replace(STEADY, burnish=0.2)
    snug = replace(LEVEL, clearance_mm=-0.04)
    assert _share("loose", snug, badly) == pytest.approx(0.2, abs=0.031)


@pytest.mark.parametrize(("defect", "sign"), [("high", 1), ("low", -1)])
def test_the_farther_from_the_metal_the_graver(defect: str, sign: int) -> None:
    """A table 0.19 and 0.5 mm off, a tenth and a quarter of the stone."""
    severities = [
        seen.severity
        for off_mm in (0.19, 0.5)
        for seen in _looked(replace(LEVEL, proud_mm=sign * off_mm))
        if seen.defect == defect
    ]
    assert len(severities) == 2
    assert severities == sorted(severities)
    assert severities[-1] == 3


@pytest.mark.parametrize(
    ("defect", "bad"),
    [
        ("chipped", {"punch": "steel"}),
        ("marred", {"lubricant": "none"}),
        ("marred", {"polished": False}),
        ("marred", {"bur_uses": 30}),
    ],
)
def test_bad_tools_show_on_the_setting(defect: str, bad: dict[str, Any]) -> None:
    """A steel punch chips; a dry or rough burnisher and a worn bur leave marks."""
    assert _share(defect, **bad) > _share(defect) + 0.05


def test_worked_sheet_springs_back_from_the_stone() -> None:
    """In a seat that just holds, a stone comes loose oftener where the metal is hard."""
    just = replace(LEVEL, clearance_mm=0.03)
    assert _share("loose", just, metal_state="worked") > _share("loose", just) + 0.2


def test_three_defects_at_most_and_the_gravest_first() -> None:
    """Even where everything is wrong; no stone is both loose and merely gaping, high and low."""
    awful = CutSeat(2.3, 0.3, 0.1, 0.3, 10.0, 10.0)
    for seed in range(200):
        seen = _looked(awful, seed, punch="steel", lubricant="none", polished=False)
        assert len(seen) == 3
        severities = [s.severity for s in seen]
        assert severities == sorted(severities, reverse=True)
    for seed in range(500):
        names = [s.defect for s in _looked(replace(LEVEL, clearance_mm=0.05), seed)]
        assert len(set(names)) == len(names)
        assert not {"loose", "gap"} <= set(names)


def test_what_is_seen_is_spelled_as_the_record_has_it() -> None:
    """Every defect is one of the record's, with a severity from slight to lost."""
    seats = [_cut(SimulatedHand(), seed) for seed in range(400)]
    seen = [s for seed, seat in enumerate(seats) for s in _looked(seat, seed)]
    assert {s.defect for s in seen} <= set(defects())
    assert {s.severity for s in seen} <= {1, 2, 3}


def test_the_same_generator_gives_the_same_seat_and_look() -> None:
    """All chance comes from the generator handed in."""
    assert _cut(SimulatedHand(), 9) == _cut(SimulatedHand(), 9)
    assert _cut(SimulatedHand(), 9) != _cut(SimulatedHand(), 10)
    assert _looked(LEVEL, 9) == _looked(LEVEL, 9)
