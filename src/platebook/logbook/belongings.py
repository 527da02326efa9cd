"""Setters and what is theirs, as it stands: tools, plates, inspections; in the order added."""

from typing import cast

from platebook.logbook.connecting import Database
from platebook.logbook.errors import LogbookError
from platebook.logbook.kinds import Kind, kind_named
from platebook.logbook.seats import with_seats
from platebook.logbook.standing import row_of
from platebook.practice.inspection import Inspection
from platebook.practice.plate import Plate
from platebook.practice.setter import Setter
from platebook.practice.tool_check import ToolCheckRecord
from platebook.trade.drawer import Tool


def setters(db: Database) -> tuple[Setter, ...]:
    """Everyone in the logbook."""
    kind = kind_named("setter")
    rows = db.query("SELECT * FROM setter WHERE hidden = 0 ORDER BY setter_id")
    return tuple(cast("Setter", kind.record_of(row)) for row in rows)


def require_setter(db: Database, setter_id: str | None) -> str:
    """The id, if it is a setter's. LogbookError for one that the logbook does not know."""
    row = row_of(db, kind_named("setter"), setter_id) if setter_id else None
    if setter_id is None or row is None or row["hidden"]:
        message = f"There is no setter with the id {setter_id}. Add the setter first."
        raise LogbookError("unknown", message)
    return setter_id


def tools(db: Database, setter_id: str) -> tuple[Tool, ...]:
    """The tools of a setter; the seats of each bur are counted from the attempts."""
    kind = kind_named("tool")
    query = "SELECT * FROM tool WHERE setter_id = ? AND hidden = 0 ORDER BY tool_id"
    found = tuple(cast("Tool", kind.record_of(row)) for row in db.query(query, [setter_id]))
    return with_seats(db, setter_id, found)


def tool_checks(db: Database, setter_id: str) -> tuple[ToolCheckRecord, ...]:
    """The checks of a setter's measuring tools, in the order made."""
    kind = kind_named("tool_check")
    query = "SELECT * FROM tool_check WHERE setter_id = ? AND hidden = 0 ORDER BY check_id"
    return tuple(
        cast("ToolCheckRecord", kind.record_of(row)) for row in db.query(query, [setter_id])
    )


def plates(db: Database, setter_id: str) -> tuple[Plate, ...]:
    """The plates of a setter."""
    kind = kind_named("plate")
    query = "SELECT * FROM plate WHERE setter_id = ? AND hidden = 0 ORDER BY plate_id"
    return tuple(cast("Plate", kind.record_of(row)) for row in db.query(query, [setter_id]))


def inspections(db: Database, setter_id: str | None) -> tuple[Inspection, ...]:
    """The inspections of one setter's attempts that stand, or of everyone's."""
    kind = kind_named("inspection")
    query = (
        "SELECT inspection.* FROM inspection JOIN attempt USING (attempt_id)"
        " WHERE inspection.hidden = 0 AND attempt.hidden = 0"
        " AND coalesce(attempt.setter_id = ?, 1) ORDER BY inspection_id"
    )
    return tuple(cast("Inspection", kind.record_of(row)) for row in db.query(query, [setter_id]))


def ids_of(db: Database, kind: Kind, setter_id: str) -> tuple[str, ...]:
    """The ids of all records of this kind that are a setter's, hidden ones too."""
    if kind.owner == "attempt":
        query = (
            "SELECT inspection_id FROM inspection JOIN attempt USING (attempt_id)"
            " WHERE attempt.setter_id = ?"
        )
    else:
        query = f"SELECT {kind.key} FROM {kind.name} WHERE setter_id = ?"  # noqa: S608 - names of our own
    return tuple(row[0] for row in db.execute(query, [setter_id]).fetchall())
