"""A frozen value: what one room of the program hands to another.

A class that inherits `Value` and names its fields has a constructor, equality, a hash and a
representation, and nothing of it can be set again. msgspec makes such classes without compiling
anything, a fiftieth of what a dataclass costs, and a start of the program makes more than 150.

| name | does |
|---|---|
| `Value` | the base: `class Hand(Value)`; `kw_only=True`, `eq=False`, `dict=True` may follow |
| `field` | a default that is made anew each time |
| `replace` | a copy with some fields changed |
| `fields_of` | its fields by name, values inside as they are |
| `as_dict` | its fields by name, and those of values inside |
| `json_dict` | the same with days and times as JSON has them |

Where a field is to count for nothing when two are compared, a dataclass says so; what comes from
outside and is to be checked is a model of pydantic.
"""

from datetime import date, datetime
from typing import Any, dataclass_transform

from msgspec import Struct, field, to_builtins
from msgspec.structs import asdict as fields_of
from msgspec.structs import replace

__all__ = ["Value", "as_dict", "field", "fields_of", "json_dict", "replace"]


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
class Value(Struct, frozen=True):
    """Fields that are given once; two are equal where all of them are."""


def as_dict(value: object) -> dict[str, Any]:
    """The fields of a value by name, those of values inside likewise; days and times stay so."""
    plain: dict[str, Any] = to_builtins(value, builtin_types=(date, datetime))
    return plain


def json_dict(value: object) -> dict[str, Any]:
    """The same as JSON has it, days and times as ISO texts."""
    plain: dict[str, Any] = to_builtins(value)
    return plain
