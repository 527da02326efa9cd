"""Days and times of day as people write them in sheets, turned into one shape: 2024-05-03 18:30.

`3.5.24`, `03/05/2024`, `03 May 2024`, `Fr 3. Mai 2024 um 18:30`, `3 mai 2024 à 18h30`. Which of two
numbers between slashes is the month is never guessed from one cell: a whole column may say it.
"""

import functools
import re
from collections.abc import Iterable

from platebook.exchange.sheets.words import month_of
from platebook.practice.reading.timestamps import SlashOrder

AMBIGUOUS = "which number is the day: 3/2 can be 3 February or March 2"

_WEEKDAY = re.compile(r"^([^\W\d_]{2,10})\.?,?\s+(?=\S)")
_NUMBERS = re.compile(
    r"(\d{1,4})\s*([./-])\s*(\d{1,2})\s*\2\s*(\d{4}|\d{2})(?!\d)\.?(.*)", re.DOTALL
)
_DAY_MONTH = re.compile(
    r"(\d{1,2})(?:\.|st|nd|rd|th|er|º|°)?[\s./-]*(?:of |de |di )?"
    r"([^\W\d_]+)\.?[\s,/-]*(?:de |del )?(\d{4}|\d{2})(?!\d)(.*)",
    re.IGNORECASE | re.DOTALL,
)
_MONTH_DAY = re.compile(
    r"([^\W\d_]+)\.?\s*(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4})(?!\d)(.*)",
    re.IGNORECASE | re.DOTALL,
)
_CLOCK = re.compile(
    r"(?:at|um|à|a|alle|las|t|,|-)*\s*(\d{1,2})\s*"
    r"(?:[:.h]\s*(\d{2})(?::(\d{2}))?|(?=\s*(?:h|uhr|[ap]\.?m)))\s*(?:uhr|h)?\s*([ap]\.?m\.?)?",
    re.IGNORECASE,
)


def time_of_day(text: str) -> str | None:
    """A time of day as 18:30, or None where the text is none: `18h30`, `6:30 pm`, `18.30 Uhr`."""
    match = _CLOCK.fullmatch(text.strip())
    if match is None:
        return None
    hour, minute = int(match[1]), int(match[2] or 0)
    half = (match[4] or "").casefold().replace(".", "")
    if half and not 1 <= hour <= 12:
        return None
    if half:
        hour = hour % 12 + (12 if half == "pm" else 0)
    if hour > 23 or minute > 59:
        return None
    seconds = f":{match[3]}" if match[3] else ""
    return f"{hour:02}:{minute:02}{seconds}"


@functools.lru_cache(maxsize=8192)
def as_iso(text: str, order: SlashOrder | None) -> tuple[str | None, bool]:
    """The day (and time) as ISO text and False; None and whether only the order was missing.

    What has the record's own shape already is given back as it is.
    """
    typed = text.strip()
    weekday = _WEEKDAY.match(typed)
    if weekday and month_of(weekday[1]) is None:
        typed = typed[weekday.end() :]
    if match := _NUMBERS.fullmatch(typed):
        return _in_numbers(match, order)
    if match := _DAY_MONTH.fullmatch(typed):
        day, name, year, rest = match.groups()
    elif match := _MONTH_DAY.fullmatch(typed):
        name, day, year, rest = match.groups()
    else:
        return None, False
    number = month_of(name)
    return (_joined(_year(year), str(number), day, rest) if number else None), False


def _in_numbers(match: re.Match[str], order: SlashOrder | None) -> tuple[str | None, bool]:
    first, sign, second, last, rest = match.groups()
    if len(first) == 4:
        return _joined(first, second, last, rest), False
    if len(first) > 2:
        return None, False
    order = "dmy" if sign == "." else order or _only_way(first, second)
    if order is None:
        return None, True
    day, month = (first, second) if order == "dmy" else (second, first)
    return _joined(_year(last), month, day, rest), False


def order_of(cells: Iterable[str]) -> SlashOrder | None:
    """Which number is the day, where some cells of a column say it and none says the opposite."""
    said: set[SlashOrder] = set()
    for cell in cells:
        match = _NUMBERS.search(cell)
        if match and match[2] != "." and len(match[1]) <= 2:
            only = _only_way(match[1], match[3])
            if only is not None and match[1] != match[3]:
                said.add(only)
    return said.pop() if len(said) == 1 else None


def _only_way(first: str, second: str) -> SlashOrder | None:
    if int(first) > 12 >= int(second):
        return "dmy"
    if int(second) > 12 >= int(first):
        return "mdy"
    return None


def _year(digits: str) -> str:
    if len(digits) == 4:
        return digits
    return f"{'20' if int(digits) < 70 else '19'}{digits}"


def _joined(year: str, month: str, day: str, rest: str) -> str | None:
    iso = f"{year}-{int(month):02}-{int(day):02}"
    if not rest.strip():
        return iso
    clock = time_of_day(rest)
    return f"{iso} {clock}" if clock else f"{iso}{rest}" if rest[:1] in "T " else None
