"""When an attempt began, as people and programs write it.

Without an offset a moment is local time in the zone given. A day without a time stands at its
midnight and is marked as a day only.
"""

import re
from datetime import datetime, timedelta, timezone, tzinfo
from typing import Literal

from platebook.trade.phrases import moment_words
from platebook.values import Value

SlashOrder = Literal["dmy", "mdy"]

EXPECTED = "a date such as 2026-02-03, 2026-02-03 18:30 or 3.2.2026 18:30"
_AMBIGUOUS = (
    "an unambiguous date: slashes can mean day or month first; "
    "say which with --dates dmy or --dates mdy"
)
_TWICE = "an offset: the clock showed this time twice or not at all; read as {}, {}"
_YEARS = range(1950, 2200)
_TIME = (
    r"(?:[T ]\s*(?P<hour>[0-9]{1,2})[:.](?P<minute>[0-9]{2})"
    r"(?::(?P<second>[0-9]{2})(?:[.,](?P<fraction>[0-9]{1,6}))?)?"
    r"\s*(?P<half>[AP]M)?\s*(?P<offset>Z|[+-][0-9]{2}:?[0-9]{2}(?::[0-9]{2})?)?)?"
)
_SHAPES = {
    "ymd": re.compile(
        r"(?P<y>[0-9]{4})-(?P<m>[0-9]{1,2})-(?P<d>[0-9]{1,2})" + _TIME, re.IGNORECASE
    ),
    "dots": re.compile(
        r"(?P<d>[0-9]{1,2})\.\s*(?P<m>[0-9]{1,2})\.\s*(?P<y>[0-9]{4})" + _TIME, re.IGNORECASE
    ),
    "dmy": re.compile(
        r"(?P<d>[0-9]{1,2})/(?P<m>[0-9]{1,2})/(?P<y>[0-9]{4})" + _TIME, re.IGNORECASE
    ),
    "mdy": re.compile(
        r"(?P<m>[0-9]{1,2})/(?P<d>[0-9]{1,2})/(?P<y>[0-9]{4})" + _TIME, re.IGNORECASE
    ),
}


class Moment(Value):
    """An aware time with a fixed offset; `day_only` where nobody wrote down the hour."""

    began: datetime
    day_only: bool = False


def read_moment(
    typed: str, *, zone: tzinfo, dates: SlashOrder | None = None
) -> tuple[Moment | None, str]:
    """The moment and "", the moment and a remark, or None and what was expected."""
    for shape, pattern in _SHAPES.items():
        match = pattern.fullmatch(typed)
        if match is None:
            continue
        if shape in {"dmy", "mdy"}:
            if dates is None:
                return None, _AMBIGUOUS
            if shape != dates:
                continue
        try:
            return _moment(match.groupdict(), zone)
        except (ValueError, OverflowError):
            return None, f"{EXPECTED}; there is no such day or time"
    return None, EXPECTED


def _moment(part: dict[str, str | None], zone: tzinfo) -> tuple[Moment | None, str]:
    year = int(part["y"] or 0)
    if year not in _YEARS:
        return None, f"{EXPECTED}; a year from {_YEARS[0]} to {_YEARS[-1]}"
    day_only = part["hour"] is None
    local = datetime(  # noqa: DTZ001 - the zone or the offset typed is put on below
        year,
        int(part["m"] or 0),
        int(part["d"] or 0),
        _hour(part["hour"], part["half"]),
        int(part["minute"] or 0),
        int(part["second"] or 0),
        int((part["fraction"] or "0").ljust(6, "0")),
    )
    if part["offset"] is not None:
        return Moment(local.replace(tzinfo=timezone(_offset(part["offset"])))), ""
    began = _fixed(local, zone, fold=0)
    if not day_only and began.utcoffset() != _fixed(local, zone, fold=1).utcoffset():
        return Moment(began), _TWICE.format(moment_words(began), began.tzname())
    return Moment(began, day_only), ""


def _hour(typed: str | None, half: str | None) -> int:
    hour = int(typed or 0)
    if half is None:
        return hour
    if not 1 <= hour <= 12:
        raise ValueError(typed)
    return hour % 12 + (12 if half.lower() == "pm" else 0)


def _offset(typed: str) -> timedelta:
    if typed.lower() == "z":
        return timedelta()
    digits = typed[1:].replace(":", "").ljust(6, "0")
    hours, minutes, seconds = (int(digits[at : at + 2]) for at in (0, 2, 4))
    if minutes > 59 or seconds > 59:
        raise ValueError(typed)
    size = timedelta(hours=hours, minutes=minutes, seconds=seconds)
    return -size if typed.startswith("-") else size


def _fixed(local: datetime, zone: tzinfo, *, fold: int) -> datetime:
    """The local time with the zone's offset at that time, which no longer changes."""
    offset = zone.utcoffset(local.replace(fold=fold, tzinfo=zone))
    return local.replace(tzinfo=timezone(offset or timedelta()))
