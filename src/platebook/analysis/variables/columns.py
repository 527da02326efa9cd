"""Columns: every recorded or derived variable as numbers, in the order of a log's attempts.

| function | gives |
|---|---|
| `variable` | how a variable is named, and at which limits of the trade it is cut |
| `columns` | every variable of a log as numbers |

The table is `data/variables.csv`: derived variables, and fields that are worded in their own way or
share a family. A field of the record without a row there is a family of its own, spoken by its
label. Variables of one family cannot be told apart from a log. A column whose `instead` names a
derived variable is used only where that one cannot be derived.

A measured field gives its numbers, a choice with an order its ranks, a yes/no field 0 and 1; a
choice without an order gives one column a level. A value outside a choice's list is a level of its
own. Empty stays empty (NaN).
"""

import functools
import itertools
import math
import operator
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from typing import Literal

import numpy as np

from platebook.analysis.arrays import Floats
from platebook.analysis.variables.attempt_log import AttemptLog
from platebook.analysis.variables.derived import derived
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import SHEET_ROW, Course
from platebook.practice.fields import Field, FieldType, Role, fields, ranks
from platebook.tables import csv_rows
from platebook.values import Value


class Variable(Value):
    """How one variable is named and cut. A yes/no field has a phrase for each of its answers.

    `more` and `less` are how either end of an order is spoken of: "fewer checks of the fit".
    `cut_low` and `cut_high` are limits of the trade, `target` the wanted value; None where the
    trade names none.
    """

    name: str
    family: str
    spoken: str
    phrase: str
    more: str = ""
    less: str = ""
    unit: str = ""
    yes: str = ""
    no: str = ""
    cut_low: float | None = None
    cut_high: float | None = None
    target: float | None = None
    instead: str = ""

    def toward(self, *, more: bool) -> str:
        """The end of its order that is meant, in words: "fewer checks of the fit"."""
        known, end = (self.more, "higher") if more else (self.less, "lower")
        return known or f"a {end} {self.spoken}"


def _limit(text: str) -> float | None:
    return float(text) if text else None


@functools.cache
def _variables() -> Mapping[str, Variable]:
    by_label = {
        field.name: Variable(field.name, field.label, field.label, field.label, unit=field.unit)
        for field in fields().values()
        if field.may_be_a_cause
    }
    worded = {
        row["variable"]: Variable(
            name=row["variable"],
            family=row["family"],
            spoken=row["spoken"],
            phrase=row["phrase"],
            more=row["more"],
            less=row["less"],
            unit=row["unit"],
            yes=row["yes"],
            no=row["no"],
            cut_low=_limit(row["cut_low"]),
            cut_high=_limit(row["cut_high"]),
            target=_limit(row["target"]),
            instead=row["instead"],
        )
        for row in csv_rows("platebook.analysis", "variables.csv")
    }
    return worded | {name: spoken for name, spoken in by_label.items() if name not in worded}


def variable(name: str) -> Variable:
    """The variable of this name; a course's own field is a family of its own."""
    spoken = name.replace("_", " ")
    return _variables().get(name) or Variable(name, spoken, spoken, spoken)


def known_variables() -> tuple[str, ...]:
    """Names of all variables: those of the table in its order, then the other fields."""
    return tuple(_variables())


Kind = Literal["number", "rank", "yes/no", "level"]

LEAST_OF_A_LEVEL = 5
"""A level seen on fewer attempts is pooled with the other rare ones."""

_MEASURED: frozenset[FieldType] = frozenset({"integer", "number", "length"})
_TIMES = ("minutes_into_session", "order_in_session", "order_on_plate", "days_since_practice")
"""What each attempt's place in time gives (`attempt_log.Place`)."""

_PLAIN = frozenset({int, float, bool, type(None)})
"""What numpy reads as a number, NaN for None."""

_WANTED_FIT = {"drop in": 4.0}
_WANTED_FIT_ELSE = 3.0


class Column(Value, eq=False):
    """One candidate: n numbers, NaN where the attempt has no value.

    `level` names the level that a level column marks with 1. `target` is the wanted value: one
    number, or n where it depends on the attempt; None where the trade names none.
    """

    variable: str
    kind: Kind
    process: bool
    values: Floats
    level: str | None = None
    target: float | Floats | None = None


def _numbers(values: Sequence[object]) -> Floats:
    """Numbers and yes/no as they are; NaN where there is none, or none that is finite."""
    if not _PLAIN.issuperset(map(type, values)):
        values = [v if isinstance(v, int | float) else None for v in values]
    numbers = np.array(values, dtype=float)
    return np.where(np.isfinite(numbers), numbers, math.nan)


def _level_columns(name: str, texts: Sequence[str | None], *, process: bool) -> list[Column]:
    counts = Counter(filter(None, texts))
    large = [level for level, count in sorted(counts.items()) if count >= LEAST_OF_A_LEVEL]
    if len(large) == 2 and len(counts) == 2:
        large = large[1:]
    return [
        Column(
            variable=name,
            kind="level",
            process=process,
            level=level,
            values=np.array([math.nan if t is None else float(t == level) for t in texts]),
        )
        for level in large
    ]


