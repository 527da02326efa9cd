"""Lengths as people type them, and the sizes that sheet, wire and twist drills are sold in.

`read_length` is the one reader that the app, the command line and the import share: millimetres,
centimetres, inches, thousandths, fractions, gauges and number drills. A length is rounded half-even
to a whole micrometre here and is exact from then on.

| series | source |
|---|---|
| gauges 0-40 | Brown & Sharpe; the Stubs steel wire gauge is a different scale |
| standard wire gauges 1-40 (`swg`) | the Imperial scale, as some sheet is sold by |
| number drills 84-1 | ANSI/ASME B94.11M-1993 |
| metric drills 0.20-13.9 mm | preferred sizes of BS 328 |

A size is never moved to one of these silently: `nearest_metric_drill_mm` answers what to buy.
"""

import functools
import re
from collections.abc import Callable, Mapping
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

from platebook.tables import csv_rows

_THINNEST = 40
_MM_AT_36 = 0.127
_STEPS = 39
MM_PER_INCH = 25.4


def gauges() -> tuple[int, ...]:
    """Gauge numbers that sheet is sold in, thickest (0) first."""
    return tuple(range(_THINNEST + 1))


@functools.cache
def gauge_mm(gauge: int) -> float:
    """Thickness of one gauge in millimetres: 0.127 * 92^((36 - gauge) / 39).

    Raises ValueError for a number outside `gauges()`.
    """
    if not 0 <= gauge <= _THINNEST:
        raise ValueError(f"a gauge from 0 to {_THINNEST}, not {gauge}")
    return float(_MM_AT_36 * 92.0 ** ((36 - gauge) / _STEPS))


_SWG_THOU = (
    *(300, 276, 252, 232, 212, 192, 176, 160, 144, 128, 116, 104, 92, 80, 72, 64, 56, 48, 40, 36),
    *(32, 28, 24, 22, 20, 18, 16.4, 14.8, 13.6, 12.4, 11.6, 10.8, 10, 9.2, 8.4, 7.6, 6.8, 6),
    *(5.2, 4.8),
)


def standard_gauge_mm(gauge: int) -> float:
    """Thickness of one Imperial standard wire gauge (SWG) in millimetres, exact in inches.

    Raises ValueError for a number outside 1 to 40.
    """
    if not 1 <= gauge <= len(_SWG_THOU):
        raise ValueError(f"a standard wire gauge from 1 to {len(_SWG_THOU)}, not {gauge}")
    return round(_SWG_THOU[gauge - 1] * MM_PER_INCH / 1000, 6)


@functools.cache
def number_drills() -> Mapping[int, float]:
    """Diameters of the number drills in millimetres by number, smallest (No. 84) first."""
    return {
        int(row["number"]): round(float(row["inch"]) * MM_PER_INCH, 4)
        for row in csv_rows("platebook.trade", "drills-number.csv")
    }


@functools.cache
def metric_drills() -> tuple[float, ...]:
    """Preferred metric drills, smallest first; within each tenth only certain hundredths."""
    sizes: list[float] = []
    for row in csv_rows("platebook.trade", "drills-metric.csv"):
        endings = {int(ending) for ending in row["hundredths"].split()}
        low, high = (round(float(row[end]) * 100) for end in ("from_mm", "to_mm"))
        sizes += [size / 100 for size in range(low, high + 1) if size % 10 in endings]
    return tuple(sizes)


def number_drill_mm(number: int) -> float:
    """Diameter of one number drill; raises ValueError for a number that is not in the series."""
    if number not in number_drills():
        expected = "a number drill from 84 (0.292 mm) to 1 (5.791 mm), or its size in mm"
        raise ValueError(f"{expected}, not {number}")
    return number_drills()[number]


def nearest_metric_drill_mm(mm: float) -> float:
    """The preferred metric drill nearest to a diameter; of two equally near the smaller one."""
    apart = [(round(abs(size_mm - mm), 6), size_mm) for size_mm in metric_drills()]
    return min(apart)[1]


EXPECTED = "a length above zero such as 1.98, 1,98 mm, .078 in, 5/64 in, 20 ga or #60"
EXPECTED_HEIGHT = "a height such as 0.05, -0,05 mm, -.002 in or 0"
LONGEST_MM = 1000

_MINUS = re.compile("[\N{MINUS SIGN}\N{EN DASH}\N{EM DASH}\N{HYPHEN}\N{NON-BREAKING HYPHEN}]")
"""What people's keyboards and spreadsheets write for a minus, besides the hyphen-minus."""

_ZERO = re.compile(r"0+(?:[.,]0*)?\s*(?:mm|in)?")
_DIGITS = "[0-9]{1,40}"
_DECIMAL = rf"({_DIGITS}(?:[.,](?:{_DIGITS})?)?|[.,]{_DIGITS})"
_MM = r"(?:mm\.?|millimet(?:er|re)s?)"
_QUOTES = "\N{DOUBLE PRIME}\N{LEFT DOUBLE QUOTATION MARK}\N{RIGHT DOUBLE QUOTATION MARK}"
_PRIMES = "\N{PRIME}\N{RIGHT SINGLE QUOTATION MARK}'"
_INCH = rf'\s*(?:in|in\.|inch|inches|["{_QUOTES}]|[{_PRIMES}]{{2}})'
_FRACTION = "([0-9]{1,4})\\s*[/\N{FRACTION SLASH}]\\s*([0-9]{1,4})"
_MICROMETRE = Decimal("0.001")
_EXACT_MM_PER_INCH = Fraction(254, 10)

