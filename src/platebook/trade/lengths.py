"""Lengths as people type them: millimetres, inches, fractions, gauges and number drills.

`read_length` is the one reader that the app, the command line and the import share. A length is
rounded half-even to a whole micrometre here and is exact from then on.
"""

import functools
import re
from collections.abc import Callable
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

from platebook.trade.standard_sizes import gauge_mm, number_drill_mm

EXPECTED = "a length above zero such as 1.98, 1,98 mm, .078 in, 5/64 in, 20 ga or #60"
EXPECTED_HEIGHT = "a height such as 0.05, -0,05 mm, -.002 in or 0"
LONGEST_MM = 1000

_MINUS = "\N{MINUS SIGN}"
_ZERO = re.compile(r"0+(?:[.,]0+)?\s*(?:mm|in)?")
_DIGITS = "[0-9]{1,40}"
_DECIMAL = rf"({_DIGITS}(?:[.,]{_DIGITS})?|[.,]{_DIGITS})"
_INCH = r'\s*(?:in|in\.|inch|inches|"|″|\'\')'
_MICROMETRE = Decimal("0.001")
_MM_PER_INCH = Fraction(254, 10)

Exact = Fraction | float


def read_length(text: str) -> tuple[float | None, str]:
    """The length in millimetres and "", or None and what was expected.

    A number without a unit is millimetres; a comma or a point is the decimal sign, never a
    thousands sign.
    """
    return _read(text.strip().lower())


@functools.lru_cache(maxsize=4096)
def _read(typed: str) -> tuple[float | None, str]:
    if typed.startswith(("-", _MINUS)):
        return None, f"{EXPECTED}; a length is never negative"
    for pattern, convert in _READERS:
        found = pattern.fullmatch(typed)
        if found:
            try:
                return _in_range(convert(*found.groups()))
            except ValueError as error:
                return None, str(error)
    return None, _hint(typed)


def read_height(text: str) -> tuple[float | None, str]:
    """A height in millimetres: like `read_length`, but it may be zero or negative."""
    typed = text.strip().replace(_MINUS, "-")
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
    return Fraction(digits.replace(",", "."))


def _millimetres(digits: str) -> Exact:
    return _number(digits)


def _micrometres(digits: str) -> Exact:
    return _number(digits) / 1000


def _inches(digits: str) -> Exact:
    return _number(digits) * _MM_PER_INCH


def _fraction(top: str, bottom: str) -> Exact:
    if int(bottom) == 0:
        raise ValueError(f"{EXPECTED}; a fraction cannot be divided by zero")
    return Fraction(int(top), int(bottom)) * _MM_PER_INCH


def _gauge(number: str) -> Exact:
    return gauge_mm(int(number))


def _drill(number: str) -> Exact:
    return Fraction(str(number_drill_mm(int(number))))


_READERS: tuple[tuple[re.Pattern[str], Callable[..., Exact]], ...] = (
    (re.compile(_DECIMAL + r"\s*(?:mm\.?)?"), _millimetres),
    (re.compile(_DECIMAL + r"\s*(?:µm|μm|um)"), _micrometres),
    (re.compile(_DECIMAL + _INCH), _inches),
    (re.compile(r"([0-9]{1,4})\s*/\s*([0-9]{1,4})" + _INCH), _fraction),
    (re.compile(r"([0-9]{1,4})\s*(?:ga\.?|gauge)"), _gauge),
    (re.compile(r"(?:#|no\.?)\s*([0-9]{1,4})"), _drill),
)
