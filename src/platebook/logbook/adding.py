"""From values to new records: each gets its id, given or next, and a batch is one change."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

from platebook.logbook.connecting import Database
from platebook.logbook.errors import LogbookError
from platebook.logbook.kinds import Record, kind_named
from platebook.logbook.records import add
from platebook.logbook.rows import Stored
from platebook.logbook.standing import owners
from platebook.logbook.writing import Entry, Stamp
from platebook.practice.attempt import Attempt
from platebook.practice.draw import Draw
from platebook.practice.inspection import Inspection
from platebook.practice.plate import Plate
from platebook.practice.setter import Setter
from platebook.practice.sign_off import SignOff
from platebook.practice.tool_check import ToolCheckRecord
from platebook.trade.drawer import Tool


@dataclass(frozen=True, slots=True)
class Batch:
    """Attempts to add with the setters that are new."""

    attempts: tuple[Attempt, ...]
    setters: tuple[Setter, ...] = ()


def add_batch(db: Database, batch: Batch, stamp: Stamp) -> tuple[str, ...]:
    """Add the batch as one change; gives the ids of the attempts in their order."""
    setters = _new("setter", batch.setters, stamp)
    attempts = _new("attempt", batch.attempts, stamp)
    if setters or attempts:
        whose = (attempt.setter_id for attempt in batch.attempts)
        add(db, [*setters, *attempts], stamp, whose=whose)
    return tuple(entry.record_id for entry in attempts)


def add_setter(db: Database, setter: Setter, stamp: Stamp) -> Setter:
    """Add a setter; gives it with its id."""
    (entry,) = _new("setter", [setter], stamp)
    add(db, [entry], stamp, whose=())
    return setter.model_copy(update={"setter_id": entry.record_id})


def add_tools(
    db: Database, setter_id: str, tools: Sequence[Tool], stamp: Stamp
) -> tuple[Tool, ...]:
    """Add tools to a setter's drawer; gives them with their ids."""
    entries = _new("tool", tools, stamp, setter_id=setter_id)
    add(db, entries, stamp, whose=[setter_id])
    return tuple(
        tool.model_copy(update={"tool_id": entry.record_id})
        for tool, entry in zip(tools, entries, strict=True)
    )


def add_plate(db: Database, plate: Plate, stamp: Stamp) -> Plate:
    """Add a plate; gives it with its id."""
    (entry,) = _new("plate", [plate], stamp)
    add(db, [entry], stamp, whose=[plate.setter_id])
    return plate.model_copy(update={"plate_id": entry.record_id})


def add_tool_check(db: Database, check: ToolCheckRecord, stamp: Stamp) -> ToolCheckRecord:
    """Add a check of a tool; gives it with its id."""
    (entry,) = _new("tool_check", [check], stamp)
    add(db, [entry], stamp, whose=[check.setter_id])
    return check.model_copy(update={"check_id": entry.record_id})


def add_inspections(
    db: Database, inspections: Sequence[Inspection], stamp: Stamp
) -> tuple[Inspection, ...]:
    """Add inspections; gives them with their ids. LogbookError for an unknown attempt."""
    looked_at = owners(db, kind_named("attempt"), [i.attempt_id for i in inspections])
    for inspection in inspections:
        if looked_at.get(inspection.attempt_id, ("", True))[1]:
            message = f"There is no attempt with the id {inspection.attempt_id}."
            raise LogbookError("unknown", f"{message} Nothing was added.")
    entries = _new("inspection", inspections, stamp)
    add(db, entries, stamp, whose=())
    return tuple(
        inspection.model_copy(update={"inspection_id": entry.record_id})
        for inspection, entry in zip(inspections, entries, strict=True)
    )


def add_draws(db: Database, draws: Sequence[Draw], stamp: Stamp) -> tuple[Draw, ...]:
    """Add draws as one change; gives them with their ids."""
    entries = _new("draw", draws, stamp)
    add(db, entries, stamp, whose=[draw.setter_id for draw in draws])
    return tuple(
        draw.model_copy(update={"draw_id": entry.record_id})
        for draw, entry in zip(draws, entries, strict=True)
    )


def add_sign_off(db: Database, sign_off: SignOff, stamp: Stamp) -> SignOff:
    """Add a sign-off; gives it with its id."""
    (entry,) = _new("sign_off", [sign_off], stamp)
    add(db, [entry], stamp, whose=[sign_off.setter_id])
    return sign_off.model_copy(update={"sign_off_id": entry.record_id})


def _new(
    name: str, records: Sequence[Record], stamp: Stamp, *, setter_id: str | None = None
) -> list[Entry]:
    kind = kind_named(name)
    rows: list[dict[str, Stored]] = [kind.row_of(record, setter_id) for record in records]
    return [
        Entry.of(name, cast("str", row.get(kind.key, new_id)), row)
        for row, new_id in zip(rows, stamp.ids.take(len(rows), stamp.now), strict=True)
    ]
