"""Simulated logs with planted truth, for tests and benchmarks: what goes with failure is known.

One simulated setter with two dozen habits. Habits stick within a session, skill improves, sessions
and grades have good and bad luck of their own, and the course moves stone and metal with the grade.
Nothing goes with failure but what the plan says. Everything comes from the seed.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from platebook.practice.attempt import Attempt
from platebook.practice.look import DEFECTS

Floats = NDArray[np.float64]
Skips = Literal["none", "by lot", "when good"]

STRONG = math.log(3.3)
"""A strong cause: odds 3.3 times as high for one standard deviation more."""

FIRST_EVENING = datetime(2026, 1, 12, 18, 30, tzinfo=UTC)
RATES: Mapping[str, float] = {
    "loose": 0.11,
    "high": 0.07,
    "tilted": 0.08,
    "chipped": 0.04,
    "marred": 0.05,
}
"""Chance of each defect at middling practice; together about three failures in ten."""

_GRADES = (
    ("copper-1.5", 1.5, "copper", 0.812),
    ("copper-2.0", 2.0, "copper", 0.812),
    ("copper-2.5", 2.5, "copper", 1.024),
    ("copper-3.0", 3.0, "copper", 1.024),
    ("sterling-2.0", 2.0, "sterling silver", 0.812),
)
_STEADY = 0.5
_SKILL = 0.35
_LUCK_SD = 0.5


@dataclass(frozen=True, slots=True)
class Cause:
    """What is planted: `size` is the log odds of the defect for one standard deviation more.

    With the form `distance` the distance from the wanted value counts, `sign` is then +1.
    """

    variable: str
    defect: str
    sign: int = 1
    form: Literal["linear", "distance"] = "linear"
    size: float = STRONG


@dataclass(frozen=True, slots=True)
class Plan:
    """What a simulated log is made of.

    `moves_grades` lets the course change stone and metal with the calendar. `skips` leaves out the
    readings of some attempts: a random two thirds, or four fifths of the good ones. The `drifting`
    measured habits follow the calendar. `luck_sd` is
    the spread of a session's own good or bad luck; `rates` are the defects' chances at middling
    practice.
    """

    attempts: int = 64
    causes: tuple[Cause, ...] = ()
    moves_grades: bool = True
    skips: Skips = "none"
    per_session: int = 8
    drifting: tuple[str, ...] = ()
    luck_sd: float = _LUCK_SD
    rates: Mapping[str, float] = field(default_factory=lambda: RATES)


@dataclass(frozen=True, slots=True)
class PlantedLog:
    """The attempts of one simulated setter, and the plan that is their truth."""

    attempts: tuple[Attempt, ...]
    plan: Plan


_LEVELS: Mapping[str, tuple[str, ...]] = {
    "runout": ("none seen", "slight", "clear"),
    "speed_step": ("slow", "medium", "fast"),
    "lubricant": ("none", "wax"),
    "fit_checks": ("0", "1-2", "3-5", "6+"),
    "ledge": ("even", "slightly wider one side", "clearly wider one side"),
    "metal_state": ("annealed today", "as bought", "worked"),
    "support": ("pitch", "clamp over a hole", "bench pin"),
    "light": ("one lamp", "daylight", "diffuse"),
    "effort": ("light", "firm", "hard"),
    "burnish_passes": ("1", "2", "3+"),
    "levelled_by": ("fell level", "pressed", "few taps", "many taps"),
    "seat_bur_shape": ("hart", "setting"),
    "opening_bur_shape": ("ball", "flame"),
    "handpiece": ("micromotor", "pendant"),
}
_MEASURED: Mapping[str, tuple[float, float]] = {
    "clearance_mm": (0.0, 0.05),
    "undersize_mm": (0.10, 0.04),
    "depth_error_mm": (0.02, 0.06),
    "pilot_ratio": (0.36, 0.04),
    "opening_ratio": (0.88, 0.04),
    "burnisher_tip_mm": (1.0, 0.2),
    "spindle_tilt_deg": (2.0, 1.0),
    "hammer_g": (60.0, 12.0),
    "magnification": (5.0, 1.5),
}
_YES_NO = ("burnisher_polished", "stone_checked")
_READINGS = (
    "fit_checks",
    "ledge",
    "seat_diameter_mm",
    "seat_depth_mm",
    "spindle_tilt_deg",
    "levelled_by",
    "effort",
    "burnish_passes",
)


def habits(
    rng: np.random.Generator, sessions: NDArray[np.intp], drifting: tuple[str, ...] = ()
) -> dict[str, Floats]:
    """Each habit as n numbers (choices as their place in the list), half of it the session's."""
    count = len(sessions)

    def sticky() -> Floats:
        evening = rng.standard_normal(int(sessions.max()) + 1)[sessions]
        return np.asarray(
            math.sqrt(_STEADY) * evening + math.sqrt(1 - _STEADY) * rng.standard_normal(count)
        )

    found: dict[str, Floats] = {}
    calendar = np.linspace(-1.5, 1.5, count)
    for name, (middle, spread) in _MEASURED.items():
        drift = calendar if name in drifting else 0.0
        found[name] = middle + spread * (sticky() + drift)
    # A seat follows its bur: the same habit seen through the cut's own scatter.
    tight = (found["undersize_mm"] - 0.10) / 0.04
    found["clearance_mm"] = 0.7 * found["clearance_mm"] - 0.035 * tight
    for name, levels in _LEVELS.items():
        cuts = np.array([-0.25, 0.6, 1.2][: len(levels) - 1]) if len(levels) > 2 else [0.3]
        found[name] = np.searchsorted(cuts, sticky()).astype(float)
    for name in _YES_NO:
        found[name] = (sticky() > -0.3).astype(float)
    found["seat_bur_uses"] = _wear(rng, count)
    found["stone_uses"] = rng.poisson(0.6, count).astype(float)
    return found


