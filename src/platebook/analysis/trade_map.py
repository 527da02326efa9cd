"""The trade map: which variable the trade expects to go with which defect, and in which direction.

The table is `data/trade-map.csv`. It is a soft expectation that the data may overrule. A pair of
the weight `definition` is true by definition: a mechanism, never a discovery.
"""

import csv
import functools
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from typing import Literal, cast

Form = Literal["linear", "distance"]
Weight = Literal["strong", "usual", "weak", "definition"]


@dataclass(frozen=True, slots=True)
class Expectation:
    """One row of the map: `sign` is +1 (more goes with the defect), -1 (less) or 0 (unsaid)."""

    variable: str
    defect: str
    sign: int
    form: Form
    weight: Weight
    reason: str
    kind: str


@functools.cache
def trade_map() -> Mapping[tuple[str, str], Expectation]:
    """All expectations by (variable, defect); the defect `any` is a failure of any kind."""
    data = resources.files("platebook.analysis").joinpath("data", "trade-map.csv")
    rows = csv.DictReader(data.read_text(encoding="utf-8").splitlines())
    signs = {"+": 1, "-": -1, "0": 0}
    return {
        (row["variable"], row["defect"]): Expectation(
            variable=row["variable"],
            defect=row["defect"],
            sign=signs[row["sign"]],
            form=cast("Form", row["form"]),
            weight=cast("Weight", row["weight"]),
            reason=row["reason"],
            kind=row["kind"],
        )
        for row in rows
    }


@functools.cache
def defined_by(variable: str) -> frozenset[str]:
    """Defects that this variable brings about by definition."""
    return frozenset(
        defect
        for (name, defect), row in trade_map().items()
        if name == variable and row.weight == "definition"
    )
