"""Planted heights: how high and how level each table stands, and what is then judged of it.

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

HEIGHT_MM, TILT_DEG = 0.04, 1.0
"""Scatter of heights and of tilts."""

LEVEL_DEG = 1.5
_READ_MM, _READ_DEG = 0.01, 0.3
_LOGIT = math.pi / math.sqrt(3.0)
_LIMITS = NormalDist()


@dataclass(frozen=True, slots=True)
class Tables:
    """n heights and tilts as read, and n truths for each of high, low and tilted."""

    height_mm: Floats
    tilt_deg: Floats
    judged: Mapping[str, NDArray[np.bool_]]


def tables(
    rng: np.random.Generator, chances: Mapping[str, Floats], pulls: Mapping[str, Floats]
) -> Tables:
    """Tables whose defects have these chances (n each) where nothing pulls; pulls in log odds."""
    count = len(pulls["high"])

    def over(defect: str, at: Floats) -> NDArray[np.bool_]:
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
