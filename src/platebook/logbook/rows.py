"""How a value of the record lies in a row: lengths in micrometres, times in UTC, lists as JSON.

A `Column` names an attribute of a frozen value and its type; `stored` turns the attributes into the
columns of a row and `loaded` turns a row back. Both leave out what is empty, so empty is never zero
and a column that a later contract adds is simply empty in older rows.
"""

import json
import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Any, Literal

from platebook.logbook.errors import LogbookError

Stored = str | int | float
Row = Mapping[str, Stored]
ColumnType = Literal["text", "integer", "number", "length", "yes/no", "datetime", "list", "pairs"]

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND = timedelta(microseconds=1)
_MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class Column:
    """One attribute of a value: its name, its type, and the columns of the table it fills."""

    name: str
    type: ColumnType

    @property
    def stored_as(self) -> tuple[str, ...]:
        """Names of the columns this attribute fills."""
        if self.type == "length":
            return (self.name.removesuffix("_mm") + "_um",)
        if self.type == "datetime":
            return (f"{self.name}_us", f"{self.name}_offset_min")
        return (self.name,)


def micrometres(length_mm: float) -> int:
    """A length in whole micrometres, halves to the even one; what is typed counts, not its bits."""
    return int((Decimal(repr(float(length_mm))) * 1000).to_integral_value(ROUND_HALF_EVEN))


def instant(time: datetime) -> tuple[int, int]:
    """Microseconds since 1970 in UTC and the offset in whole minutes; ValueError without offset."""
    offset = time.utcoffset()
    if offset is None:
        message = f"a time without an offset cannot be stored: {time.isoformat()}"
        raise ValueError(message)
    return (time - _EPOCH) // _MICROSECOND, offset // _MINUTE


def time_of(microseconds: int, offset_min: int) -> datetime:
    """The time that `instant` gave these two numbers for."""
    zone = timezone(timedelta(minutes=offset_min)) if offset_min else UTC
    return (_EPOCH + microseconds * _MICROSECOND).astimezone(zone)


def as_json(value: object) -> str:
    """JSON text that is the same for equal values."""
    return json.dumps(
        value, ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":")
    )


def _finite(name: str, value: float) -> float:
    number = float(value)
    if not math.isfinite(number):
        message = f"{name}: {number} is not a number that can be stored. Nothing was changed."
        raise LogbookError("value", message)
    return number


def _pairs(value: Iterable[tuple[str, Any]]) -> str | None:
    kept = [[name, item] for name, item in value]
    for name, item in kept:
        if isinstance(item, float):
            _finite(name, item)
    return as_json(kept) if kept else None


def _put(column: Column, value: Any) -> Stored | None:
    match column.type:
        case "text":
            return str(value)
        case "integer" | "yes/no":
            return int(value)
        case "number":
            return _finite(column.name, value)
        case "length":
            return micrometres(_finite(column.name, value))
        case "list":
            return as_json(list(value))
        case _:
            return _pairs(value)


def stored(columns: Iterable[Column], value: object) -> dict[str, Stored]:
    """The row of a value: its filled columns only. LogbookError for a number no row can hold."""
    row: dict[str, Stored] = {}
    for column in columns:
        attribute = getattr(value, column.name)
        if attribute is None:
            continue
        if column.type == "datetime":
            row.update(zip(column.stored_as, instant(attribute), strict=True))
        elif (put := _put(column, attribute)) is not None:
            row[column.stored_as[0]] = put
    return row


_GET: dict[str, Callable[[Any], object]] = {
    "text": str,
    "integer": int,
    "number": float,
    "length": lambda um: um / 1000,
    "yes/no": bool,
    "list": lambda text: tuple(json.loads(text)),
    "pairs": lambda text: tuple((name, item) for name, item in json.loads(text)),
}


def loaded(columns: Iterable[Column], row: Mapping[str, Any]) -> dict[str, Any]:
    """The attributes of a value from its row; what is empty is left out."""
    found: dict[str, Any] = {}
    for column in columns:
        first = row.get(column.stored_as[0])
        if first is None:
            continue
        if column.type == "datetime":
            found[column.name] = time_of(first, row[column.stored_as[1]])
        else:
            found[column.name] = _GET[column.type](first)
    return found
