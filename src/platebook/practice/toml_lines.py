"""At which line of a TOML text each table and key stands; the TOML reader itself does not tell.

A small scan of headers and keys, good for files written by hand: a key inside an inline table or a
list is found at the line of the key that holds it.
"""

import re
from collections.abc import Iterator, Mapping

Path = tuple[str | int, ...]

_BARE = r"""(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')"""
_NAME = rf"{_BARE}(?:\s*\.\s*{_BARE})*"
_LIST_HEADER = re.compile(rf"\s*\[\[\s*({_NAME})\s*\]\]\s*(?:#.*)?")
_HEADER = re.compile(rf"\s*\[\s*({_NAME})\s*\]\s*(?:#.*)?")
_KEY = re.compile(rf"\s*({_NAME})\s*=(.*)")
_LONG_QUOTES = ('"""', "'''")


def lines_of(text: str) -> Mapping[Path, int]:
    """Line by path; the tables of a list are counted from 0, as in ("grades", 2, "metal")."""
    found: dict[Path, int] = {}
    counts: dict[Path, int] = {}
    table: Path = ()
    for number, line in _lines_outside_long_texts(text):
        if listed := _LIST_HEADER.fullmatch(line):
            name = _inside_lists(_parts(listed[1]), counts)
            counts[name] = counts.get(name, -1) + 1
            found.setdefault(name, number)
            table = (*name, counts[name])
            found[table] = number
        elif header := _HEADER.fullmatch(line):
            table = _inside_lists(_parts(header[1]), counts)
            table = (*table, counts[table]) if table in counts else table
            found.setdefault(table, number)
        elif key := _KEY.match(line):
            found.setdefault((*table, *_parts(key[1])), number)
    return found


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
