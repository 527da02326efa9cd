"""Rows of fields to attempts, with every problem found on the way, and attempts back to rows.

A row is a mapping of field name to text, as a CSV gives it, or to plain values, as JSON does. The
same reading serves the import, the command line and the app.
"""

import re
from collections.abc import Collection, Iterable, Mapping
from datetime import UTC, tzinfo
from typing import Any, cast

from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import (
    PLACED_BY,
    SHEET_ROW,
    Course,
    ExtraField,
    unknown_in_course,
    values_from_course,
)
from platebook.practice.fields import Choice, choices, fields
from platebook.practice.problem import Problem
from platebook.practice.reading.field_values import read_clean_value, read_value
from platebook.practice.reading.timestamps import Moment, SlashOrder, read_moment
from platebook.practice.results import read_result, read_severity, too_many_severities
from platebook.practice.text import LONGEST_LINE, as_text, clean
from platebook.trade.measuring.tool_checks import refuse_caliper_inside

Values = Mapping[str, object]

_CALIPER = re.compile(r"\bcall?iper", re.IGNORECASE)

_NOT_ABOVE = (
    ("stone_diameter_min_mm", "stone_diameter_max_mm"),
    ("stone_depth_mm", "stone_diameter_mm"),
    ("stone_crown_mm", "stone_depth_mm"),
    ("stone_girdle_min_mm", "stone_girdle_max_mm"),
)


def contradictions(values: Values, *, unread: Collection[str] = ()) -> tuple[tuple[str, str], ...]:
    """Field and what was expected of it, for each pair of fields that cannot both be right.

    `values` are those that were read, none of them empty. `unread` fields were mistyped; nothing is
    held against them a second time.
    """
    lengths = cast("Mapping[str, float]", values)
    contrary: list[tuple[str, str]] = []
    for lower, upper in _NOT_ABOVE:
        if lower in values and upper in values and lengths[lower] > lengths[upper]:
            contrary.append((lower, f"at most {upper}, which is {lengths[upper]:g} mm"))
    if "seat_go_mm" in values and "seat_nogo_mm" in values:
        go, nogo = lengths["seat_go_mm"], lengths["seat_nogo_mm"]
        if go >= nogo:
            contrary.append(("seat_go_mm", f"less than seat_nogo_mm, which is {nogo:g} mm"))
    if "seat_diameter_mm" in values and _CALIPER.search(str(values.get("seat_measured_with", ""))):
        refused = refuse_caliper_inside(lengths["seat_diameter_mm"])
        if refused is not None:
            contrary.append(("seat_diameter_mm", refused.expected))
    if "severity" in values and "result" not in unread:
        severity = cast("tuple[int, ...]", values["severity"])
        result = cast("tuple[str, ...] | None", values.get("result"))
        if too_many := too_many_severities(severity, result):
            contrary.append(("severity", too_many))
    return tuple(contrary)


Row = Mapping[str, object]
UNKNOWN_FIELD = "a field of the record"
"""What was expected of a field that neither the record nor the course has."""

OFFSET = "began_offset"
"""Beside `began` in an exported sheet: what its time, as the clock showed it, is ahead of UTC.

"+01:00", or "UTC+01:00" where a bare one would be taken for a time of day.
"""

_LOOKS = ("result", "after_cleanup")
_LISTS = (*_LOOKS, "severity")


def read_attempts(
    rows: Iterable[Row],
    *,
    course: Course | None = None,
    zone: tzinfo = UTC,
    dates: SlashOrder | None = None,
) -> tuple[tuple[Attempt, ...], tuple[Problem, ...]]:
    """The attempts of all sound rows in their order, and the problems of all rows.

    `zone` is the local zone of moments without an offset; `dates` says how slashes are meant. A
    `course` adds its own fields, and places rows that name no grade. Rows count from 1; a row
    with a problem gives no attempt, an empty row gives nothing. Missing ids stay None.
    """
    reader = _Reader(course, zone, dates)
    attempts = [reader.read(number, row) for number, row in enumerate(rows, start=1)]
    return tuple(a for a in attempts if a is not None), tuple(reader.problems)