def _wear(rng: np.random.Generator, count: int) -> Floats:
    used = int(rng.integers(0, 15))
    found = []
    for _ in range(count):
        used = 0 if used > 15 and rng.random() < 0.08 else used + 1
        found.append(float(used))
    return np.array(found)


_TARGETS = {"clearance_mm": 0.0, "depth_error_mm": 0.0}


def _pull(cause: Cause, values: Mapping[str, Floats]) -> Floats:
    x = values[cause.variable]
    if cause.form == "distance":
        x = np.abs(x - _TARGETS.get(cause.variable, float(np.median(x))))
    spread = float(x.std()) or 1.0
    return np.asarray(cause.sign * cause.size * (x - x.mean()) / spread)


def _defects(
    plan: Plan, rng: np.random.Generator, values: Mapping[str, Floats], luck: Floats
) -> list[tuple[str, ...]]:
    practice = np.log(np.arange(1, plan.attempts + 1))
    skill = -_SKILL * (practice - practice.mean())
    seen: list[list[str]] = [[] for _ in range(plan.attempts)]
    for defect in DEFECTS:
        rate = plan.rates.get(defect, 0.0)
        if rate <= 0.0:
            continue
        eta = math.log(rate / (1 - rate)) + skill + luck
        for cause in plan.causes:
            if cause.defect == defect:
                eta = eta + _pull(cause, values)
        for place in np.flatnonzero(rng.random(plan.attempts) < 1 / (1 + np.exp(-eta))):
            seen[place].append(defect)
    return [tuple(found) or ("good",) for found in seen]


def _when(rng: np.random.Generator, sessions: NDArray[np.intp]) -> list[datetime]:
    found: list[datetime] = []
    evening = FIRST_EVENING
    for place, session in enumerate(sessions):
        if place and session != sessions[place - 1]:
            evening += timedelta(days=int(rng.integers(1, 8)))
            found.append(evening)
        elif place:
            found.append(found[-1] + timedelta(minutes=float(rng.uniform(9, 18))))
        else:
            found.append(evening)
    return found


def _fields(values: Mapping[str, Floats], place: int, stone: float) -> dict[str, object]:
    at = {name: float(x[place]) for name, x in values.items()}
    found: dict[str, object] = {name: levels[int(at[name])] for name, levels in _LEVELS.items()}
    found |= {name: bool(at[name]) for name in _YES_NO}
    found |= {
        "seat_bur_mm": round(stone - at["undersize_mm"], 3),
        "seat_diameter_mm": round(stone + at["clearance_mm"], 3),
        "seat_depth_mm": round(stone * 0.192 + at["depth_error_mm"], 3),
        "pilot_mm": round(stone * at["pilot_ratio"], 3),
        "opening_bur_mm": round(stone * at["opening_ratio"], 3),
        "burnisher_tip_mm": round(at["burnisher_tip_mm"], 2),
        "spindle_tilt_deg": round(max(at["spindle_tilt_deg"], 0.0), 1),
        "hammer_g": round(at["hammer_g"]),
        "magnification": round(max(at["magnification"], 1.0), 1),
        "seat_bur_uses": int(at["seat_bur_uses"]),
        "stone_uses": int(at["stone_uses"]),
    }
    return found


def _asked(plan: Plan, rng: np.random.Generator, result: tuple[str, ...]) -> bool:
    if plan.skips == "by lot":
        return bool(rng.random() < 1 / 3)
    return not (plan.skips == "when good" and result == ("good",) and rng.random() < 0.8)


def planted(plan: Plan, seed: int | list[int]) -> PlantedLog:
    """One simulated log after the plan."""
    rng = np.random.default_rng(seed)
    count = plan.attempts
    sessions = np.arange(count) // plan.per_session
    values = habits(rng, sessions, plan.drifting)
    moved = np.arange(count) * len(_GRADES) // max(count, 1)
    grades = moved if plan.moves_grades else np.full(count, 1)
    luck = plan.luck_sd * rng.standard_normal(int(sessions.max(initial=0)) + 1)[sessions]
    luck = luck + _LUCK_SD * rng.standard_normal(len(_GRADES))[grades]
    results = _defects(plan, rng, values, luck)
    attempts = []
    for place, began in enumerate(_when(rng, sessions)):
        name, stone, metal, sheet = _GRADES[grades[place]]
        size = round(stone + float(rng.normal(0, 0.01)), 3)
        fields = _fields(values, place, size)
        asked = _asked(plan, rng, results[place])
        if not asked:
            fields = {key: value for key, value in fields.items() if key not in _READINGS}
        attempts.append(
            Attempt(
                attempt_id=f"{place:06d}",
                setter_id="simulated",
                setter="simulated setter",
                began=began,
                minutes=10.0,
                grade=name,
                kind="whole",
                plate=f"{sessions[place]}",
                stone_material="cubic zirconia",
                stone_diameter_mm=size,
                metal=metal,
                sheet_mm=sheet,
                layers=1,
                seat_method="snap in",
                readings_asked=asked,
                result=results[place],
            ).with_values(**fields)
        )
    return PlantedLog(tuple(attempts), plan)
