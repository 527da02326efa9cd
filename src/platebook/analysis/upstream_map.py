"""The upstream map: what comes before the seat in the work, and what the trade expects of it.

The table is `data/upstream-map.csv`. Only its pairs are asked about: a reading of the finished
seat, or what is done after it, cannot have made the seat wide. The weight `open` says that nothing
is expected.
"""

import csv
import functools
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from typing import Literal, cast

from platebook.analysis.candidates import Candidate
from platebook.analysis.trade_map import Form
from platebook.analysis.weigh import (
    EXPECTED,
    EXPECTED_SD,
    NOT_IN_MAP,
    OPEN_SD,
    OTHER_FORM,
    WEIGHTS,
    Cell,
)

Weight = Literal["strong", "usual", "weak", "open"]


@dataclass(frozen=True, slots=True)
class Before:
    """One row: a variable that comes before the seat, and the sign expected (0 for none)."""

    variable: str
    response: str
    sign: int
    form: Form
    weight: Weight
    reason: str
    kind: str


@functools.cache
def upstream_map() -> Mapping[tuple[str, str], Before]:
    """All rows by (variable, response)."""
    data = resources.files("platebook.analysis").joinpath("data", "upstream-map.csv")
    signs = {"+": 1, "-": -1, "0": 0}
    return {
        (row["variable"], row["response"]): Before(
            variable=row["variable"],
            response=row["response"],
            sign=signs[row["sign"]],
            form=cast("Form", row["form"]),
            weight=cast("Weight", row["weight"]),
            reason=row["reason"],
            kind=row["kind"],
        )
        for row in csv.DictReader(data.read_text(encoding="utf-8").splitlines())
    }


def upstream_cell(response: str, candidate: Candidate, levels: int = 1) -> Cell | None:
    """The cell with its prior; None for a variable that does not come before the seat."""
    before = upstream_map().get((candidate.column.variable, response))
    if before is None:
        return None
    weight = WEIGHTS.get(before.weight, NOT_IN_MAP) / levels
    if candidate.form != before.form:
        return Cell(candidate, response, weight * OTHER_FORM, 0.0, OPEN_SD)
    if candidate.column.kind == "level" or (before.form == "linear" and before.sign == 0):
        return Cell(candidate, response, weight, 0.0, OPEN_SD)
    sign = 1 if before.form == "distance" else before.sign
    return Cell(candidate, response, weight, sign * EXPECTED, EXPECTED_SD)
