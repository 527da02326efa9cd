"""Drill sizes against the standards' tables."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from nf6x_eetools.drilltables import number_drill_table

from platebook.trade.lengths import (
    metric_drills,
    nearest_metric_drill_mm,
    number_drill_mm,
    number_drills,
)

REFERENCE = Path(__file__).parents[1] / "reference"


def reference_rows(name: str) -> list[dict[str, str]]:
    """Rows of one reference table."""
    with (REFERENCE / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def test_number_drills_agree_with_the_reference_table() -> None:
    """ANSI/ASME B94.11M-1993 as reproduced in Machinery's Handbook, in the same order."""
    expected = {
        int(row["number"]): float(row["mm_exact"]) for row in reference_rows("drills-number.csv")
    }
    assert list(number_drills()) == list(expected)
    assert number_drills() == pytest.approx(expected, abs=0.00006)


@pytest.mark.parametrize("number", range(38, 85))
def test_number_drills_agree_with_a_second_table(number: int) -> None:
    """The test-only package nf6x-eetools carries the same standard in inches."""
    inch = float(number_drill_table[f"no{number}"])
    assert number_drill_mm(number) == pytest.approx(inch * 25.4, abs=0.00006)


def test_metric_drills_follow_the_preferred_series() -> None:
    """BS 328: each tenth plus 0, 2, 5, 8 hundredths, then every 0.05, then every 0.1."""
    steps = {r["range_mm"]: r["steps"] for r in reference_rows("drills-metric.csv")}
    assert set(steps) == {"0.20-0.98", "1.00-2.95", "3.0-13.9"}
    expected = [tenth / 10 + end for tenth in range(2, 10) for end in (0.0, 0.02, 0.05, 0.08)]
    expected += [1 + 0.05 * n for n in range(40)]
    expected += [3 + 0.1 * n for n in range(110)]
    assert list(metric_drills()) == pytest.approx(expected, abs=1e-9)


@given(st.floats(0.2, 13.9))
def test_no_other_drill_is_nearer(mm: float) -> None:
    """The nearest is at most as far away as any other preferred metric drill."""
    nearest = nearest_metric_drill_mm(mm)
    assert all(abs(nearest - mm) <= abs(other - mm) + 1e-6 for other in metric_drills())


def test_of_two_equally_near_the_smaller_one_is_named() -> None:
    """1.025 mm lies halfway between 1.00 and 1.05 mm."""
    assert nearest_metric_drill_mm(1.025) == 1.00


@pytest.mark.parametrize("number", [0, 37, 85, -60])
def test_an_unknown_number_is_refused(number: int) -> None:
    """It says which are known here, and never that a drill of the trade does not exist."""
    first, *_, last = number_drills().items()
    with pytest.raises(ValueError, match="or its size in mm, not") as caught:
        number_drill_mm(number)
    for known, mm in (first, last):
        assert f"{known} ({mm:.3f} mm)" in str(caught.value)
