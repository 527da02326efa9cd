"""Setters and what is theirs, as it stands: what was looked at, drawn and signed."""

import json
from typing import Any, cast

from platebook.logbook.connecting import Database
from platebook.logbook.errors import LogbookError
from platebook.logbook.kinds import Kind, kind_named
from platebook.logbook.seats import with_seats
from platebook.logbook.standing import row_of
from platebook.practice.draw import Draw
from platebook.practice.inspection import Inspection
from platebook.practice.plate import Plate
from platebook.practice.setter import Setter
from platebook.practice.sign_off import SignOff
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


def was_told(db: Database, attempt_id: str, besides: frozenset[str]) -> bool:
    """Whether anyone but these looked at the attempt and took the look back since."""
    query = "SELECT inspector FROM inspection WHERE attempt_id = ? AND hidden"
    return any(row[0] not in besides for row in db.execute(query, [attempt_id]).fetchall())


def verdicts_before_looks(db: Database, setter_id: str) -> dict[str, dict[str, Any]]:
    """Each attempt that was looked at, as its setter had judged it when the first look was made.

    A verdict that was corrected since may have been corrected because of the look. What was known
    then is what ranks below the look, so a wrong clock does no harm.
    """
    rows = db.execute(
        "SELECT attempt_id, (SELECT r.record FROM revision AS r WHERE r.kind = 'attempt'"
        " AND r.record_id = attempt_id AND r.counter < looked"
        " ORDER BY r.counter DESC, r.revision_id DESC LIMIT 1)"
        " FROM (SELECT attempt_id, min(v.counter) AS looked FROM inspection JOIN attempt"
        " USING (attempt_id) JOIN revision AS v ON v.kind = 'inspection'"
        " AND v.record_id = inspection_id WHERE setter_id = ? AND attempt.hidden = 0"
        " AND inspection.hidden = 0 AND drawn_at_random AND inspector <> setter_id"
        " GROUP BY attempt_id)",
        [setter_id],
    ).fetchall()
    known = {attempt_id: json.loads(record) for attempt_id, record in rows if record is not None}
    columns = kind_named("attempt").columns
    return {
        attempt_id: {name: found.get(name) for name in ("result", "severity")}
        for attempt_id, row in known.items()
        for found in [columns.loaded({name: row.get(name) for name in ("result", "severity")})]
    }


def draws(db: Database, setter_id: str) -> tuple[Draw, ...]:
    """What was drawn at random of a setter's, in the order drawn."""
    kind = kind_named("draw")
    query = "SELECT * FROM draw WHERE setter_id = ? AND hidden = 0 ORDER BY draw_id"
    return tuple(cast("Draw", kind.record_of(row)) for row in db.query(query, [setter_id]))


def sign_offs(db: Database, setter_id: str) -> tuple[SignOff, ...]:
    """What was signed off for a setter, in the order signed."""
    kind = kind_named("sign_off")
    query = "SELECT * FROM sign_off WHERE setter_id = ? AND hidden = 0 ORDER BY sign_off_id"
    return tuple(cast("SignOff", kind.record_of(row)) for row in db.query(query, [setter_id]))


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
