"""Lengths as people type them, and the gauges and drills that sheet and drills are sold in."""

import csv
from pathlib import Path

import pytest
from fluids.piping import t_from_gauge
from hypothesis import given
from hypothesis import strategies as st
from nf6x_eetools.drilltables import number_drill_table

from platebook.trade.lengths import (
    format_length,
    gauge_mm,
    metric_drills,
    nearest_metric_drill_mm,
    number_drill_mm,
    number_drills,
    read_height,
    read_length,
)


@pytest.mark.parametrize(
    ("typed", "mm"),
    [
        ("1.98", 1.98),
        ("1,98", 1.98),
        (" 1.98 mm ", 1.98),
        ("1.98mm", 1.98),
        ("2 MM", 2.0),
        (".5", 0.5),
        (",5", 0.5),
        (".078 in", 1.981),
        ('0.078"', 1.981),
        ("0.078in.", 1.981),
        ("0,078 inch", 1.981),
        ("5/64 in", 1.984),
        ("20g", 0.812),
        ("0 ga", 8.251),
        ("1 1/4 in", 31.75),
        ("78 thou", 1.981),
        ("0.2 cm", 2.0),
        ("1.98 cm", 19.8),
        ("2.", 2.0),
        ("1/64\N{RIGHT DOUBLE QUOTATION MARK}", 0.397),
        ("number 60", 1.016),
        ("1.98 millimetres", 1.98),
        ("#1", 5.791),
        ("#69", 0.742),
        ("20 µm", 0.02),
        ("20um", 0.02),
        ("1980 \u03bcm", 1.98),
        ('5/64"', 1.984),
        ("1 / 8 in", 3.175),
    ],
)
def test_millimetres_and_inches(typed: str, mm: float) -> None:
    """One inch is exactly 25.4 mm (international yard and pound agreement of 1959)."""
    assert read_length(typed) == (mm, "")


@pytest.mark.parametrize(
    ("typed", "mm"),
    [("20 ga", 0.812), ("20ga", 0.812), ("20 gauge", 0.812), ("18 GA.", 1.024), ("24 ga", 0.511)],
)
def test_gauges(typed: str, mm: float) -> None:
    """ASTM B258: 20 ga = 0.8118 mm, 18 ga = 1.0237 mm, 24 ga = 0.5106 mm."""
    assert read_length(typed) == (mm, "")


@pytest.mark.parametrize(
    ("typed", "mm"),
    [("#60", 1.016), ("No. 60", 1.016), ("no 60", 1.016), ("# 70", 0.711), ("#52", 1.613)],
)
def test_number_drills(typed: str, mm: float) -> None:
    """ASME B94.11M: No. 60 = 0.0400 in, 70 = 0.0280 in, 52 = 0.0635 in."""
    assert read_length(typed) == (mm, "")


@pytest.mark.parametrize(
    ("typed", "mm"),
    [("1.0005", 1.0), ("1.0015", 1.002), ("1.0025", 1.002), ("0.0005001", 0.001)],
)
def test_rounding_is_half_even_to_a_micrometre(typed: str, mm: float) -> None:
    """The typed digits are rounded, not the nearest binary fraction."""
    assert read_length(typed) == (mm, "")


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "a length above zero"),
        ("-1.5", "never negative"),
        ("\N{MINUS SIGN}1,5", "never negative"),
        ("0", "at least 0.001 mm"),
        ("0.0004", "at least 0.001 mm"),
        ("0/64 in", "at least 0.001 mm"),
        ("1e3", "a length above zero"),
        ("inf", "a length above zero"),
        ("nan", "a length above zero"),
        ("1.2.3", "a length above zero"),
        ("1,2,3", "a length above zero"),
        ("1,234.5", "no thousands sign"),
        ("2..", "a length above zero"),
        ("1 5/64", "a length above zero"),
        ("\N{EN DASH}1.98", "a length is never negative"),
        ("5/64", "a fraction needs its unit, as in 5/64 in"),
        ("5/0 in", "divided by zero"),
        ("99 ga", "a gauge from 0 to 40"),
        ("#0", "a number drill from 84"),
        ("1001", "up to 1000 mm"),
        ("9" * 40, "up to 1000 mm"),
        ("9" * 5000, "a length above zero"),
        ("\u0661\u066b\u0669", "a length above zero"),
        ("two", "a length above zero"),
    ],
)
def test_what_is_not_a_length_says_what_was_expected(typed: str, says: str) -> None:
    """A refusal carries no value and a sentence for the person who typed it."""
    value, expected = read_length(typed)
    assert value is None
    assert says in expected


