"""The habits and heights of a planted log, whose truth is known.

High, low and tilted follow from the table, as at the bench: a height beyond a limit is high. The
limits are such that each defect has its rate. Practice narrows nothing here; it only moves the
limits, as it moves the chances of the other defects.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_STEADY = 0.5

LEVELS: Mapping[str, tuple[str, ...]] = {
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
"""Habits that are choices, with their values in order."""

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

YES_NO = ("burnisher_polished", "stone_checked")
"""Habits that are so or not."""

READINGS = (
    "fit_checks",
    "ledge",
    "seat_diameter_mm",
    "seat_depth_mm",
    "spindle_tilt_deg",
    "levelled_by",
    "effort",
    "burnish_passes",
)
"""What a setter who is not asked for readings leaves out."""


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

    values: dict[str, Floats] = {}
    calendar = np.linspace(-1.5, 1.5, count)
    for name, (middle, spread) in _MEASURED.items():
        drift = calendar if name in drifting else 0.0
        values[name] = middle + spread * (sticky() + drift)
    # A seat follows its bur: the same habit seen through the cut's own scatter.
    tight = (values["undersize_mm"] - 0.10) / 0.04
    values["clearance_mm"] = 0.7 * values["clearance_mm"] - 0.035 * tight
    for name, levels in LEVELS.items():
        cuts = np.array([-0.25, 0.6, 1.2][: len(levels) - 1]) if len(levels) > 2 else [0.3]
        values[name] = np.searchsorted(cuts, sticky()).astype(float)
    for name in YES_NO:
        values[name] = (sticky() > -0.3).astype(float)
    values["seat_bur_uses"] = _wear(rng, count)
    values["stone_uses"] = rng.poisson(0.6, count).astype(float)
    return values


def _wear(rng: np.random.Generator, count: int) -> Floats:
    used = int(rng.integers(0, 15))
    uses = []
    for _ in range(count):
        used = 0 if used > 15 and rng.random() < 0.08 else used + 1
        uses.append(float(used))
    return np.array(uses)


HeightFloats = NDArray[np.float64]

HEIGHT_MM, TILT_DEG = 0.04, 1.0
"""Scatter of heights and of tilts."""

LEVEL_DEG = 1.5
_READ_MM, _READ_DEG = 0.01, 0.3
_LOGIT = math.pi / math.sqrt(3.0)
_LIMITS = NormalDist()


@dataclass(frozen=True, slots=True)
class Tables:
    """n heights and tilts as read, and n truths for each of high, low and tilted."""

    height_mm: HeightFloats
    tilt_deg: HeightFloats
    judged: Mapping[str, NDArray[np.bool_]]


def tables(
    rng: np.random.Generator, chances: Mapping[str, HeightFloats], pulls: Mapping[str, HeightFloats]
) -> Tables:
    """Tables whose defects have these chances (n each) where nothing pulls; pulls in log odds."""
    count = len(pulls["high"])

    def over(defect: str, at: HeightFloats) -> NDArray[np.bool_]:
        if defect not in chances:
            return np.zeros(count, dtype=bool)
        limit = np.array([_LIMITS.inv_cdf(1.0 - float(p)) for p in chances[defect]])
        return np.asarray(at > limit, dtype=bool)

    height = rng.standard_normal(count) + (pulls["high"] - pulls["low"]) / _LOGIT
    tilt = rng.standard_normal(count) + pulls["tilted"] / _LOGIT
    read_mm, read_deg = rng.normal(0, _READ_MM, count), rng.normal(0, _READ_DEG, count)
    lean = LEVEL_DEG + TILT_DEG * tilt + read_deg
    return Tables(
        height_mm=np.asarray(np.round(HEIGHT_MM * height + read_mm, 2), dtype=float),
        tilt_deg=np.asarray(np.round(np.maximum(lean, 0.0), 1), dtype=float),
        judged={
            "high": over("high", height),
            "low": over("low", -height),
            "tilted": over("tilted", tilt),
        },
    )
