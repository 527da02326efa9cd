"""Is a revision from elsewhere one that this logbook can hold? A sentence where it is not.

A kind that this program does not know is kept as it came. So is a record of a newer schema, as
long as what this program knows of it can be read: a row that cannot be read would stand in the way
of all others.
"""

import math
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from typing import Any

from platebook.logbook.errors import LogbookError
from platebook.logbook.record_kinds import SCHEMA, Kind, kind_words, kinds
from platebook.logbook.row_values import ColumnType, TableColumn, time_of
from platebook.practice.revision import Revision
from platebook.practice.text import has_unsafe, json_in

_LARGEST = 2**63 - 1
_DAY_MIN = 24 * 60


def refusal(revision: Revision) -> str | None:
    """Why this revision cannot be taken in, in one sentence; None where it can."""
    what = f"the {kind_words(revision.kind)} {revision.record_id}"
    try:
        row = _read(revision)
    except ValueError:
        row = None
    if not isinstance(row, dict):
        return f"{what}: read {revision.record!r:.40}, expected a record as a JSON object"
    if _may_hold_unsafe(revision.record) and any(map(has_unsafe, _texts(row))):
        return f"{what} holds characters that steer a terminal or turn text around"
    kind = kinds().get(revision.kind)
    if kind is None:
        return None
    wrong = _wrong_field(kind, revision.record_id, row)
    if wrong is None:
        return None
    newer = (
        " It was written by a newer platebook; install that." if revision.schema > SCHEMA else ""
    )
    return f"{what}, {wrong}.{newer}"


def _wrong_field(kind: Kind, record_id: str, row: Mapping[str, Any]) -> str | None:
    if row.get(kind.key) != record_id:
        return f"{kind.key}: read {row.get(kind.key)!r:.60}, expected {record_id}"
    if kind.owner == "row" and not isinstance(row.get("setter_id"), str):
        return f"setter_id: read {row.get('setter_id')!r:.60}, expected a setter's id"
    for column in kind.columns.columns:
        if row.keys().isdisjoint(column.stored_as):
            continue
        stored = [row.get(name) for name in column.stored_as]
        if stored.count(None) == len(stored):
            continue
        if not _FITS[column.type](*stored) or not _CONTENT.get(column.name, _any)(stored[0]):
            return f"{column.name}: read {stored[0]!r:.60}, expected {_expected(column)}"
    try:
        kind.record_of(row)
    except (LogbookError, TypeError) as error:
        return f"which does not make one: {' '.join(str(error).split())[:200]}"
    return None


def _read(revision: Revision) -> Any:
    """The record; ValueError where it holds what JSON has no number for, or is no JSON."""
    if "NaN" in revision.record or "Infinity" in revision.record:
        return json_in(revision.record, finite=True)
    return revision.row


def _may_hold_unsafe(record: str) -> bool:
    """Whether it is worth looking at each text: plain ASCII without escapes holds none."""
    return not record.isascii() or "\\u" in record or "\\b" in record or "\x7f" in record


def _texts(value: object) -> Iterator[str]:
    """Every text in a record, also those in lists that are kept as JSON."""
    match value:
        case str():
            yield value
            if value.startswith("["):
                yield from _texts_in_json(value)
        case dict():
            for name, inner in value.items():
                yield from _texts(name)
                yield from _texts(inner)
        case list():
            for inner in value:
                yield from _texts(inner)


def _texts_in_json(text: str) -> Iterator[str]:
    try:
        inner = json_in(text)
    except ValueError:
        return
    yield from _texts(inner)


def _expected(column: TableColumn) -> str:
    if column.name in _CONTENT_IN_WORDS:
        return _CONTENT_IN_WORDS[column.name]
    return {
        "text": "text",
        "integer": "a whole number",
        "number": "a number",
        "length": "a length in whole micrometres",
        "yes/no": "0 or 1",
        "date": "a day as YYYY-MM-DD",
        "datetime": "a time in microseconds with an offset in minutes",
        "list": "a list as JSON text",
        "pairs": "a list of pairs as JSON text",
    }[column.type]


def _whole(value: object) -> bool:
    return type(value) is int and -_LARGEST <= value <= _LARGEST


def _number(value: object) -> bool:
    return _whole(value) or (isinstance(value, float) and math.isfinite(value))


def _date(value: object) -> bool:
    try:
        return isinstance(value, str) and date.fromisoformat(value).isoformat() == value
    except ValueError:
        return False


def _time(microseconds: object, offset_min: object) -> bool:
    if type(microseconds) is not int or type(offset_min) is not int:
        return False
    if abs(offset_min) >= _DAY_MIN:
        return False
    try:
        time_of(microseconds, offset_min)
    except (ValueError, OverflowError):
        return False
    return True


def _list(value: object) -> bool:
    try:
        items = json_in(value) if isinstance(value, str) else None
    except ValueError:
        return False
    return isinstance(items, list) and all(isinstance(item, str | int | float) for item in items)


def _words(value: str) -> bool:
    return all(isinstance(item, str) for item in json_in(value))


def _grades_of_a_defect(value: str) -> bool:
    return all(type(item) is int and 1 <= item <= 3 for item in json_in(value))


def _any(value: object) -> bool:
    del value
    return True


def _pairs(value: object) -> bool:
    try:
        pairs = json_in(value) if isinstance(value, str) else None
    except ValueError:
        return False
    return isinstance(pairs, list) and all(
        isinstance(pair, list)
        and len(pair) == 2
        and isinstance(pair[0], str)
        and isinstance(pair[1], str | int | float | None)
        for pair in pairs
    )


_FITS: Mapping[ColumnType, Callable[..., bool]] = {
    "text": lambda value: isinstance(value, str),
    "integer": _whole,
    "number": _number,
    "length": _whole,
    "yes/no": lambda value: type(value) is int and value in (0, 1),
    "date": _date,
    "datetime": _time,
    "list": _list,
    "pairs": _pairs,
}

_CONTENT: Mapping[str, Callable[[Any], bool]] = {
    "result": _words,
    "after_cleanup": _words,
    "severity": _grades_of_a_defect,
    "clock": lambda value: 1 <= value <= 12,
    "pool": _words,
    "teachers": _words,
    "answered": _words,
}
"""What the record's contract says beyond the type, and every reader of a look relies on."""

_CONTENT_IN_WORDS = {
    "result": "a list of words as JSON text",
    "after_cleanup": "a list of words as JSON text",
    "severity": "a list of 1, 2 and 3 as JSON text",
    "clock": "a whole number from 1 to 12",
    "pool": "a list of ids as JSON text",
    "teachers": "a list of ids as JSON text",
    "answered": "a list of ids as JSON text",
}
