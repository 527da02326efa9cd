"""Sizes that twist drills and burs are sold in: number, metric and fractional drills, bur codes.

| series | source |
|---|---|
| number drills 84-38 | ANSI/ASME B94.11M-1993 |
| metric drills 0.20-13.9 mm | preferred sizes of BS 328 |
| fractions | sixty-fourths of an inch to 1/2 in |
| bur codes | ISO 2157: head diameter in tenths of a millimetre |

A size is never moved to one of these silently: `nearest_...` answers what could be bought, and
`bur_code` answers only for a diameter that has a code.
"""

import csv
import functools
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from importlib import resources
from typing import Literal

MM_PER_INCH = 25.4


@dataclass(frozen=True, slots=True)
class DrillSize:
    """One size of a series, with the label it is sold under."""

    label: str
    mm: float
    series: Literal["number", "metric", "fraction"]


@dataclass(frozen=True, slots=True)
class BurCode:
    """One bur size code; `status` says whether it was read in a published text or remembered."""

    code: str
    mm: float
    status: Literal["published", "memory"]


def _rows(name: str) -> list[dict[str, str]]:
    text = resources.files("platebook.trade").joinpath("data", name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@functools.cache
def number_drills() -> tuple[DrillSize, ...]:
    """Number drills, smallest (No. 84) first."""
    return tuple(
        DrillSize(f"No. {row['number']}", round(float(row["inch"]) * MM_PER_INCH, 4), "number")
        for row in _rows("drills-number.csv")
    )


@functools.cache
def metric_drills() -> tuple[DrillSize, ...]:
    """Preferred metric drills, smallest first; within each tenth only certain hundredths."""
    found = []
    for row in _rows("drills-metric.csv"):
        endings = {int(ending) for ending in row["hundredths"].split()}
        low, high = (round(float(row[end]) * 100) for end in ("from_mm", "to_mm"))
        found += [size / 100 for size in range(low, high + 1) if size % 10 in endings]
    return tuple(DrillSize(f"{mm:.2f} mm", mm, "metric") for mm in found)


@functools.cache
def fraction_drills() -> tuple[DrillSize, ...]:
    """Sixty-fourths of an inch up to 1/2 in, smallest first."""
    sizes = [Fraction(n, 64) for n in range(1, 33)]
    return tuple(
        DrillSize(f"{size} in", round(float(size) * MM_PER_INCH, 4), "fraction") for size in sizes
    )


@functools.cache
def bur_codes() -> tuple[BurCode, ...]:
    """Bur size codes, smallest first. The series has gaps: there is no 1.9, 2.0 or 2.4."""
    return tuple(
        BurCode(
            row["code"],
            float(row["diameter_mm"]),
            "published" if row["status"] == "published" else "memory",
        )
        for row in _rows("burs-size-codes.csv")
    )


def number_drill_mm(number: int) -> float:
    """Diameter of one number drill; raises ValueError for a number that is not in the series."""
    wanted = f"No. {number}"
    for drill in number_drills():
        if drill.label == wanted:
            return drill.mm
    expected = "a number drill from 84 (0.292 mm) to 38 (2.578 mm), or its size in mm"
    raise ValueError(f"{expected}, not {number}")


def nearest_number_drill(mm: float) -> DrillSize:
    """The number drill nearest to a diameter; of two equally near the smaller one."""
    return _nearest(number_drills(), mm)


def nearest_metric_drill(mm: float) -> DrillSize:
    """The preferred metric drill nearest to a diameter; of two equally near the smaller one."""
    return _nearest(metric_drills(), mm)


def nearest_fraction_drill(mm: float) -> DrillSize:
    """The fractional drill nearest to a diameter; of two equally near the smaller one."""
    return _nearest(fraction_drills(), mm)


def bur_code(mm: float) -> BurCode | None:
    """The code of a bur of exactly this diameter, or None: most diameters have no code."""
    return next((code for code in bur_codes() if abs(code.mm - mm) < 0.0005), None)


def _nearest(sizes: Sequence[DrillSize], mm: float) -> DrillSize:
    apart = [(round(abs(size.mm - mm), 6), size.mm) for size in sizes]
    return sizes[apart.index(min(apart))]
