"""The part exercises there are, from the one table of them: `data/parts.toml`."""

import functools
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class PartExercise:
    """What a part exercise trains.

    `cautions` is the step of the work whose cautions belong to it, `readings` the fields that it
    can have read, in the order asked.
    """

    name: str
    cautions: str
    aliases: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()


@functools.cache
def parts() -> Mapping[str, PartExercise]:
    """All parts by name, in the order of the table; ValueError for one that lacks something."""
    file = resources.files("platebook.practice").joinpath("data", "parts.toml")
    rows = tomllib.loads(file.read_text(encoding="utf-8"))["part"]
    return {row["name"]: _part(row) for row in rows}


def _part(row: Mapping[str, Any]) -> PartExercise:
    values: dict[str, Any] = {key: tuple(v) if isinstance(v, list) else v for key, v in row.items()}
    try:
        return PartExercise(**values)
    except TypeError as error:
        raise ValueError(f"parts.toml, {row['name']}: {error}") from error
