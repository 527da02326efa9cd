"""A course's text as read: its raw tables, the line of each key, and what is wrong where.

A grade may leave out what `[defaults]` says for all grades, and may name its points, as in
`points = "learning"` with a table `[points.learning]`. A fault is reported where it was written.
"""

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from platebook.practice.course import Exercise, ExtraField, Grade, Part
from platebook.practice.problem import Problem
from platebook.practice.text import as_text, clean
from platebook.practice.toml_lines import Path, line_at

DEFAULTS = "defaults"
POINTS = "points"
LISTS: Mapping[str, type[Part]] = {"grades": Grade, "exercises": Exercise, "extra": ExtraField}
"""The lists of tables in a course, with what each table is."""

_ONE_OF = {"grades": "grade", "exercises": "exercise", "extra": "extra field"}
_ID_KEY = {"grades": "id", "exercises": "id", "extra": "name"}


def nearest(key: str, known: Iterable[str]) -> str | None:
    """The known key that was probably meant; None where none is near."""
    return next(iter(difflib.get_close_matches(key, tuple(known), 1)), None)


@dataclass(frozen=True, slots=True)
class CourseSource:
    """The file's name, its tables as the TOML reader gives them, and its lines by path."""

    name: str
    raw: Mapping[str, Any]
    lines: Mapping[Path, int]

    def tables(self, key: str) -> list[dict[str, Any]]:
        """The tables of one list, empty where it is no list of tables."""
        found = self.raw.get(key, [])
        if not isinstance(found, list):
            return []
        return [dict(table) if isinstance(table, dict) else {} for table in found]

    def problem(
        self,
        path: Path,
        expected: str,
        *,
        read: str | None = None,
        level: Literal["problem", "notice"] = "problem",
    ) -> Problem:
        """A fault at a path, named as its author would name it."""
        path = self.where_written(path)
        return Problem(
            row=0,
            field=self._label(path),
            read=clean(self._text_at(path) if read is None else read),
            expected=expected,
            level=level,
            line=line_at(self.lines, path),
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
