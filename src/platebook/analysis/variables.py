"""The variables that findings may speak of: family, words, limits of the trade, wanted value.

The table is `data/variables.csv`: derived variables, and fields that are worded in their own way or
share a family. A field of the record without a row there is a family of its own, spoken by its
label. Variables of one family cannot be told apart from a log. A column whose `instead` names a
derived variable is used only where that one cannot be derived.
"""

import csv
import functools
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources

from platebook.practice.fields import fields


@dataclass(frozen=True, slots=True)
class Variable:
    """How one variable is named and cut. A yes/no field has a phrase for each of its answers.

    `cut_low` and `cut_high` are limits of the trade, `target` the wanted value; None where the
    trade names none.
    """

    name: str
    family: str
    spoken: str
    phrase: str
    unit: str = ""
    yes: str = ""
    no: str = ""
    cut_low: float | None = None
    cut_high: float | None = None
    target: float | None = None
    instead: str = ""


def _number(text: str) -> float | None:
    return float(text) if text else None


@functools.cache
def _variables() -> Mapping[str, Variable]:
    data = resources.files("platebook.analysis").joinpath("data", "variables.csv")
    rows = csv.DictReader(data.read_text(encoding="utf-8").splitlines())
    found = {
        field.name: Variable(field.name, field.label, field.label, field.label, field.unit)
        for field in fields().values()
        if field.may_be_a_cause
    }
    worded = {
        row["variable"]: Variable(
            name=row["variable"],
            family=row["family"],
            spoken=row["spoken"],
            phrase=row["phrase"],
            unit=row["unit"],
            yes=row["yes"],
            no=row["no"],
            cut_low=_number(row["cut_low"]),
            cut_high=_number(row["cut_high"]),
            target=_number(row["target"]),
            instead=row["instead"],
        )
        for row in rows
    }
    return worded | {name: spoken for name, spoken in found.items() if name not in worded}


def variable(name: str) -> Variable:
    """The variable of this name; a course's own field is a family of its own."""
    spoken = name.replace("_", " ")
    return _variables().get(name) or Variable(name, spoken, spoken, spoken)


def known_variables() -> tuple[str, ...]:
    """Names of all variables: those of the table in its order, then the other fields."""
    return tuple(_variables())
