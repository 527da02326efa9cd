"""From values to new records: each gets its id, given or next, and a batch is one change.

LogbookError for an id that is taken, or a setter that the logbook does not know.
"""

from collections.abc import Iterable, Sequence
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


def add_attempts(
    db: Database, attempts: Iterable[Attempt], stamp: Stamp, new_setters: Iterable[Setter] = ()
) -> tuple[str, ...]:
    """Add attempts as one change, with the setters that are new; gives their ids in order."""
    given = tuple(attempts)
    setters = _new("setter", tuple(new_setters), stamp)
    entries = _new("attempt", given, stamp)
    if setters or entries:
        whose = (attempt.setter_id for attempt in given)
        add(db, [*setters, *entries], stamp, whose=whose)
    return tuple(entry.record_id for entry in entries)


def add_setter(db: Database, setter: Setter | str, stamp: Stamp) -> Setter:
    """Add a person, by name or with all that is known; gives the setter with its id."""
    person = Setter(name=setter) if isinstance(setter, str) else setter
    (entry,) = _new("setter", [person], stamp)
    add(db, [entry], stamp, whose=())
    return person.model_copy(update={"setter_id": entry.record_id})


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
