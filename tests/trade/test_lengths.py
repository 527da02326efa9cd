"""Lengths as people type them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platebook.trade.lengths import format_length, read_height, read_length


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
        ("1.98 cm", "a length above zero"),
        ("2.", "a length above zero"),
        ("5/64", "a fraction needs its unit, as in 5/64 in"),
        ("5/0 in", "divided by zero"),
        ("99 ga", "a gauge from 1 to 40"),
        ("#12", "a number drill from 84"),
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
