"""The kinds of record a logbook keeps, and the columns of each.

A later kind is one entry here and one migration with its table.
"""

import functools
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from platebook.logbook.errors import LogbookError
from platebook.logbook.rows import Column, Columns, ColumnType, Row, Stored
from platebook.practice.attempt import Attempt
from platebook.practice.draw import Draw
from platebook.practice.fields import FieldType, fields
from platebook.practice.inspection import Inspection
from platebook.practice.plate import Plate
from platebook.practice.setter import Setter
from platebook.practice.sign_off import SignOff
from platebook.practice.tool_check import ToolCheckRecord
from platebook.trade.drawer import Tool

Record = Attempt | Setter | Tool | ToolCheckRecord | Plate | Inspection | Draw | SignOff

SCHEMA = 1
"""Version of the record that revisions written here carry."""

WITHOUT_TIME = -(2**63)
"""The place in the order of a record whose time nobody wrote down: before all others."""

NAME_OF_SETTER = "setter"
"""The one field of an attempt that has no column: a name is kept once, in the setter's record."""

_TYPES: dict[FieldType, ColumnType] = {
    "text": "text",
    "integer": "integer",
    "number": "number",
    "length": "length",
    "choice": "text",
    "yes/no": "yes/no",
    "datetime": "datetime",
    "uuid7": "text",
    "defects": "list",
    "list": "list",
}


@dataclass(frozen=True)
class Kind:
    """One kind of record: its table and key, its columns, and the value a row is.

    `owner` says whose it is: "self" for a setter, "row" where the row has a `setter_id`,
    "attempt" where it hangs on an attempt. `timed_by` names the column of its time where records
    of this kind are read in the order of time. `analysed` says that answers about the setter rest
    on it: a new one makes them be worked out anew.
    """

    name: str
    key: str
    columns: Columns
    build: Callable[..., Record]
    owner: Literal["self", "row", "attempt"] = "row"
    timed_by: str | None = None
    analysed: bool = True

    @functools.cached_property
    def table_columns(self) -> tuple[str, ...]:
        """All columns that hold the record, key first."""
        beside = self.owner == "row" and "setter_id" not in self.columns.stored_as
        return (*self.columns.stored_as, *(("setter_id",) if beside else ()))

    @functools.cached_property
    def housekeeping(self) -> tuple[str, ...]:
        """The columns after those: which revision it is, and what follows from the revisions."""
        order = ("order_us",) if self.timed_by else ()
        return ("revision_id", "hidden", "clash", *order)

    def row_of(self, record: Record, setter_id: str | None = None) -> dict[str, Stored]:
        """The row of a record; `setter_id` is whose it is where the value itself does not say."""
        row = self.columns.stored(record)
        if setter_id is not None and self.owner == "row":
            row.setdefault("setter_id", setter_id)
        return row

    def record_of(self, row: Row | Mapping[str, Any]) -> Record:
        """The record a row holds. LogbookError for one that this program has no room for."""
        try:
            return self.build(**self.columns.loaded(row))
        except ValueError as error:
            message = f"The {self.name} {row.get(self.key)} cannot be read by this program: {error}"
            raise LogbookError("newer", message) from error


def _columns(**types: ColumnType) -> Columns:
    return Columns(*(Column(name, type_) for name, type_ in types.items()))


@functools.cache
def attempt_columns() -> Columns:
    """The columns of an attempt, from the record's contract."""
    types = {f.name: _TYPES[f.type] for f in fields().values() if f.name != NAME_OF_SETTER}
    return _columns(**types, day_only="yes/no", extra="pairs")


@functools.cache
def kinds() -> Mapping[str, Kind]:
    """All kinds by name; a setter comes before what is a setter's."""
    setter = _columns(
        setter_id="text",
        name="text",
        group="text",
        active="yes/no",
        course="text",
        track="text",
        rules="list",
        note="text",
    )
    tool = _columns(
        tool_id="text",
        kind="text",
        name="text",
        shape="text",
        size_mm="length",
        angle_deg="number",
        seats_cut="integer",
        resolution_mm="length",
        mpe_mm="length",
        note="text",
    )
    plate = _columns(
        plate_id="text",
        setter_id="text",
        name="text",
        metal="text",
        metal_state="text",
        sheet_mm="length",
        layers="integer",
        backing="text",
        support="text",
        positions="list",
        across="integer",
        pitch_mm="length",
        width_mm="length",
        height_mm="length",
        stones_mm="list",
        note="text",
    )
    inspection = _columns(
        inspection_id="text",
        attempt_id="text",
        inspector="text",
        result="list",
        severity="list",
        clock="integer",
        comment="text",
        drawn_at_random="yes/no",
        looked="datetime",
    )
    tool_check = _columns(
        check_id="text",
        setter_id="text",
        tool_id="text",
        against="text",
        known_mm="length",
        known_uncertainty_mm="length",
        readings_mm="list",
        checked="datetime",
        note="text",
    )
    draw = _columns(
        draw_id="text",
        setter_id="text",
        attempt_id="text",
        pool="list",
        seed="text",
        drawn="datetime",
    )
    sign_off = _columns(
        sign_off_id="text",
        setter_id="text",
        course="text",
        grade="text",
        signed_by="text",
        attempt_id="text",
        comment="text",
        signed="datetime",
    )
    found = (
        Kind("setter", "setter_id", setter, Setter, owner="self"),
        Kind("tool", "tool_id", tool, Tool),
        Kind("tool_check", "check_id", tool_check, ToolCheckRecord),
        Kind("plate", "plate_id", plate, Plate),
        Kind("attempt", "attempt_id", attempt_columns(), Attempt, timed_by="began_us"),
        Kind("inspection", "inspection_id", inspection, Inspection, owner="attempt"),
        Kind("draw", "draw_id", draw, Draw, analysed=False),
        Kind("sign_off", "sign_off_id", sign_off, SignOff),
    )
    return {kind.name: kind for kind in found}


def kind_named(name: str) -> Kind:
    """The kind of this name. LogbookError for one that this program does not know."""
    try:
        return kinds()[name]
    except KeyError:
        message = f"This program knows no kind of record named {name!r}."
        raise LogbookError("unknown", message) from None
