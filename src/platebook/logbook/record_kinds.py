"""The kinds of record a logbook keeps, and the columns of each.

The columns follow from the values: an attempt's from the table of fields, the others' from their
models. A later kind is one entry here and one migration with its table.
"""

import functools
from collections.abc import Callable, Mapping
from datetime import date
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin

from pydantic import AwareDatetime, BaseModel, ValidationError

from platebook.logbook.errors import LogbookError, UnreadableRowError
from platebook.logbook.row_values import ColumnType, Row, Stored, TableColumn, TableColumns
from platebook.practice.attempt import Attempt
from platebook.practice.fields import FieldType, fields
from platebook.practice.people.own_records import OwnField, SheetAnswers
from platebook.practice.records import (
    ClassTerm,
    CourseInForce,
    Draw,
    Inspection,
    Membership,
    Message,
    Plate,
    Setter,
    SignOff,
    Teacher,
    ToolCheckRecord,
)
from platebook.trade.phrases import count_of
from platebook.trade.records import Tool
from platebook.values import Value

Record = (
    Attempt
    | Setter
    | Tool
    | ToolCheckRecord
    | Plate
    | Inspection
    | Draw
    | SignOff
    | Teacher
    | ClassTerm
    | Membership
    | Message
    | CourseInForce
    | OwnField
    | SheetAnswers
)

SCHEMA = 1
"""Version of the record that revisions written here carry."""

WITHOUT_TIME = -(2**63)
"""The place in the order of a record whose time nobody wrote down: before all others."""

NAME_OF_SETTER = "setter"
"""The one field of an attempt that has no column: a name is kept once, in the setter's record."""

SIGNED_IN: Mapping[str, str] = {
    "inspection": "inspector",
    "sign_off": "signed_by",
    "message": "author",
}
"""The field of each kind that says who looked, signed or wrote."""