class _Reader:
    """Reads row after row and keeps the problems and the ids it has seen."""

    def __init__(self, course: Course | None, zone: tzinfo, dates: SlashOrder | None) -> None:
        self.problems: list[Problem] = []
        self._course = course
        self._zone = zone
        self._dates = dates
        self._fields = fields()
        self._listed = choices()
        own = course.extra if course is not None else ()
        self._extra = {field.name: field for field in (*own, SHEET_ROW)}
        self._row_of_id: dict[str, int] = {}
        self._unknown: set[str] = set()
        # Most cells of a sheet say what one above them said: each text is read once a field.
        self._on_one_line = (self._fields.keys() | self._extra.keys() | {OFFSET}) - {"note"}
        self._cleaned: dict[str, str] = {}
        self._read_before: dict[tuple[str, str], tuple[object, str]] = {}

    def read(self, number: int, row: Row) -> Attempt | None:
        """The attempt of one row, or None where it is empty or has a problem."""
        before = len(self.problems)
        texts = self._texts(number, row)
        if not texts:
            return None
        values = self._values(number, texts)
        unread = {p.field for p in self.problems[before:] if p.level == "problem"}
        for name, expected in contradictions(values, unread=unread):
            self._report(number, name, texts.get(name, ""), expected)
        self._report_repeated_id(number, values)
        if any(p.level == "problem" for p in self.problems[before:]):
            return None
        extra = tuple((name, values.pop(name)) for name in self._extra if name in values)
        return Attempt(**cast("dict[str, Any]", values), extra=cast("Any", extra))

    def _texts(self, number: int, row: Row) -> dict[str, str]:
        """The clean text of each known field that is not empty."""
        texts: dict[str, str] = {}
        for name, value in row.items():
            if name in self._on_one_line and isinstance(value, str):
                bare = self._cleaned.get(value)
                if bare is None:
                    bare = self._cleaned[value] = clean(value)
                if bare:
                    texts[name] = bare
                continue
            if name not in self._on_one_line and name != "note":
                self._report_unknown(number, name, value)
                continue
            text = value if isinstance(value, str) else as_text(value)
            listed = isinstance(value, list | tuple) and name not in _LISTS
            if text is None or listed:
                self._report(number, name, repr(value), "one plain value")
            elif bare := clean(text, multiline=name == "note"):
                texts[name] = bare
        offset = texts.pop(OFFSET, "").removeprefix("UTC")
        if offset and len(texts.get("began", "")) > len("2024-05-03"):
            texts["began"] += offset
        return texts

    def _values(self, number: int, texts: dict[str, str]) -> dict[str, object]:
        """The values of one row, with its kind decided and its place in the course filled in."""
        values = self._before_the_look(number, texts)
        if self._course is not None and not values.keys().isdisjoint(PLACED_BY):
            values |= values_from_course(values, self._course)
            for name, expected in unknown_in_course(values, self._course):
                self._report(number, name, texts[name], expected, notice=True)
        if "kind" not in values:
            values["kind"] = "part" if "part" in values else "whole"
        part = values["kind"] == "part"
        for name, text in texts.items():
            if name in _LOOKS:
                result, expected = read_result(text, part=part)
                if expected:
                    self._report(number, name, text, expected)
                elif result is not None:
                    values[name] = result
        return values

    def _before_the_look(self, number: int, texts: dict[str, str]) -> dict[str, object]:
        """The values of one row that need nothing but their own text."""
        values: dict[str, object] = {}
        for name, text in texts.items():
            if name in _LOOKS:
                continue
            value, expected = self._read(name, text)
            if expected:
                self._report(number, name, text, expected, notice=value is not None)
            if isinstance(value, Moment):
                values |= {name: value.began, "day_only": value.day_only}
            elif value is not None:
                values[name] = value
        return values

    def _read(self, name: str, text: str) -> tuple[object, str]:
        read = self._read_before.get((name, text))
        if read is None:
            read = self._read_before[name, text] = self._read_first(name, text)
        return read

    def _read_first(self, name: str, text: str) -> tuple[object, str]:
        if name in self._extra:
            return _read_extra(self._extra[name], text)
        kind = self._fields[name].type
        if kind == "datetime":
            return read_moment(text, zone=self._zone, dates=self._dates)
        if kind == "list":
            return read_severity(text)
        return read_clean_value(name, kind, text, self._listed.get(name, ()))

    def _report(
        self, number: int, name: str, read: str, expected: str, *, notice: bool = False
    ) -> None:
        read = clean(read)[:LONGEST_LINE]
        problem = Problem(number, name, read, expected, "notice" if notice else "problem")
        self.problems.append(problem)

    def _report_unknown(self, number: int, name: str, value: object) -> None:
        if name not in self._unknown:
            self._unknown.add(name)
            self._report(number, name, as_text(value) or "", UNKNOWN_FIELD, notice=True)

    def _report_repeated_id(self, number: int, values: Mapping[str, object]) -> None:
        attempt_id = values.get("attempt_id")
        if not isinstance(attempt_id, str):
            return
        first = self._row_of_id.setdefault(attempt_id, number)
        if first != number:
            self._report(number, "attempt_id", attempt_id, f"an id of its own; row {first} has it")


def _read_extra(field: ExtraField, text: str) -> tuple[object, str]:
    """A course's own field; its whole numbers are kept as numbers like any other."""
    listed = tuple(Choice(value, (), None) for value in field.choices)
    value, expected = read_value(field.name, field.type, text, listed)
    if isinstance(value, int) and not isinstance(value, bool):
        return float(value), expected
    return value, expected


def write_row(attempt: Attempt) -> dict[str, str]:
    """The canonical text of every field in the order of the contract, then the course's own.

    A moment carries its offset, and is only a day where only the day was known.
    """
    row = {name: _text(getattr(attempt, name)) for name in fields()}
    if attempt.began is not None and attempt.day_only:
        row["began"] = attempt.began.date().isoformat()
    return row | {name: _text(value) for name, value in attempt.extra}


def _text(value: object) -> str:
    text = as_text(value)
    if text is None:
        raise TypeError(f"no text stands for {value!r}")
    return text


_AS_THEY_ARE = {"integer", "number", "length", "yes/no"}


def json_row(attempt: Attempt) -> dict[str, object]:
    """Every field of the record; an empty one is null, text fields read as in a CSV file.

    `record --from` reads the same object back as the same attempt.
    """
    text = write_row(attempt)
    row: dict[str, object] = {
        name: getattr(attempt, name) if field.type in _AS_THEY_ARE else text[name] or None
        for name, field in fields().items()
    }
    return row | dict(attempt.extra)
