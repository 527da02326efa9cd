"""A simulated setter: how a seat comes out of a hand with given tools, and what is then seen.

The seat is `bur + overcut + tonight + wear + noise` wide, sunk to the wanted depth with a bias and
noise, and as far out of square as the spindle leaned. The result follows from the seat's geometry
and from how it was levelled and burnished; every chance below is an invention that puts failures
where a bench would expect them. Practice shrinks the noise
towards half of it, and a larger stone asks for more of everything. All chance comes
from the generator handed in.
"""

import math

import numpy as np

from platebook.analysis.variables.derived import NEEDED_DEPTH_RATIO
from platebook.values import Value

_WANTED_BELOW = 0.015
"""How far below the metal the table is meant to come, as a share of the diameter."""

_LEARNING_SETTINGS = 25.0


class SimulatedHand(Value):
    """A hand: lengths in millimetres, angles in degrees, chances from 0 to 1.

    `overcut_mm` is how much wider than the bur it cuts, `width_mm` and `depth_mm` the spread of
    width and depth at first, `shallow_mm` by how much too little it cuts when it hardly checks,
    `lean_deg` the usual lean of the spindle, `lean_unsupported_deg` what is added with the plate
    held in the hand. `burnish` is the chance that a snug stone still moves, at first; `shocks` that
    a stone chips while it is tapped level. `unsteady` multiplies all noise; `clock` is where on the
    rim faults like to lie, None for nowhere.
    """

    overcut_mm: float = 0.077
    width_mm: float = 0.034
    depth_mm: float = 0.042
    shallow_mm: float = 0.0
    lean_deg: float = 1.2
    lean_unsupported_deg: float = 1.0
    burnish: float = 0.08
    shocks: float = 0.04
    unsteady: float = 1.0
    clock: int | None = None


class BenchTonight(Value):
    """What one setting is done with. `tonight_mm` is how wide this evening cuts, over the usual."""

    stone_mm: float
    bur_mm: float
    bur_uses: int
    tonight_mm: float
    speed: str
    runout: str
    lubricant: str
    metal_state: str
    support: str
    punch: str
    polished: bool
    checks: str
    passes: str
    sterling: bool


class CutSeat(Value):
    """A seat as it truly is. `proud_mm` is the table above the metal before burnishing."""

    diameter_mm: float
    clearance_mm: float
    depth_mm: float
    proud_mm: float
    lean_deg: float
    stone_tilt_deg: float


class Seen(Value):
    """One defect with its severity."""

    defect: str
    severity: int


def noise_left(hand: SimulatedHand, settings: int, stone_mm: float) -> float:
    """The share of the hand's noise at this stone: less with practice, more with size."""
    return hand.unsteady * still_to_learn(settings) * (0.5 + 0.25 * stone_mm)


def still_to_learn(settings: int) -> float:
    """The share of the first noise that is left after this many settings: 1 towards a half."""
    return 0.5 + 0.5 * math.exp(-settings / _LEARNING_SETTINGS)


_SPEED_MM = {"slow": -0.010, "medium": 0.0, "fast": 0.032}
_RUNOUT_MM = {"none seen": 0.0, "slight": 0.010, "clear": 0.030}
_WEAR_MM_PER_SEAT = 0.0004
_CHECKED = {"0": 1.3, "1-2": 1.1, "3-5": 0.9, "6+": 0.8}


