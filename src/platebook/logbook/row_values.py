"""How a value of the record lies in a row: lengths in micrometres, times in UTC, lists as JSON.

A `TableColumn` names an attribute of a frozen value and its type; `TableColumns` turn the
attributes into a row and a row back. Both ways leave out what is empty, so empty is never zero and
a column that a later contract adds is simply empty in older rows.
"""

import functools
import json
import math
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from decimal import ROUND_HALF_EVEN, Decimal
from operator import attrgetter
from typing import Any, Literal

from platebook.logbook.errors import NO_VALUE, LogbookError, UnreadableRowError

Stored = str | int | float
Row = Mapping[str, Stored]
ColumnType = Literal[
    "text", "integer", "number", "length", "yes/no", "date", "datetime", "list", "pairs"
]

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND = timedelta(microseconds=1)
_MINUTE = timedelta(minutes=1)
_JSON = json.JSONEncoder(ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":"))


@dataclass(frozen=True, slots=True)
class TableColumn:
    """One attribute of a value: its name, its type, and the columns of the table it fills."""

    name: str
    type: ColumnType
    stored_as: tuple[str, ...] = field(init=False)

    def __post_init__(self) -> None:
        """Names the columns of the table once, because every row asks for them."""
        names: tuple[str, ...] = (self.name,)
        if self.type == "length":
            names = (self.name.removesuffix("_mm") + "_um",)
        if self.type == "datetime":
            names = (f"{self.name}_us", f"{self.name}_offset_min")
        object.__setattr__(self, "stored_as", names)


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
    return (_EPOCH + microseconds * _MICROSECOND).astimezone(_zone(offset_min))


@functools.lru_cache(maxsize=256)
def _zone(offset_min: int) -> tzinfo:
    return timezone(timedelta(minutes=offset_min)) if offset_min else UTC


@functools.lru_cache(maxsize=4096)
def _list_in(text: str) -> tuple[Any, ...]:
    """The items of a list kept as JSON text; a log has few lists, each very often."""
    items = json.loads(text)
    plain = isinstance(items, list) and all(isinstance(item, str | int | float) for item in items)
    if not plain:
        raise ValueError("no list of words or numbers")
    return tuple(items)


def as_json(value: object) -> str:
    """JSON text that is the same for equal values."""
    return _JSON.encode(value)


def _refuse_endless(name: str, number: float) -> None:
    if not math.isfinite(number):
        message = f"{name}: {number} is not a number that can be stored. Nothing was changed."
        raise LogbookError("value", message)


def _pairs(value: Iterable[tuple[str, Any]]) -> str | None:
    kept = [[name, item] for name, item in value]
    for name, item in kept:
        if isinstance(item, float):
            _refuse_endless(name, item)
    return as_json(kept) if kept else None


_PUT: dict[str, Callable[[Any], Stored | None]] = {
    "text": str,
    "integer": int,
    "number": float,
    "length": micrometres,
    "yes/no": int,
    "date": date.isoformat,
    "list": lambda value: as_json(list(value)),
    "pairs": lambda value: _pairs(value) if value else None,
}
"""How the value of an attribute is put into its column, by the column's type."""

_GET: dict[str, Callable[[Any], object]] = {
    "text": str,
    "integer": int,
    "number": float,
    "length": lambda micrometres: micrometres / 1000,
    "yes/no": bool,
    "date": date.fromisoformat,
    "list": _list_in,
    "pairs": lambda text: tuple((name, item) for name, item in json.loads(text)),
}
"""How a value is got out of its column, where it lies in one; the rest is in `loaded`."""


class TableColumns:
    """All columns of one kind of value: they turn it into a row and a row back into attributes.

    How each attribute is stored is worked out here once, so that a row costs what is filled in it.
    """

    def __init__(self, *columns: TableColumn) -> None:
        self.columns = columns
        self._ways = tuple(
            (column.name, column.stored_as, _PUT.get(column.type)) for column in columns
        )
        # With one name alone `attrgetter` gives no tuple; the first twice does no harm.
        self._all_of = attrgetter(*(column.name for column in (*columns, columns[0])))
        self._by_stored_name = {column.stored_as[0]: column for column in columns}
        self.stored_as = tuple(name for column in columns for name in column.stored_as)

    def stored_of(self, names: Collection[str]) -> tuple[str, ...]:
        """The columns in which these attributes lie."""
        return tuple(c for column in self.columns if column.name in names for c in column.stored_as)

    def stored(self, value: object) -> dict[str, Stored]:
        """The row of a value: its filled columns only.

        LogbookError for a number that no row can hold.
        """
        row: dict[str, Stored] = {}
        pairs = zip(self._ways, self._all_of(value), strict=False)
        for (name, stored_as, put), attribute in [pair for pair in pairs if pair[1] is not None]:
            if isinstance(attribute, float):
                _refuse_endless(name, attribute)
            if put is None:
                row.update(zip(stored_as, instant(attribute), strict=True))
            elif (stored := put(attribute)) is not None:
                row[stored_as[0]] = stored
        return row

    def loaded(self, row: Mapping[str, Any]) -> dict[str, Any]:
        """The attributes of a value from its row; what is empty is left out.

        UnreadableRowError for a cell that this program did not fill so.
        """
        attributes: dict[str, Any] = {}
        column, value = None, None
        try:
            for name, value in row.items():
                column = self._by_stored_name.get(name)
                if value is None or column is None:
                    continue
                if column.type == "datetime":
                    attributes[column.name] = time_of(value, row[column.stored_as[1]])
                else:
                    attributes[column.name] = _GET[column.type](value)
        except NO_VALUE as error:
            what = column.name if column is not None else "a value"
            raise UnreadableRowError(what, value) from error
        return attributes

    def loaded_together(
        self, names: Sequence[str], rows: Sequence[Sequence[Any]]
    ) -> dict[str, list[Any]]:
        """The attributes of many values, each as the list of what it is in every row.

        The cells of each row stand as `names` do. None stands for an empty cell, and an attribute
        that every row leaves empty is left out. A column at a time takes a fifth of the time that
        `loaded` takes for the same rows. UnreadableRowError as there.
        """
        cells = dict(zip(names, zip(*rows, strict=True), strict=True)) if rows else {}
        loaded: dict[str, list[Any]] = {}
        try:
            for column in self.columns:
                values = cells.get(column.stored_as[0], ())
                if values.count(None) < len(values):
                    others = [cells[name] for name in column.stored_as[1:]]
                    loaded[column.name] = _got(column.type, values, *others)
        except NO_VALUE:
            for row in rows:
                self.loaded(dict(zip(names, row, strict=True)))
            raise
        return loaded


def _got(kind: ColumnType, values: Sequence[Any], *offsets: Sequence[Any]) -> list[Any]:
    """What the cells of one column hold, an empty one None; a time lies in two columns."""
    if offsets:
        return [
            None if value is None else time_of(value, offset)
            for value, offset in zip(values, *offsets, strict=True)
        ]
    get = _GET[kind]
    return [None if value is None else get(value) for value in values]
