"""The columns of each kind follow from its value: what holds what, and what nothing holds."""

from typing import Literal

import pytest
from pydantic import AwareDatetime

from platebook.logbook.record_kinds import _columns_of, kind_named, kinds
from platebook.practice.fields import fields
from platebook.trade.records import CheckedValue


class Lamp(CheckedValue):
    """A value with an attribute of every type that a column holds."""

    lamp_id: str | None = None
    kind: Literal["ring", "one lamp"] | None = None
    height_mm: float | None = None
    sizes_mm: tuple[float, ...] = ()
    warmth: float = 0.0
    bulbs: int = 1
    lit: bool = False
    bought: AwareDatetime | None = None


class Shade(CheckedValue):
    """A value with an attribute that no column holds."""

    sides: dict[str, int]


def test_a_column_is_of_what_the_attribute_holds() -> None:
    """A number that is named in millimetres is a length, and lies in micrometres."""
    columns = _columns_of(Lamp).columns
    assert [(column.name, column.type) for column in columns] == [
        ("lamp_id", "text"),
        ("kind", "text"),
        ("height_mm", "length"),
        ("sizes_mm", "list"),
        ("warmth", "number"),
        ("bulbs", "integer"),
        ("lit", "yes/no"),
        ("bought", "datetime"),
    ]
    assert columns[2].stored_as == ("height_um",)


def test_what_no_column_holds_is_refused_by_name() -> None:
    """A model that gains such an attribute says so at the first start."""
    with pytest.raises(TypeError, match="sides: no column holds"):
        _columns_of(Shade)


def test_an_attempt_has_a_column_for_every_field_but_the_setters_name() -> None:
    """A name is kept once, in the setter's record."""
    names = [column.name for column in kind_named("attempt").columns.columns]
    assert names == [*(name for name in fields() if name != "setter"), "day_only", "extra"]


def test_every_kind_has_its_key_among_its_columns() -> None:
    """A row is found by it."""
    assert {kind.name for kind in kinds().values() if kind.key not in kind.table_columns} == set()
