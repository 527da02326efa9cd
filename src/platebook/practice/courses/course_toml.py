"""A course's TOML text as read: its tables, the line of each key, and what is wrong where.

A small scan of headers and keys, good for files written by hand: a key inside an inline table or a
list is found at the line of the key that holds it.

A grade may leave out what `[defaults]` says for all grades, and may name its points, as in
`points = "learning"` with a table `[points.learning]`. A problem is reported where it was written.
"""

import difflib
import functools
import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Literal

from platebook.practice.courses.course import Exercise, ExtraField, Grade, Part
from platebook.practice.problem import Problem
from platebook.practice.text import as_text, clean
from platebook.values import Value

Path = tuple[str | int, ...]

_BARE = r"""(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')"""
_NAME = rf"{_BARE}(?:\s*\.\s*{_BARE})*"
_LIST_HEADER = re.compile(rf"\s*\[\[\s*({_NAME})\s*\]\]\s*(?:#.*)?")
_HEADER = re.compile(rf"\s*\[\s*({_NAME})\s*\]\s*(?:#.*)?")
_KEY = re.compile(rf"\s*({_NAME})\s*=(.*)")
_LONG_QUOTES = ('"""', "'''")


@functools.lru_cache(maxsize=2)
def lines_of(text: str) -> Mapping[Path, int]:
    """Line by path; the tables of a list are counted from 0, as in ("grades", 2, "metal")."""
    lines: dict[Path, int] = {}
    counts: dict[Path, int] = {}
    table: Path = ()
    for number, line in _lines_outside_long_texts(text):
        if listed := _LIST_HEADER.fullmatch(line):
            name = _inside_lists(_parts(listed[1]), counts)
            counts[name] = counts.get(name, -1) + 1
            lines.setdefault(name, number)
            table = (*name, counts[name])
            lines[table] = number
        elif header := _HEADER.fullmatch(line):
            table = _inside_lists(_parts(header[1]), counts)
            table = (*table, counts[table]) if table in counts else table
            lines.setdefault(table, number)
        elif key := _KEY.match(line):
            lines.setdefault((*table, *_parts(key[1])), number)
    return lines


def line_at(lines: Mapping[Path, int], path: Path) -> int | None:
    """The line of a path, or of the nearest table above it."""
    for end in range(len(path), 0, -1):
        if path[:end] in lines:
            return lines[path[:end]]
    return None


def _lines_outside_long_texts(text: str) -> Iterator[tuple[int, str]]:
    """Numbered lines, without those that continue a text in triple quotes."""
    quote: str | None = None
    for number, line in enumerate(text.split("\n"), start=1):
        if quote is None:
            yield number, line.rstrip("\r")
            quote = _left_open(line)
        elif quote in line:
            quote = _left_open(line.split(quote, 1)[1])


def _left_open(line: str) -> str | None:
    """The triple quote that this line opens and does not close."""
    starts = [(line.index(quote), quote) for quote in _LONG_QUOTES if quote in line]
    if not starts:
        return None
    start, quote = min(starts)
    rest = line[start + len(quote) :]
    return _left_open(rest.split(quote, 1)[1]) if quote in rest else quote


def _inside_lists(name: Path, counts: Mapping[Path, int]) -> Path:
    """The path of a table name, with the count of each list it lies in."""
    path: Path = name[:1]
    for part in name[1:]:
        path = (*path, counts[path], part) if path in counts else (*path, part)
    return path


def _parts(name: str) -> Path:
    return tuple(part.strip("\"'") for part in re.findall(_BARE, name))


DEFAULTS = "defaults"
POINTS = "points"
LISTS: Mapping[str, type[Part]] = {"grades": Grade, "exercises": Exercise, "extra": ExtraField}
"""The lists of tables in a course, with what each table is."""

_ONE_OF = {"grades": "grade", "exercises": "exercise", "extra": "extra field"}
_ID_KEY = {"grades": "id", "exercises": "id", "extra": "name"}


def nearest(key: str, known: Iterable[str]) -> str | None:
    """The known key that was probably meant; None where none is near."""
    return next(iter(difflib.get_close_matches(key, tuple(known), 1)), None)


class CourseSource(Value):
    """The file's name, its tables as the TOML reader gives them, and its text.

    Where each key stands is looked up for a problem only: a sound course is read without it.
    """

    name: str
    raw: Mapping[str, Any]
    text: str

    def tables(self, key: str) -> list[dict[str, Any]]:
        """The tables of one list, empty where it is no list of tables."""
        listed = self.raw.get(key, [])
        if not isinstance(listed, list):
            return []
        return [dict(table) if isinstance(table, dict) else {} for table in listed]

    def problem(
        self,
        path: Path,
        expected: str,
        *,
        read: str | None = None,
        level: Literal["problem", "notice"] = "problem",
    ) -> Problem:
        """A problem at a path, named as its author would name it."""
        path = self.where_written(path)
        return Problem(
            row=0,
            field=self._label(path),
            read=clean(self._text_at(path) if read is None else read),
            expected=expected,
            level=level,
            line=line_at(lines_of(self.text), path),
            file=self.name,
        )

    def where_written(self, path: Path) -> Path:
        """The path itself, or that of the default or the named points it was taken from."""
        if len(path) < 3 or path[0] != "grades":
            return path
        defaults = self.raw.get(DEFAULTS)
        value = self._at(path[:3])
        if value is None and isinstance(defaults, dict) and path[2] in defaults:
            path = (DEFAULTS, *path[2:])
            value = defaults[path[1]]
        named = isinstance(value, str) and self._at((POINTS, value)) is not None
        if named and POINTS in path:
            return (POINTS, value, *path[path.index(POINTS) + 1 :])
        return path

    def _label(self, path: Path) -> str:
        match path:
            case (str(many), int(at)) if many in _ONE_OF:
                return self._one(many, at)
            case (str(many), int(at), *keys) if many in _ONE_OF:
                return f"{'.'.join(map(str, keys))} of {self._one(many, at)}"
            case (str(table), key, *_) if table == DEFAULTS:
                return f"{key} of the defaults"
            case (str(table), str(name), *keys) if table == POINTS:
                return f"{'.'.join(map(str, keys))} of points {name}".removeprefix(" of ")
            case _:
                return ".".join(map(str, path))

    def _one(self, many: str, at: int) -> str:
        name = self._at((many, at, _ID_KEY[many]))
        return f"{_ONE_OF[many]} {clean(name) if isinstance(name, str) else at + 1}"

    def _at(self, path: Path) -> Any:
        value: Any = self.raw
        for step in path:
            try:
                value = value[step]
            except (KeyError, IndexError, TypeError):
                return None
        return value

    def _text_at(self, path: Path) -> str:
        value = self._at(path)
        text = as_text(value)
        if text is not None:
            return text
        return "a table" if isinstance(value, dict) else "a list"
