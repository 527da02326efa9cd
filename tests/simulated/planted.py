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
from tests.simulated.planted_truth import LEVELS, READINGS, YES_NO, Tables, habits, tables

from platebook.practice.attempt import Attempt
from platebook.practice.results import DEFECTS

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
class Lift:
    """What makes seats wider or deeper: `size_mm` for one standard deviation more."""

    variable: str
    response: Literal["overcut", "depth error"]
    size_mm: float


@dataclass(frozen=True, slots=True)
class Plan:
    """What a simulated log is made of.

    `moves_grades` lets the course change stone and metal with the calendar. `skips` leaves out the
    readings of some attempts: a random two thirds, or four fifths of the good ones. The `drifting`
    measured habits follow the calendar. `luck_sd` is
    the spread of a session's own good or bad luck; `rates` are the defects' chances at middling
    practice. `lifts` act on the seat, and on a defect only through it. With `heights` high, low
    and tilted follow from the table, and height and tilt are written down on every attempt.
    """

    attempts: int = 64
    causes: tuple[Cause, ...] = ()
    moves_grades: bool = True
    skips: Skips = "none"
    per_session: int = 8
    drifting: tuple[str, ...] = ()
    luck_sd: float = _LUCK_SD
    rates: Mapping[str, float] = field(default_factory=lambda: RATES)
    lifts: tuple[Lift, ...] = ()
    heights: bool = False


FEW_CHECKS = Plan(
    attempts=64,
    causes=(Cause("fit_checks", "high", -1, size=1.6),),
    rates={**RATES, "high": 0.15},
    heights=True,
)
"""High stones behind few checks of the fit, in a log that has height and tilt written down."""


@dataclass(frozen=True, slots=True)
class PlantedLog:
    """The attempts of one simulated setter, and the plan that is their truth."""

    attempts: tuple[Attempt, ...]
    plan: Plan


_TARGETS = {"clearance_mm": 0.0, "depth_error_mm": 0.0}


def _pull(cause: Cause, values: Mapping[str, Floats]) -> Floats:
    x = values[cause.variable]
    if cause.form == "distance":
        x = np.abs(x - _TARGETS.get(cause.variable, float(np.median(x))))
    spread = float(x.std()) or 1.0
    return np.asarray(cause.sign * cause.size * (x - x.mean()) / spread)


def _pulls(plan: Plan, values: Mapping[str, Floats], defect: str) -> Floats:
    pulls = [_pull(cause, values) for cause in plan.causes if cause.defect == defect]
    return np.asarray(sum(pulls, np.zeros(plan.attempts)), dtype=float)


def _tables(
    plan: Plan, rng: np.random.Generator, values: Mapping[str, Floats], luck: Floats
) -> Tables:
    pulls = {defect: _pulls(plan, values, defect) for defect in ("high", "low", "tilted")}
    pulls["high"], pulls["tilted"] = pulls["high"] + luck, pulls["tilted"] + luck
    skill = _skill(plan)
    chances = {
        defect: 1 / (1 + np.exp(-(math.log(rate / (1 - rate)) + skill)))
        for defect, rate in plan.rates.items()
        if rate > 0.0
    }
    return tables(rng, chances, pulls)


def _skill(plan: Plan) -> Floats:
    practice = np.log(np.arange(1, plan.attempts + 1))
    return np.asarray(-_SKILL * (practice - practice.mean()), dtype=float)


def _defects(
    plan: Plan,
    rng: np.random.Generator,
    values: Mapping[str, Floats],
    luck: Floats,
    read: Tables | None,
) -> list[tuple[str, ...]]:
    seen: list[list[str]] = [[] for _ in range(plan.attempts)]
    for defect in DEFECTS:
        rate = plan.rates.get(defect, 0.0)
        if rate <= 0.0:
            continue
        eta = math.log(rate / (1 - rate)) + _skill(plan) + luck + _pulls(plan, values, defect)
        hits = rng.random(plan.attempts) < 1 / (1 + np.exp(-eta))
        if read is not None and defect in read.judged:
            hits = read.judged[defect]
        for place in np.flatnonzero(hits):
            seen[place].append(defect)
    return [tuple(defects) or ("good",) for defects in seen]


_LIFTED = {"overcut": "clearance_mm", "depth error": "depth_error_mm"}


def _lift(plan: Plan, values: dict[str, Floats]) -> None:
    for lift in plan.lifts:
        x = values[lift.variable]
        moved = lift.size_mm * (x - x.mean()) / (float(x.std()) or 1.0)
        values[_LIFTED[lift.response]] = values[_LIFTED[lift.response]] + moved


def _began(rng: np.random.Generator, sessions: NDArray[np.intp]) -> list[datetime]:
    evenings: list[datetime] = []
    evening = FIRST_EVENING
    for place, session in enumerate(sessions):
        if place and session != sessions[place - 1]:
            evening += timedelta(days=int(rng.integers(1, 8)))
            evenings.append(evening)
        elif place:
            evenings.append(evenings[-1] + timedelta(minutes=float(rng.uniform(9, 18))))
        else:
            evenings.append(evening)
    return evenings


def _fields(values: Mapping[str, Floats], place: int, stone: float) -> dict[str, object]:
    at = {name: float(x[place]) for name, x in values.items()}
    fields: dict[str, object] = {name: levels[int(at[name])] for name, levels in LEVELS.items()}
    fields |= {name: bool(at[name]) for name in YES_NO}
    fields |= {
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
    return fields


def _readings_asked(plan: Plan, rng: np.random.Generator, result: tuple[str, ...]) -> bool:
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
    _lift(plan, values)
    read = _tables(plan, rng, values, luck) if plan.heights else None
    results = _defects(plan, rng, values, luck, read)
    attempts = []
    for place, began in enumerate(_began(rng, sessions)):
        name, stone, metal, sheet = _GRADES[grades[place]]
        size = round(stone + float(rng.normal(0, 0.01)), 3)
        fields = _fields(values, place, size)
        if read is not None:
            fields["table_height_mm"] = float(read.height_mm[place])
            fields["table_tilt_deg"] = float(read.tilt_deg[place])
        asked = _readings_asked(plan, rng, results[place])
        if not asked:
            fields = {key: value for key, value in fields.items() if key not in READINGS}
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
