"""How a result is judged: what to look at, and what slight, clear and lost look like."""

import csv
import functools
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources


@dataclass(frozen=True, slots=True)
class Judging:
    """The check for one result, and a description by severity digit."""

    check: str
    severities: Mapping[str, str]


@functools.cache
def judging() -> Mapping[str, Judging]:
    """The judging of every result, by its name."""
    text = resources.files("platebook.tui").joinpath("data", "judging.csv").read_text("utf-8")
    return {
        row["result"]: Judging(
            check=row["check"],
            severities={"1": row["slight"], "2": row["clear"], "3": row["lost"]},
        )
        for row in csv.DictReader(text.splitlines())
    }
