"""The trade maps: what the trade expects of each variable, for defects and for the seat."""

import functools
from collections.abc import Mapping
from typing import Literal, cast

from platebook.tables import csv_rows
from platebook.values import Value

Form = Literal["linear", "distance"]
Weight = Literal["strong", "usual", "weak", "open", "definition"]

STANDS_FOR = {"fit": "clearance_mm", "trial_height": "depth_error_mm"}
"""A choice that tells a dimension by its side takes that dimension's place in the map."""

_TABLES = {"trade-map.csv": "defect", "upstream-map.csv": "response"}
"""Each table with the name of its column of outcomes."""

_SIGNS = {"+": 1, "-": -1, "0": 0}


class Expectation(Value):
    """One row of the map: `sign` is +1 (more goes with the outcome), -1 (less) or 0 (unsaid)."""

    variable: str
    outcome: str
    sign: int
    form: Form
    weight: Weight
    reason: str
    kind: str


@functools.cache
def trade_map() -> Mapping[tuple[str, str], Expectation]:
    """All expectations by (variable, outcome): a defect, `any` failure, or a response of seats."""
    return {
        (row["variable"], row[outcome]): Expectation(
            variable=row["variable"],
            outcome=row[outcome],
            sign=_SIGNS[row["sign"]],
            form=cast("Form", row["form"]),
            weight=cast("Weight", row["weight"]),
            reason=row["reason"],
            kind=row["kind"],
        )
        for table, outcome in _TABLES.items()
        for row in csv_rows("platebook.analysis", table)
    }


@functools.cache
def expectation(variable: str, outcome: str) -> Expectation | None:
    """What the trade expects of this variable and outcome; None where it expects nothing."""
    rows = trade_map()
    return rows.get((STANDS_FOR.get(variable, variable), outcome)) or rows.get((variable, outcome))


@functools.cache
def expected_of(outcomes: frozenset[str]) -> frozenset[str]:
    """The variables of which the trade expects something for one of these outcomes."""
    return frozenset(name for name, outcome in trade_map() if outcome in outcomes)


@functools.cache
def defined_by(variable: str) -> frozenset[str]:
    """Defects that this variable brings about by definition."""
    return frozenset(
        defect
        for (name, defect), row in trade_map().items()
        if name == variable and row.weight == "definition"
    )