_OF_A_FIELD: Mapping[FieldType, ColumnType] = {
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
"""The column of a field of the contract, by the type its row says."""

_OF_A_VALUE: Mapping[object, ColumnType] = {
    str: "text",
    Literal: "text",
    int: "integer",
    float: "number",
    bool: "yes/no",
    tuple: "list",
    date: "date",
    AwareDatetime: "datetime",
}
"""The column of an attribute of a model by what it holds; a float whose name ends in `_mm` is a
length, and lies there in whole micrometres."""


_IN_WORDS: Mapping[str, tuple[str, str]] = {
    "tool_check": ("tool check", "tool checks"),
    "inspection": ("look", "looks"),
    "draw": ("random draw", "random draws"),
    "sign_off": ("sign-off", "sign-offs"),
    "class": ("class", "classes"),
    "membership": ("place in a class", "places in a class"),
    "course_in_force": ("course", "courses"),
    "own_field": ("column of one's own", "columns of one's own"),
    "sheet_answers": ("answer about a spreadsheet", "answers about a spreadsheet"),
}
"""What people call one and several records of a kind, where its name and an s are not enough."""


def kind_words(name: str) -> str:
    """What people call a record of this kind; its name for one that this program does not know."""
    return _IN_WORDS.get(name, (name, ""))[0]


def count_of_kind(number: int, name: str) -> str:
    """So many records of a kind, in words: 3 sign-offs."""
    return count_of(number, *_IN_WORDS.get(name, (name,)))


class Kind(Value, dict=True):
    """One kind of record: its table and key, its columns, and the value a row is.

    `owner` says whose it is: "self" for a setter, "row" where the row has a `setter_id`,
    "attempt" where it hangs on an attempt, "logbook" where it is nobody's, or some setter's only
    where the row names one. `timed_by` names the column of its time where records
    of this kind are read in the order of time. `analysed` says that answers about the setter rest
    on it: a new one makes them be worked out anew.
    """

    name: str
    key: str
    columns: TableColumns
    build: Callable[..., Record]
    owner: Literal["self", "row", "attempt", "logbook"] = "row"
    timed_by: str | None = None
    analysed: bool = True

    @functools.cached_property
    def owner_column(self) -> str | None:
        """The column with the id of the setter whose it is; None where the row has none."""
        if self.owner == "row":
            return "setter_id"
        return "setter_id" if "setter_id" in self.columns.stored_as else None

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

    @functools.cached_property
    def upsert(self) -> str:
        """The statement that puts a whole row in the table, in place of the record's last one."""
        names = (*self.table_columns, *self.housekeeping)
        columns = ", ".join(f'"{name}"' for name in names)
        values = ", ".join(f":{name}" for name in names)
        changed = ", ".join(f'"{n}" = excluded."{n}"' for n in names if n != self.key)
        return (
            f"INSERT INTO {self.name} ({columns}) VALUES ({values}) "  # noqa: S608 - names of our own
            f"ON CONFLICT ({self.key}) DO UPDATE SET {changed}"
        )

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
            message = (
                f"The {kind_words(self.name)} {row.get(self.key)} cannot be read by this program:"
            )
            advice = "A newer platebook saved it, or it is damaged: platebook check tells."
            raise LogbookError("newer", f"{message} {_what_reads(error)}. {advice}") from error


def _what_reads(error: ValueError) -> str:
    """The first value that a record cannot hold, on one line."""
    if isinstance(error, ValidationError):
        first = error.errors(include_url=False)[0]
        where = ".".join(map(str, first["loc"])) or "it"
        return str(UnreadableRowError(where, first["input"]))
    return str(error)


def _columns_of(model: type[BaseModel]) -> TableColumns:
    """The columns of a kind of record, from the fields of its value and what they may hold."""
    types = {name: field.annotation for name, field in model.model_fields.items()}
    return TableColumns(
        *(TableColumn(name, _column_type(name, kind)) for name, kind in types.items())
    )


def _column_type(name: str, annotation: Any) -> ColumnType:
    """The type of a column from that of a value; TypeError for one that no column holds."""
    choices = [kind for kind in get_args(annotation) if kind is not type(None)]
    if get_origin(annotation) in {Union, UnionType} and len(choices) == 1:
        return _column_type(name, choices[0])
    if annotation is float and name.endswith("_mm"):
        return "length"
    held = get_origin(annotation) or annotation
    if held not in _OF_A_VALUE:
        message = f"{name}: no column holds {annotation}; record_kinds.py says which are held"
        raise TypeError(message)
    return _OF_A_VALUE[held]


@functools.cache
def attempt_columns() -> TableColumns:
    """The columns of an attempt, from the record's contract."""
    types = {f.name: _OF_A_FIELD[f.type] for f in fields().values() if f.name != NAME_OF_SETTER}
    columns = (TableColumn(name, kind) for name, kind in types.items())
    return TableColumns(*columns, TableColumn("day_only", "yes/no"), TableColumn("extra", "pairs"))


@functools.cache
def kinds() -> Mapping[str, Kind]:
    """All kinds by name; a setter comes before what is a setter's."""
    known = (
        Kind("setter", "setter_id", _columns_of(Setter), Setter, owner="self"),
        Kind("tool", "tool_id", _columns_of(Tool), Tool),
        Kind("tool_check", "check_id", _columns_of(ToolCheckRecord), ToolCheckRecord),
        Kind("plate", "plate_id", _columns_of(Plate), Plate),
        Kind("attempt", "attempt_id", attempt_columns(), Attempt, timed_by="began_us"),
        Kind("inspection", "inspection_id", _columns_of(Inspection), Inspection, owner="attempt"),
        Kind("draw", "draw_id", _columns_of(Draw), Draw, analysed=False),
        Kind("sign_off", "sign_off_id", _columns_of(SignOff), SignOff),
        Kind("teacher", "teacher_id", _columns_of(Teacher), Teacher, "logbook", analysed=False),
        Kind("class", "class_id", _columns_of(ClassTerm), ClassTerm, "logbook", analysed=False),
        Kind("membership", "membership_id", _columns_of(Membership), Membership, analysed=False),
        Kind("message", "message_id", _columns_of(Message), Message, "logbook", analysed=False),
        Kind(
            "course_in_force",
            "in_force_id",
            _columns_of(CourseInForce),
            CourseInForce,
            "logbook",
            analysed=False,
        ),
        Kind("own_field", "own_field_id", _columns_of(OwnField), OwnField),
        Kind(
            "sheet_answers",
            "sheet_answers_id",
            _columns_of(SheetAnswers),
            SheetAnswers,
            analysed=False,
        ),
    )
    return {kind.name: kind for kind in known}


def kind_named(name: str) -> Kind:
    """The kind of this name. LogbookError for one that this program does not know."""
    try:
        return kinds()[name]
    except KeyError:
        message = f"This program knows no kind of record named {name!r}."
        raise LogbookError("unknown", message) from None
