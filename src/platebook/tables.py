"""The tables that ship with the program: rows of a CSV or TOML file in a package's `data` folder.

| name | does |
|---|---|
| `Row` | the base of what a row says: each column is a field of it, and no other |
| `csv_rows`, `toml_table` | a file as it stands: texts by column, a table by key |
| `rows_as` | such rows as values; raises ValueError where a column is missing, odd or too many |
"""

import csv
from collections.abc import Iterable, Mapping
from typing import Any, TypeVar

import tomli
from msgspec import convert

from platebook.shipped import shipped
from platebook.values import Value


class Row(Value, forbid_unknown_fields=True):
    """What a row of a table says."""


Kind = TypeVar("Kind", bound=Row)


def csv_rows(package: str, name: str) -> list[dict[str, str]]:
    """The rows of a CSV file, each a text by the name of its column."""
    return list(csv.DictReader(_text(package, name).splitlines()))


def toml_table(package: str, name: str) -> dict[str, Any]:
    """A TOML file."""
    return tomli.loads(_text(package, name))


def rows_as(kind: type[Kind], rows: Iterable[Mapping[str, object]]) -> tuple[Kind, ...]:
    """Rows as values, in their order; numbers may be written as texts."""
    return tuple(convert(row, kind, strict=False) for row in rows)


def _text(package: str, name: str) -> str:
    room = package.removeprefix("platebook.").split(".")
    return shipped(*room, "data", name).read_text(encoding="utf-8")