@given(st.integers(1, 1_000_000))
def test_every_micrometre_reads_back(micrometres: int) -> None:
    """Formatting and reading a length changes nothing, whatever the decimal sign."""
    mm = micrometres / 1000
    assert read_length(format_length(mm)) == (mm, "")
    assert read_length(format_length(mm).replace(".", ",")) == (mm, "")


@given(st.text(max_size=20))
def test_no_text_raises(typed: str) -> None:
    """Whatever is typed, either a length comes back or a sentence."""
    value, expected = read_length(typed)
    assert (value is None) == bool(expected)


@pytest.mark.parametrize(
    ("mm", "text"), [(1.98, "1.98 mm"), (2.0, "2.00 mm"), (0.812, "0.812 mm"), (10.1, "10.10 mm")]
)
def test_a_length_for_people(mm: float, text: str) -> None:
    """Two decimals at least, the third only where it says something."""
    assert format_length(mm) == text


@pytest.mark.parametrize(
    ("typed", "mm"),
    [
        ("0", 0.0),
        ("0.00 mm", 0.0),
        ("-0,05", -0.05),
        ("\N{MINUS SIGN}0.05 mm", -0.05),
        ("+0.1", 0.1),
        ("-.002 in", -0.051),
        ("0.03", 0.03),
    ],
)
def test_a_height_may_be_zero_or_below_the_sheet(typed: str, mm: float) -> None:
    """Heights are read like lengths, with a sign."""
    assert read_height(typed) == (mm, "")


@pytest.mark.parametrize("typed", ["", "--1", "+-1", "1-", "a bit", "0.0001"])
def test_what_is_not_a_height_says_what_was_expected(typed: str) -> None:
    """A refusal names heights, not lengths above zero."""
    value, expected = read_height(typed)
    assert value is None
    assert expected.startswith("a height such as")


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
    assert list(number_drills())[: len(expected)] == list(expected)
    found = {number: number_drills()[number] for number in expected}
    assert found == pytest.approx(expected, abs=0.00006)


@pytest.mark.parametrize("number", range(1, 85))
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


@pytest.mark.parametrize("number", [0, 85, -60])
def test_an_unknown_number_is_refused(number: int) -> None:
    """It says which are known here, and never that a drill of the trade does not exist."""
    first, *_, last = number_drills().items()
    with pytest.raises(ValueError, match="or its size in mm, not") as caught:
        number_drill_mm(number)
    for known, mm in (first, last):
        assert f"{known} ({mm:.3f} mm)" in str(caught.value)


GAUGES = REFERENCE / "gauge-brown-sharpe.csv"


def test_gauges_agree_with_the_reference_table() -> None:
    """ASTM B258: d = 0.127 mm * 92^((36 - n) / 39), printed to four decimals."""
    with GAUGES.open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            assert gauge_mm(int(row["gauge"])) == pytest.approx(float(row["mm"]), abs=0.00005)


@pytest.mark.parametrize("gauge", range(10, 31))
def test_gauges_agree_with_the_handbook(gauge: int) -> None:
    """Machinery's Handbook as carried by `fluids`, printed to 0.0001 in: 0.0013 mm allowed."""
    handbook = t_from_gauge(gauge, SI=True, schedule="AWG") * 1000
    assert gauge_mm(gauge) == pytest.approx(handbook, abs=0.0013)


@pytest.mark.parametrize(("gauge", "mm"), [(18, 1.0237), (20, 0.8118), (22, 0.6438), (24, 0.5106)])
def test_customary_sheet(gauge: int, mm: float) -> None:
    """The four gauges setters use most (ASTM B258)."""
    assert gauge_mm(gauge) == pytest.approx(mm, abs=0.00005)


@pytest.mark.parametrize("gauge", [-1, 41, 1000])
def test_an_unknown_gauge_is_refused(gauge: int) -> None:
    """A number outside the range says which numbers there are."""
    with pytest.raises(ValueError, match="a gauge from 0 to 40"):
        gauge_mm(gauge)


@pytest.mark.parametrize("gauge", range(1, 41))
def test_standard_wire_gauges(gauge: int) -> None:
    """British standard wire gauge as carried by `fluids`, printed to 0.0001 in."""
    expected = t_from_gauge(gauge, SI=False, schedule="BSWG") * 25.4
    assert read_length(f"{gauge} swg")[0] == pytest.approx(expected, abs=0.0032)
