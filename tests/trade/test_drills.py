"""Drill and bur sizes against the standards' tables."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from nf6x_eetools.drilltables import fractional_drill_table, number_drill_table

from platebook.trade.drills import (
    bur_code,
    bur_codes,
    fraction_drills,
    metric_drills,
    nearest_fraction_drill,
    nearest_metric_drill,
    nearest_number_drill,
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
    expected = [
        (f"No. {r['number']}", float(r["mm_exact"])) for r in reference_rows("drills-number.csv")
    ]
    assert [d.label for d in number_drills()] == [label for label, _ in expected]
    assert [d.mm for d in number_drills()] == pytest.approx([mm for _, mm in expected], abs=0.00006)


@pytest.mark.parametrize("number", range(38, 85))
def test_number_drills_agree_with_a_second_table(number: int) -> None:
    """The test-only package nf6x-eetools carries the same standard in inches."""
    inch = float(number_drill_table[f"no{number}"])
    assert number_drill_mm(number) == pytest.approx(inch * 25.4, abs=0.00006)


def test_fractions_agree_with_a_second_table() -> None:
    """Every sixty-fourth up to 1/2 in, as in nf6x-eetools."""
    expected = {
        label.replace("in", " in"): float(inch) * 25.4
        for label, inch in fractional_drill_table.items()
        if inch <= 0.5
    }
    assert {d.label: d.mm for d in fraction_drills()} == pytest.approx(expected, abs=0.00006)


def test_metric_drills_follow_the_preferred_series() -> None:
    """BS 328: each tenth plus 0, 2, 5, 8 hundredths, then every 0.05, then every 0.1."""
    steps = {r["range_mm"]: r["steps"] for r in reference_rows("drills-metric.csv")}
    assert set(steps) == {"0.20-0.98", "1.00-2.95", "3.0-13.9"}
    expected = [tenth / 10 + end for tenth in range(2, 10) for end in (0.0, 0.02, 0.05, 0.08)]
    expected += [1 + 0.05 * n for n in range(40)]
    expected += [3 + 0.1 * n for n in range(110)]
    assert [d.mm for d in metric_drills()] == pytest.approx(expected, abs=1e-9)


def test_bur_codes_agree_with_the_reference_table() -> None:
    """ISO 2157 numbering; only rows that were read in a published text are called published."""
    expected = sorted(
        (r["code"], float(r["diameter_mm"]), r["status"].startswith("seen"))
        for r in reference_rows("burs-size-codes.csv")
    )
    assert [(c.code, c.mm, c.status == "published") for c in bur_codes()] == expected


def test_a_bur_code_is_its_diameter_in_tenths() -> None:
    """The rule of ISO 2157 holds for each row."""
    assert all(int(c.code) == round(c.mm * 10) for c in bur_codes())


@pytest.mark.parametrize("mm", [1.9, 2.0, 2.4, 3.9, 1.61])
def test_a_diameter_without_a_code_has_none(mm: float) -> None:
    """The series has gaps and nothing is moved to a neighbour."""
    assert bur_code(mm) is None


def test_a_diameter_with_a_code_has_it() -> None:
    """1.8 mm is code 018."""
    found = bur_code(1.8)
    assert found is not None
    assert found.code == "018"


@given(st.floats(0.2, 13.9))
def test_no_other_drill_is_nearer(mm: float) -> None:
    """The nearest of a series is at most as far away as any other of it."""
    for nearest, series in (
        (nearest_number_drill(mm), number_drills()),
        (nearest_metric_drill(mm), metric_drills()),
        (nearest_fraction_drill(mm), fraction_drills()),
    ):
        assert all(abs(nearest.mm - mm) <= abs(d.mm - mm) + 1e-6 for d in series)


def test_of_two_equally_near_the_smaller_one_is_named() -> None:
    """1.025 mm lies halfway between 1.00 and 1.05 mm."""
    assert nearest_metric_drill(1.025).label == "1.00 mm"


@pytest.mark.parametrize("number", [0, 37, 85, -60])
def test_an_unknown_number_is_refused(number: int) -> None:
    """It says which are known here, and never that a drill of the trade does not exist."""
    first, *_, last = number_drills()
    with pytest.raises(ValueError, match="or its size in mm, not") as caught:
        number_drill_mm(number)
    for drill in (first, last):
        assert f"{drill.label.removeprefix('No. ')} ({drill.mm:.3f} mm)" in str(caught.value)
