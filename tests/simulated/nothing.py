"""Simulated logs in which nothing goes with failure, in the ways that logs come to look otherwise.

`NULLS` names each way; every log comes from its seed. Whatever is claimed in one of them is false.
"""

import dataclasses
import itertools
from collections.abc import Callable, Mapping
from datetime import timedelta

import numpy as np
from tests.simulated.planted import RATES, Plan, planted

from platebook.practice.attempt import Attempt
from platebook.values import replace

DRIFTING = ("magnification", "hammer_g", "burnisher_tip_mm", "pilot_ratio", "spindle_tilt_deg")

EIGHT_STONES = (
    "cubic zirconia",
    "sapphire",
    "spinel",
    "moissanite",
    "topaz",
    "garnet",
    "peridot",
    "opal",
)

Seed = list[int]
Log = tuple[Attempt, ...]


def _rng(seed: Seed) -> np.random.Generator:
    return np.random.default_rng([*seed, 77])


def _planned(plan: Plan) -> Callable[[int, Seed], Log]:
    return lambda attempts, seed: (
        planted(dataclasses.replace(plan, attempts=attempts), seed).attempts
    )


def _sessions(log: Log) -> list[str | None]:
    return list(dict.fromkeys(attempt.plate for attempt in log))


def _defect(rng: np.random.Generator) -> tuple[str, ...]:
    rates = np.array(list(RATES.values()))
    return (list(RATES)[rng.choice(len(rates), p=rates / rates.sum())],)


def one_evening_failed(attempts: int, seed: Seed) -> Log:
    """Every attempt of one evening failed: in every other log all in the same way."""
    log, rng = planted(Plan(attempts), seed).attempts, _rng(seed)
    evenings = _sessions(log)
    bad = evenings[int(rng.integers(len(evenings)))]
    same = _defect(rng) if rng.random() < 0.5 else None
    return tuple(replace(a, result=same or _defect(rng)) if a.plate == bad else a for a in log)


def missing_by_size(attempts: int, seed: Seed) -> Log:
    """Three in five readings of the larger half were not written down."""
    log, rng = planted(Plan(attempts), seed).attempts, _rng(seed)
    measured = ("seat_diameter_mm", "seat_depth_mm", "spindle_tilt_deg", "burnisher_tip_mm")
    for name in measured:
        middle = float(np.median([getattr(a, name) for a in log]))
        hidden = rng.random(attempts) < 0.6
        log = tuple(
            a.with_values(**{name: None}) if hide and getattr(a, name) > middle else a
            for a, hide in zip(log, hidden, strict=True)
        )
    return log


def reacting(attempts: int, seed: Seed) -> Log:
    """After a failure the next attempt has more checks, a slow spindle, a light hand, a new bur."""
    log = planted(Plan(attempts), seed).attempts
    told: list[Attempt] = list(log[:1])
    for before, attempt in itertools.pairwise(log):
        changed = attempt
        if before.result != ("good",) and before.plate == attempt.plate:
            changed = attempt.with_values(
                fit_checks="6+", speed_step="slow", effort="light", seat_bur_uses=0
            )
        told.append(changed)
    return tuple(told)


def rows_twice(attempts: int, seed: Seed) -> Log:
    """Each attempt was typed in twice, the second a minute later."""
    log = planted(Plan((attempts + 1) // 2), seed).attempts
    twice: list[Attempt] = []
    for attempt in log:
        began = attempt.began
        again = None if began is None else began + timedelta(minutes=1)
        twice += [attempt, replace(attempt, attempt_id=f"{attempt.attempt_id}b", began=again)]
    return tuple(twice[:attempts])


def eight_rare_levels(attempts: int, seed: Seed) -> Log:
    """Eight ways of light, each for an evening, and eight kinds of stone as they come."""
    log, rng = planted(Plan(attempts), seed).attempts, _rng(seed)
    evening = {plate: f"light {rng.integers(8)}" for plate in _sessions(log)}
    return tuple(
        a.with_values(light=evening[a.plate], stone_material=EIGHT_STONES[rng.integers(8)])
        for a in log
    )


def step_in_skill(attempts: int, seed: Seed) -> Log:
    """Half way the setter learns something: of what would fail after it three in five come out."""
    rates = {defect: 1.5 * rate for defect, rate in RATES.items()}
    log, rng = planted(Plan(attempts, rates=rates), seed).attempts, _rng(seed)
    saved = rng.random(attempts) < 0.6
    return tuple(
        replace(a, result=("good",)) if place >= attempts // 2 and saved[place] else a
        for place, a in enumerate(log)
    )


def change_of_tool(attempts: int, seed: Seed) -> Log:
    """Skill steps as above, and tools change for good at other times."""
    log, rng = step_in_skill(attempts, seed), _rng([*seed, 1])
    at = rng.integers(attempts // 4, 3 * attempts // 4, size=3)
    return tuple(
        a.with_values(
            handpiece="pendant" if place >= at[0] else "micromotor",
            seat_bur_shape="hart" if place >= at[1] else "setting",
            burnisher_tip_mm=0.8 if place >= at[2] else 1.2,
        )
        for place, a in enumerate(log)
    )


def no_dates(attempts: int, seed: Seed) -> Log:
    """Nobody wrote down when; attempts of a plate are together."""
    return tuple(replace(a, began=None) for a in planted(Plan(attempts), seed).attempts)


NULLS: Mapping[str, Callable[[int, Seed], Log]] = {
    "nothing matters": _planned(Plan(moves_grades=False)),
    "one evening wholly failed": one_evening_failed,
    "evenings that differ, sd 0.5": _planned(Plan(per_session=5)),
    "evenings that differ, sd 1.0": _planned(Plan(luck_sd=1.0)),
    "decoys follow the calendar": _planned(Plan(moves_grades=False, drifting=DRIFTING)),
    "the course moves stone and metal": _planned(Plan()),
    "readings on failures only": _planned(Plan(skips="when good")),
    "missing by its own size": missing_by_size,
    "reacting to a failure": reacting,
    "rows twice": rows_twice,
    "eight rare levels": eight_rare_levels,
    "a step in skill": step_in_skill,
    "a change of tool": change_of_tool,
    "no dates": no_dates,
}
"""Each way by its name: a function of the number of attempts and the seed."""