def _rank_columns(name: str, texts: Sequence[str | None], *, process: bool) -> list[Column]:
    order = ranks(name)
    values = np.array([float(order.get(t or "", math.nan)) for t in texts])
    ranked = [Column(name, "rank", process, values)]
    if order.keys() >= {*texts} - {None}:
        return ranked
    unlisted = [t if t is not None and t not in order else None for t in texts]
    for column in _level_columns(name, unlisted, process=process):
        marked = np.array([math.nan if t is None else float(t == column.level) for t in texts])
        ranked.append(Column(name, "level", process, marked, level=column.level))
    return ranked


def _choice_columns(name: str, texts: Sequence[str | None], *, process: bool) -> list[Column]:
    make = _rank_columns if ranks(name) else _level_columns
    return make(name, texts, process=process)


def _columns_of(name: str, kind: FieldType, role: Role, values: Sequence[object]) -> list[Column]:
    process = role == "process"
    if kind in _MEASURED:
        return [Column(name, "number", process, _numbers(values))]
    if kind == "yes/no":
        return [Column(name, "yes/no", process, _numbers(values))]
    if kind in {"choice", "text"}:
        texts = [v if isinstance(v, str) and v else None for v in values]
        return _choice_columns(name, texts, process=process)
    return []


Wanted = frozenset[str] | None
"""Names of the variables that are wanted; None for every one."""


@functools.cache
def _may_be_causes(wanted: Wanted) -> tuple[Field, ...]:
    causes = (field for field in fields().values() if field.may_be_a_cause)
    return tuple(field for field in causes if wanted is None or field.name in wanted)


@functools.cache
def _read_causes(wanted: Wanted) -> Callable[[Attempt], tuple[object, ...]]:
    """Reads the values of those fields, two or more, from an attempt."""
    return operator.attrgetter(*(field.name for field in _may_be_causes(wanted)))


def _recorded_columns(rows: Sequence[Attempt], wanted: Wanted) -> list[Column]:
    """The fields of the record that may be a cause; those that nobody wrote down give nothing."""
    added: list[Column] = []
    read = zip(*map(_read_causes(wanted), rows), strict=True)
    for field, values in zip(_may_be_causes(wanted), read, strict=bool(rows)):
        if values.count(None) < len(values):
            added += _columns_of(field.name, field.type, field.role, values)
    return added


def _added_columns(rows: Sequence[Attempt], course: Course | None) -> list[Column]:
    """The fields that a course added, and those that came with the rows: process without a role."""
    beside = (SHEET_ROW, *(course.extra if course is not None else ()))
    by_course = {extra.name: extra for extra in beside}
    pairs = [dict(attempt.extra) for attempt in rows]
    names = sorted({name for pair in pairs for name in pair} - set(fields()))
    added: list[Column] = []
    for name in names:
        values: list[object] = [pair.get(name) for pair in pairs]
        extra = by_course.get(name)
        role: Role = extra.role if extra is not None else "process"
        if role not in {"cause", "process"}:
            continue
        numeric = not bool(np.isnan(_numbers(values)).all())
        kind = extra.type if extra is not None else "number" if numeric else "choice"
        added += _columns_of(name, kind, role, values)
    return added


def _derived_columns(log: AttemptLog, wanted: Wanted) -> list[Column]:
    rows = [derived(attempt) for attempt in log.attempts]
    of_all = dict.fromkeys(itertools.chain.from_iterable(rows))
    names = [name for name in of_all if wanted is None or name in wanted]
    times = {name: [getattr(place, name) for place in log.places] for name in _TIMES}
    values = {name: [row.get(name) for row in rows] for name in names} | times
    return [
        Column(name, "number", process=False, values=_numbers(of_name))
        for name, of_name in values.items()
    ]


def _target(column: Column, rows: Sequence[Attempt]) -> float | Floats | None:
    if column.variable == "fit" and column.kind == "rank":
        return np.array([_WANTED_FIT.get(a.seat_method or "", _WANTED_FIT_ELSE) for a in rows])
    return variable(column.variable).target


@functools.lru_cache(maxsize=8)
def columns(
    log: AttemptLog, course: Course | None = None, *, wanted: Wanted = None
) -> tuple[Column, ...]:
    """All columns with at least one value; a raw one gives way to what is derived from it.

    Those of the `wanted` variables alone, the fields that came with the rows left out, where some
    are named. Those of the logs asked last are remembered: one log is asked what goes with failure,
    and then for the values and the picture behind each finding.
    """
    rows = log.attempts
    reach = wanted and wanted | {variable(name).instead for name in wanted}
    added = _added_columns(rows, course) if wanted is None else []
    named = [*_derived_columns(log, reach), *_recorded_columns(rows, reach), *added]
    filled = [c for c in named if not bool(np.isnan(c.values).all())]
    stand = {c.variable for c in filled}
    return tuple(
        Column(c.variable, c.kind, c.process, c.values, c.level, _target(c, rows))
        for c in filled
        if variable(c.variable).instead not in stand and (wanted is None or c.variable in wanted)
    )