def cut_seat(
    hand: SimulatedHand, bench: BenchTonight, left: float, rng: np.random.Generator
) -> CutSeat:
    """One seat cut by this hand; `left` is the share of its first noise that is left."""
    diameter = (
        bench.bur_mm
        + hand.overcut_mm
        + bench.tonight_mm
        + _SPEED_MM[bench.speed]
        + _RUNOUT_MM[bench.runout]
        + _WEAR_MM_PER_SEAT * bench.bur_uses
        + rng.normal(0, hand.width_mm * left)
    )
    hardly_checked = bench.checks in {"0", "1-2"}
    needed = NEEDED_DEPTH_RATIO * bench.stone_mm
    depth = (
        needed
        + _WANTED_BELOW * bench.stone_mm
        - (hand.shallow_mm if hardly_checked else 0.0)
        + rng.normal(0, hand.depth_mm * left * _CHECKED[bench.checks])
    )
    unsupported = bench.support in {"hand", "bench pin"}
    lean = abs(rng.normal(0, hand.lean_deg * left))
    lean += hand.lean_unsupported_deg * rng.uniform(0.6, 1.4) if unsupported else 0.0
    return CutSeat(
        diameter_mm=diameter,
        clearance_mm=diameter - bench.stone_mm,
        depth_mm=depth,
        proud_mm=needed - depth,
        lean_deg=lean,
        stone_tilt_deg=0.6 * lean + abs(rng.normal(0, 0.6 * left)),
    )


def _logistic(x: float) -> float:
    return 1 / (1 + math.exp(-x))


def _by_size(value: float, *limits: float) -> int:
    """How many of the rising limits are exceeded: the severity."""
    return sum(value > limit for limit in limits)


def _loose(hand: SimulatedHand, bench: BenchTonight, seat: CutSeat, left: float) -> float:
    springs = 0.032 * (bench.metal_state == "worked") + 0.008 * bench.sterling
    closes = 0.008 * (bench.passes == "3+")
    wide = _logistic((seat.clearance_mm - 0.055 + springs - closes) / 0.010)
    return 1 - (1 - wide) * (1 - hand.burnish * left)


def _chipped(hand: SimulatedHand, bench: BenchTonight, seat: CutSeat) -> float:
    forced = 0.12 * (seat.clearance_mm < -0.05)
    hard = {"steel": 0.42, "brass": 0.04}.get(bench.punch, 0.0)
    taps = 1.0 if seat.stone_tilt_deg > 1.0 else 0.4
    return 0.01 + forced + (hand.shocks + hard) * taps * 0.8


def _marred(bench: BenchTonight) -> float:
    dry = 0.45 if bench.lubricant == "none" else 0.0
    worn = 0.022 * max(bench.bur_uses - 14, 0)
    return min(0.03 + dry + worn + (0.0 if bench.polished else 0.12), 0.9)


def judge(
    hand: SimulatedHand,
    bench: BenchTonight,
    seat: CutSeat,
    left: float,
    rng: np.random.Generator,
) -> tuple[Seen, ...]:
    """What is seen of a finished setting, at most three defects, the gravest first."""
    seen: list[Seen] = []
    stone = bench.stone_mm
    if rng.random() < _loose(hand, bench, seat, left):
        seen.append(Seen("loose", int(rng.choice((1, 2, 3), p=(0.25, 0.55, 0.20)))))
    elif rng.random() < 0.25 * _logistic((seat.clearance_mm - 0.05) / 0.02):
        seen.append(Seen("gap", int(rng.choice((1, 2), p=(0.5, 0.5)))))
    table = seat.proud_mm + rng.normal(0, 0.008)
    if severity := _by_size(table / stone, 0.015, 0.03, 0.08):
        seen.append(Seen("high", severity))
    if severity := _by_size(-table / stone, 0.04, 0.08, 0.15):
        seen.append(Seen("low", severity))
    if severity := _by_size(seat.stone_tilt_deg, 1.9, 3.0, 6.0):
        seen.append(Seen("tilted", severity))
    if rng.random() < _chipped(hand, bench, seat):
        seen.append(Seen("chipped", int(rng.choice((1, 2, 3), p=(0.3, 0.5, 0.2)))))
    if rng.random() < _marred(bench):
        seen.append(Seen("marred", int(rng.choice((1, 2), p=(0.4, 0.6)))))
    if rng.random() < 0.012:
        seen.append(Seen("scratched", int(rng.choice((1, 2)))))
    if rng.random() < 0.05 * left:
        seen.append(Seen("off mark", int(rng.choice((1, 2), p=(0.7, 0.3)))))
    return tuple(sorted(seen, key=lambda seen: -seen.severity)[:3])
