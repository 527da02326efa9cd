"""Which field of the record each column of a table holds.

Headings are forgiven their case, blanks and signs: "Stone diameter (mm)" is stone_diameter_mm. A
column map says what a heading of one's own means.
"""

import difflib
import functools
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from platebook.practice.fields import fields
from platebook.practice.problem import Problem
from platebook.practice.text import clean

_NO_MAP: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True)
class HeadingColumns:
    """Field by column (None where it is not read) and the heading of each field as typed."""

    fields: tuple[str | None, ...]
    headings: Mapping[str, str]


def read_column_map(pairs: Iterable[str]) -> tuple[Mapping[str, str], tuple[Problem, ...]]:
    """A column map from pairs such as "Their heading=our_field"."""
    found: dict[str, str] = {}
    problems: list[Problem] = []
    for pair in pairs:
        heading, sign, field = pair.rpartition("=")
        if not sign or not heading.strip() or not field.strip():
            problems.append(Problem(0, "map", clean(pair), '"Their heading=our_field"'))
        elif heading.strip() in found:
            problems.append(Problem(0, "map", clean(pair), "each heading once"))
        else:
            found[heading.strip()] = field.strip()
    return found, tuple(problems)


def place_columns(
    typed: Sequence[str],
    *,
    column_map: Mapping[str, str] = _NO_MAP,
    extra: Iterable[str] = (),
    line: int | None = None,
) -> tuple[HeadingColumns, tuple[Problem, ...]]:
    """The columns of a heading line; `extra` names fields beside the record's own.

    A column that holds no field of the record is a notice and is not read.
    """
    names = _names_by_key(tuple(extra))
    headings = [clean(heading) for heading in typed]
    problems = [Problem(0, *fault, line=line) for fault in _map_faults(headings, column_map, names)]
    mapped = {_key(heading): names.get(_key(name)) for heading, name in column_map.items()}
    columns: list[str | None] = []
    heading_of: dict[str, str] = {}
    for heading in headings:
        key = _key(heading)
        field = mapped[key] if key in mapped else names.get(key)
        if field is None and heading and key not in mapped:
            near = _nearest(key, names)
            expected = f'a field of the record{near}; have it read with --map "{heading}=FIELD"'
            problems.append(Problem(0, heading, heading, expected, "notice", line))
        if field is not None and field in heading_of:
            expected = f"each field once; {heading_of[field]} is {field} too"
            problems.append(Problem(0, heading, heading, expected, line=line))
        elif field is not None:
            heading_of[field] = heading
        columns.append(field)
    return HeadingColumns(tuple(columns), heading_of), tuple(problems)


def known_headings(
    typed: Iterable[str], *, column_map: Mapping[str, str] = _NO_MAP, extra: Iterable[str] = ()
) -> int:
    """How many of these headings hold a field or are mapped to one."""
    known = _names_by_key(tuple(extra)).keys() | {_key(heading) for heading in column_map}
    return sum(_key(heading) in known for heading in typed)


@functools.lru_cache(maxsize=8)
def _names_by_key(extra: tuple[str, ...]) -> Mapping[str, str]:
    """The record's fields and these beside them, by what the spellings of each share."""
    return {_key(name): name for name in (*fields(), *extra)}


def _map_faults(
    headings: Sequence[str], column_map: Mapping[str, str], names: Mapping[str, str]
) -> list[tuple[str, str, str]]:
    """What is named in the map and is not there: field, read and expected of each."""
    keys = {_key(heading) for heading in headings}
    faults = []
    for heading, name in column_map.items():
        if _key(heading) not in keys:
            listed = ", ".join(heading for heading in headings if heading)
            faults.append((heading, heading, f"a heading of this file: {listed}"))
        if _key(name) not in names:
            expected = f"a field of the record{_nearest(_key(name), names)}"
            faults.append((heading, name, expected))
    return faults


def _nearest(key: str, names: Mapping[str, str]) -> str:
    near = difflib.get_close_matches(key, names, 1)
    return f"; the nearest is {names[near[0]]}" if near else ""


def _key(heading: str) -> str:
    """What two spellings of one heading have in common; a heading of signs only is itself."""
    words = re.sub(r"[\W_]+", "_", heading.casefold()).strip("_")
    return words or heading
