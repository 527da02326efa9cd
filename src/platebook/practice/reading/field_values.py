"""Single values as people type them, read by the type of their field."""

import functools
import math
import re
import uuid
from collections.abc import Mapping

from platebook.practice.fields import Choice, FieldType, choices, fields
from platebook.practice.text import LONGEST_LINE, LONGEST_NOTE, clean, number_text
from platebook.trade.lengths import MM_PER_INCH, read_height, read_length
from platebook.values import Value

Plain = str | float | int | bool
Read = tuple[Plain | None, str]

_YES = frozenset({"yes", "y", "true", "1"})
_NO = frozenset({"no", "n", "false", "0"})
_BLANKS = frozenset({"", "-", "\N{EN DASH}", "\N{EM DASH}", "n/a"})

_UNITS: Mapping[str, str] = {
    "min": r"mins?|minutes?",
    "g": r"g|grams?",
    "rpm": r"rpm|/min",
    "\N{MULTIPLICATION SIGN}": r"x|\N{MULTIPLICATION SIGN}",
    "\N{DEGREE SIGN}": r"\N{DEGREE SIGN}|deg|degrees?",
    "o'clock": r"h|o['\N{RIGHT SINGLE QUOTATION MARK}]clock",
}
"""How a unit may be typed behind its number, where that is in more than one way."""

_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)")
_COUNT = re.compile(r"[0-9]{1,9}")
_COUNTED = re.compile(r"([0-9]+)(?:-([0-9]+)|(\+))?")
_DASHES = str.maketrans("\N{EN DASH}\N{EM DASH}\N{MINUS SIGN}", "---")


class Bounds(Value):
    """What a number can sensibly be; outside of it something was mistyped."""

    low: float
    high: float


@functools.cache
def bounds() -> Mapping[str, Bounds]:
    """Sensible limits by field, for those that have them."""
    return {
        name: Bounds(field.low, field.high)
        for name, field in fields().items()
        if field.low is not None and field.high is not None
    }


def unit_of(name: str) -> str:
    """The unit of a field's numbers; a course's own field tells millimetres by its name."""
    field = fields().get(name)
    if field is None:
        return "mm" if name.endswith("_mm") else ""
    return field.unit


def read_field(name: str, text: str) -> Read:
    """One field of the record that needs nothing but its own text (no moment, no look)."""
    return read_value(name, fields()[name].type, text, choices().get(name, ()))


def read_value(name: str, kind: FieldType, text: str, listed: tuple[Choice, ...] = ()) -> Read:
    """One value by its type; `listed` are the values a choice may take."""
    return read_clean_value(name, kind, clean(text, multiline=name == "note"), listed)


def read_clean_value(
    name: str, kind: FieldType, typed: str, listed: tuple[Choice, ...] = ()
) -> Read:
    """`read_value` of a text that is clean already, as whoever reads a whole row has it."""
    if typed.casefold() in _BLANKS and (kind != "text" or not typed):
        return None, ""
    if kind in {"length", "number", "integer"}:
        return _read_number(name, kind, typed)
    longest = LONGEST_NOTE if name == "note" else LONGEST_LINE
    read: Read = (typed, "")
    if len(typed) > longest:
        read = None, f"at most {longest} characters"
    elif kind == "choice":
        read = read_choice(typed, listed)
    elif kind == "yes/no":
        read = read_yes_no(typed)
    elif kind == "uuid7":
        read = _read_id(typed)
    return read


def read_choice(typed: str, listed: tuple[Choice, ...]) -> Read:
    """The listed value that was meant, by its own or another spelling or by a number it covers.

    Outside the list the text is kept as typed, with what was expected beside it.
    """
    for choice in listed:
        if typed == choice.value:
            return typed, ""
    wanted = spelling(typed)
    meant = _values_by_spelling(listed).get(wanted)
    if meant is not None:
        return meant, ""
    if _COUNT.fullmatch(wanted):
        for choice in listed:
            if _covers(choice.value, int(wanted)):
                return choice.value, ""
    return typed, f"one of: {', '.join(choice.value for choice in listed)}"


def read_yes_no(typed: str) -> Read:
    """Yes, no, true, false, 1 or 0."""
    word = typed.casefold()
    if word in _YES or word in _NO:
        return word in _YES, ""
    return None, "yes or no"


def spelling(text: str) -> str:
    """What two spellings of one word have in common: case, blanks and dashes do not count."""
    return " ".join(text.translate(_DASHES).casefold().split())


@functools.lru_cache(maxsize=256)
def _values_by_spelling(listed: tuple[Choice, ...]) -> Mapping[str, str]:
    """The listed values by what the spellings of each have in common; the first one counts."""
    by_spelling: dict[str, str] = {}
    for choice in listed:
        for word in (choice.value, *choice.aliases):
            by_spelling.setdefault(spelling(word), choice.value)
    return by_spelling


def _covers(value: str, number: int) -> bool:
    counted = _COUNTED.fullmatch(value)
    if counted is None:
        return False
    low, high, more = counted.groups()
    return int(low) <= number and (bool(more) or number <= int(high or low))


def _read_number(name: str, kind: FieldType, typed: str) -> Read:
    if kind == "length":
        number, expected = read_length(typed)
    elif unit_of(name) == "mm":
        number, expected = read_height(typed)
    else:
        number, expected = _plain_number(name, typed)
    if number is None:
        return None, expected
    outside = _outside(name, number)
    if outside:
        return None, outside
    if kind == "integer":
        return (int(number), "") if number.is_integer() else (None, "a whole number")
    return number, ""


def _plain_number(name: str, typed: str) -> tuple[float | None, str]:
    digits = typed.translate(_DASHES)
    unit = unit_of(name)
    if unit:
        spelt = _UNITS.get(unit, re.escape(unit))
        digits = re.sub(rf"^x\s*|\s*(?:{spelt})$", "", digits, flags=re.IGNORECASE)
    number = float(digits.replace(",", ".")) if _NUMBER.fullmatch(digits) else math.nan
    return (number, "") if math.isfinite(number) else (None, "a number such as 12 or 1,5")


def _outside(name: str, number: float) -> str:
    limits = bounds().get(name)
    if limits is None or limits.low <= number <= limits.high:
        return ""
    inches = number * MM_PER_INCH
    unit = " mm" if unit_of(name) == "mm" else ""
    expected = f"{number_text(limits.low)} to {number_text(limits.high)}{unit}"
    if unit and 0 < number < limits.low and limits.low <= inches <= limits.high:
        expected += f"; did you mean inches? {number_text(number)} in is {inches:.3f} mm"
    return expected


def _read_id(typed: str) -> Read:
    try:
        number = uuid.UUID(typed)
    except ValueError:
        number = None
    if number is None or number.version != 7:
        return None, "an id as an export writes it (UUID version 7), or nothing"
    return str(number), ""