Exact = Fraction | float


def read_length(text: str) -> tuple[float | None, str]:
    """The length in millimetres and "", or None and what was expected.

    A number without a unit is millimetres; a comma or a point is the decimal sign, never a
    thousands sign.
    """
    return _read(text.strip().lower())


@functools.lru_cache(maxsize=4096)
def _read(typed: str) -> tuple[float | None, str]:
    if _MINUS.sub("-", typed).startswith("-"):
        return None, f"{EXPECTED}; a length is never negative"
    for pattern, convert in _READERS:
        match = re.fullmatch(pattern, typed)
        if match:
            try:
                return _in_range(convert(*match.groups()))
            except ValueError as error:
                return None, str(error)
    return None, _hint(typed)


def read_height(text: str) -> tuple[float | None, str]:
    """A height in millimetres: like `read_length`, but it may be zero or negative."""
    typed = _MINUS.sub("-", text.strip())
    unsigned = typed.lstrip("+-")
    if len(typed) - len(unsigned) > 1:
        return None, EXPECTED_HEIGHT
    if _ZERO.fullmatch(unsigned.lower()):
        return 0.0, ""
    mm, expected = read_length(unsigned)
    if mm is None:
        return None, expected.replace(EXPECTED, EXPECTED_HEIGHT)
    return (-mm if typed.startswith("-") else mm), ""


def format_length(mm: float) -> str:
    """A length for people, to the micrometre, with at least two decimals: 1.98 mm, 0.812 mm."""
    whole, decimals = f"{mm:.3f}".split(".")
    return f"{whole}.{decimals[:2]}{decimals[2:].rstrip('0')} mm"


def _in_range(mm: Exact) -> tuple[float | None, str]:
    if mm > LONGEST_MM:
        return None, f"{EXPECTED}, up to {LONGEST_MM} mm"
    rounded = _rounded(mm)
    if rounded == 0:
        return None, f"{EXPECTED}; at least 0.001 mm"
    return rounded, ""


def _rounded(mm: Exact) -> float:
    value = Decimal(mm.numerator) / mm.denominator if isinstance(mm, Fraction) else Decimal(mm)
    return float(value.quantize(_MICROMETRE, ROUND_HALF_EVEN))


def _hint(typed: str) -> str:
    if re.fullmatch(r"[0-9]+\s*/\s*[0-9]+", typed):
        return f"{EXPECTED}; a fraction needs its unit, as in {typed} in"
    if "," in typed and "." in typed:
        return f"{EXPECTED}; one decimal sign and no thousands sign"
    return EXPECTED


def _number(digits: str) -> Fraction:
    return Fraction(digits.replace(",", ".").rstrip("."))


def _centimetres(digits: str) -> Exact:
    return _number(digits) * 10


def _thousandths(digits: str) -> Exact:
    return _number(digits) / 1000 * _EXACT_MM_PER_INCH


def _micrometres(digits: str) -> Exact:
    return _number(digits) / 1000


def _inches(digits: str) -> Exact:
    return _number(digits) * _EXACT_MM_PER_INCH


def _standard_gauge(number: str) -> Exact:
    return Fraction(str(standard_gauge_mm(int(number))))


def _fraction(top: str, bottom: str) -> Exact:
    if int(bottom) == 0:
        raise ValueError(f"{EXPECTED}; a fraction cannot be divided by zero")
    return Fraction(int(top), int(bottom)) * _EXACT_MM_PER_INCH


def _mixed(whole: str, top: str, bottom: str) -> Exact:
    return int(whole) * _EXACT_MM_PER_INCH + _fraction(top, bottom)


def _gauge(number: str) -> Exact:
    return gauge_mm(int(number))


def _drill(number: str) -> Exact:
    return Fraction(str(number_drill_mm(int(number))))


_READERS: tuple[tuple[str, Callable[..., Exact]], ...] = (
    (_DECIMAL + rf"\s*{_MM}?", _number),
    (r"([0-9]{1,4})\s*(?:g|ga\.?|gauge)", _gauge),
    (_DECIMAL + r"\s*(?:cm\.?|centimet(?:er|re)s?)", _centimetres),
    (_DECIMAL + r"\s*(?:thou|mils?|thousandths?)", _thousandths),
    (_DECIMAL + r"\s*(?:µm|μm|um)", _micrometres),
    (_DECIMAL + _INCH, _inches),
    (_FRACTION + _INCH, _fraction),
    (r"([0-9]{1,2})[\s-]+" + _FRACTION + _INCH, _mixed),
    (r"([0-9]{1,4})\s*swg", _standard_gauge),
    (r"(?:gauge|ga\.?)\s*([0-9]{1,4})", _gauge),
    (r"(?:#|№|no\.?|number|nr\.?)\s*([0-9]{1,4})", _drill),
)
"""Each way to write a length, what courses write first: a way is compiled where it is tried."""
