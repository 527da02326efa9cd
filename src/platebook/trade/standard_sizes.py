"""Sizes that sheet, wire, twist drills and burs are sold in.

The Stubs steel wire gauge is a different scale; number drills are in `drills`.

| series | source |
|---|---|
| number drills 84-38 | ANSI/ASME B94.11M-1993 |
| metric drills 0.20-13.9 mm | preferred sizes of BS 328 |

A size is never moved to one of these silently: `nearest_metric_drill_mm` answers what to buy.
"""

import csv
import functools
from collections.abc import Mapping
from importlib import resources

_THINNEST = 40
_MM_AT_36 = 0.127
_STEPS = 39


def gauges() -> tuple[int, ...]:
    """Gauge numbers that sheet is sold in, thickest (1) first."""
    return tuple(range(1, _THINNEST + 1))


@functools.cache
def gauge_mm(gauge: int) -> float:
    """Thickness of one gauge in millimetres: 0.127 * 92^((36 - gauge) / 39).

    Raises ValueError for a number outside `gauges()`.
    """
    if not 1 <= gauge <= _THINNEST:
        raise ValueError(f"a gauge from 1 to {_THINNEST}, not {gauge}")
    return float(_MM_AT_36 * 92.0 ** ((36 - gauge) / _STEPS))


MM_PER_INCH = 25.4


def _rows(name: str) -> list[dict[str, str]]:
    text = resources.files("platebook.trade").joinpath("data", name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@functools.cache
def number_drills() -> Mapping[int, float]:
    """Diameters of the number drills in millimetres by number, smallest (No. 84) first."""
    return {
        int(row["number"]): round(float(row["inch"]) * MM_PER_INCH, 4)
        for row in _rows("drills-number.csv")
    }


@functools.cache
def metric_drills() -> tuple[float, ...]:
    """Preferred metric drills, smallest first; within each tenth only certain hundredths."""
    found: list[float] = []
    for row in _rows("drills-metric.csv"):
        endings = {int(ending) for ending in row["hundredths"].split()}
        low, high = (round(float(row[end]) * 100) for end in ("from_mm", "to_mm"))
        found += [size / 100 for size in range(low, high + 1) if size % 10 in endings]
    return tuple(found)


def number_drill_mm(number: int) -> float:
    """Diameter of one number drill; raises ValueError for a number that is not in the series."""
    if number not in number_drills():
        expected = "a number drill from 84 (0.292 mm) to 38 (2.578 mm), or its size in mm"
        raise ValueError(f"{expected}, not {number}")
    return number_drills()[number]


def nearest_metric_drill_mm(mm: float) -> float:
    """The preferred metric drill nearest to a diameter; of two equally near the smaller one."""
    apart = [(round(abs(size_mm - mm), 6), size_mm) for size_mm in metric_drills()]
    return min(apart)[1]
