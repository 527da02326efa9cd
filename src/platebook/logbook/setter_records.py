"""Setters and what is theirs, as it stands: tools and seats, plates, looks, draws, sign-offs.

Nothing is added up in the bur's own record: two logbooks that each add to one counter would clash,
and taking an attempt back would leave the counter behind.
"""

import json
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable
from typing import Any, cast

from platebook.logbook.errors import LogbookError
from platebook.logbook.file.connection import Database
from platebook.logbook.history.changes import row_of
from platebook.logbook.history.revisions import batches
from platebook.logbook.record_kinds import Kind, Record, kind_named
from platebook.practice.fields import parts_without
from platebook.practice.people.own_records import OwnField, SheetAnswers
from platebook.practice.records import Draw, Inspection, Plate, Setter, SignOff, ToolCheckRecord
from platebook.trade.records import Tool


def _with_seats(db: Database, setter_id: str, tools: Iterable[Tool]) -> tuple[Tool, ...]:
    """The tools of a setter, each bur with the seats it has cut.

    A bur counts from what its first attempt found it had cut, one more for each attempt that
    stands, and never less than its own record or any attempt says. An attempt names its bur; of two
    burs of one name, also one that was thrown out, it was the one put into the drawer last before
    the attempt was logged. A part in a prepared seat costs no bur a seat.
    """
    known = tuple(tools)
    burs: defaultdict[str, list[str]] = defaultdict(list)
    query = "SELECT tool_id, name FROM tool WHERE kind = 'bur' AND setter_id = ? ORDER BY tool_id"
    for tool_id, bur in db.execute(query, [setter_id]).fetchall():
        for name in {bur, tool_id} - {"", None}:
            burs[name].append(tool_id)
    if not burs:
        return known
    uses: defaultdict[str, list[int]] = defaultdict(list)
    rows = db.execute(
        "SELECT seat_bur, attempt_id, seat_bur_uses FROM attempt WHERE setter_id = ? AND hidden = 0"
        " AND seat_bur IS NOT NULL AND seat_bur_uses IS NOT NULL"
        " AND (part IS NULL OR part NOT IN (SELECT value FROM json_each(?)))",
        [setter_id, json.dumps(parts_without("seat"))],
    )
    for name, attempt_id, cut in rows.fetchall():
        of_name = burs.get(name, ())
        # Ids rise with the time they were given out, so they tell which bur there was by then. A
        # clock that is off must not lose a seat, so what seems older than all burs is the first's.
        if of_name:
            uses[of_name[max(0, bisect_left(of_name, attempt_id) - 1)]].append(cut)
    return tuple([_with_count(tool, uses.get(str(tool.tool_id), [])) for tool in known])


def _with_count(tool: Tool, uses: list[int]) -> Tool:
    if not uses:
        return tool
    cut = max(tool.seats_cut, min(uses) + len(uses), max(uses) + 1)
    return tool.model_copy(update={"seats_cut": cut})


def setters(db: Database) -> tuple[Setter, ...]:
    """Everyone in the logbook, in the order added."""
    kind = kind_named("setter")
    rows = db.query("SELECT * FROM setter WHERE hidden = 0 ORDER BY setter_id")
    return tuple(cast("Setter", kind.record_of(row)) for row in rows)


def setter_with_id(db: Database, setter_id: str | None) -> Setter | None:
    """The setter of this id who stands; None where there is none, or no id."""
    query = "SELECT * FROM setter WHERE hidden = 0 AND setter_id = ?"
    rows = db.query(query, [setter_id])
    kind = kind_named("setter")
    return next((cast("Setter", kind.record_of(row)) for row in rows), None)


def require_setter(db: Database, setter_id: str | None) -> str:
    """The id, if it is a setter's. LogbookError for one that the logbook does not know."""
    row = row_of(db, kind_named("setter"), setter_id) if setter_id else None
    if setter_id is None or row is None or row["hidden"]:
        message = f"There is no setter with the id {setter_id}. Add the setter first."
        raise LogbookError("unknown", message)
    return setter_id


def tools(db: Database, setter_id: str) -> tuple[Tool, ...]:
    """A setter's tools, in the order added; the seats of each bur are counted from the attempts."""
    known = cast("tuple[Tool, ...]", _standing(db, "tool", setter_id))
    return _with_seats(db, setter_id, known)


def tool_checks(db: Database, setter_id: str) -> tuple[ToolCheckRecord, ...]:
    """The checks of a setter's measuring tools, in the order made."""
    return cast("tuple[ToolCheckRecord, ...]", _standing(db, "tool_check", setter_id))


def plates(db: Database, setter_id: str) -> tuple[Plate, ...]:
    """The plates a setter practises on, in the order added; reference plates are not among them."""
    plates = cast("tuple[Plate, ...]", _standing(db, "plate", setter_id))
    return tuple(plate for plate in plates if not plate.verdicts)


def reference_plates(db: Database) -> tuple[Plate, ...]:
    """Every plate whose verdicts are known, whoever keeps it, in the order added."""
    kind = kind_named("plate")
    rows = db.query("SELECT * FROM plate WHERE hidden = 0 ORDER BY plate_id")
    return tuple(
        p for p in cast("tuple[Plate, ...]", tuple(map(kind.record_of, rows))) if p.verdicts
    )


def _standing(db: Database, name: str, setter_id: str) -> tuple[Record, ...]:
    """The records of one kind that are a setter's and stand, in the order of their ids."""
    kind = kind_named(name)
    query = f"SELECT * FROM {name} WHERE setter_id = ? AND hidden = 0 ORDER BY {kind.key}"  # noqa: S608 - names of our own
    return tuple(map(kind.record_of, db.query(query, [setter_id])))


def inspections(db: Database, setter_id: str | None = None) -> tuple[Inspection, ...]:
    """The inspections of one setter's attempts that stand, or of everyone's."""
    kind = kind_named("inspection")
    stand = "inspection.hidden = 0 AND attempt.hidden = 0"
    if setter_id is None:
        joined = "inspection JOIN attempt USING (attempt_id)"
    else:
        # From the setter's attempts, so that one setter's looks are not sought among everyone's.
        joined = "attempt CROSS JOIN inspection USING (attempt_id)"
        stand = f"{stand} AND attempt.setter_id = ?"
    query = f"SELECT inspection.* FROM {joined} WHERE {stand} ORDER BY inspection_id"  # noqa: S608 - texts of our own
    values = [] if setter_id is None else [setter_id]
    return tuple(cast("Inspection", kind.record_of(row)) for row in db.query(query, values))


def looks_at(db: Database, attempt_ids: Iterable[str]) -> dict[str, list[tuple[str, str]]]:
    """By attempt, for those of these that were looked at: the id and the inspector of each look."""
    found: defaultdict[str, list[tuple[str, str]]] = defaultdict(list)
    query = (
        "SELECT attempt_id, inspection_id, inspector FROM inspection WHERE hidden = 0"
        " AND attempt_id IN (SELECT value FROM json_each(?)) ORDER BY inspection_id"
    )
    for batch in batches(attempt_ids):
        for attempt_id, inspection_id, inspector in db.execute(query, [batch]).fetchall():
            found[attempt_id].append((inspection_id, inspector))
    return dict(found)


def was_told(db: Database, attempt_id: str, *, besides: Iterable[str] = ()) -> bool:
    """Whether anyone but these looked at the attempt and took the look back since."""
    query = "SELECT inspector FROM inspection WHERE attempt_id = ? AND hidden"
    known = frozenset(besides)
    return any(row[0] not in known for row in db.execute(query, [attempt_id]).fetchall())


def verdicts_before_looks(
    db: Database, setter_id: str, attempt_ids: Iterable[str]
) -> dict[str, dict[str, Any]]:
    """These attempts of a setter as they had judged them when the first look by others was made.

    A verdict that was corrected since may have been corrected because of the look. What was known
    then is what ranks below the look, so a wrong clock does no harm. Attempts without a look are
    left out.
    """
    rows: list[tuple[str, str | None]] = []
    for batch in batches(attempt_ids):
        rows += db.execute(
            "SELECT attempt_id, (SELECT r.record FROM revision AS r WHERE r.kind = 'attempt'"
            " AND r.record_id = attempt_id AND r.counter < looked"
            " ORDER BY r.counter DESC, r.revision_id DESC LIMIT 1)"
            " FROM (SELECT l.value AS attempt_id, min(v.counter) AS looked FROM json_each(?) AS l"
            " CROSS JOIN inspection AS i ON i.attempt_id = l.value"
            " CROSS JOIN revision AS v ON v.kind = 'inspection' AND v.record_id = i.inspection_id"
            " WHERE i.hidden = 0 AND i.inspector <> ? GROUP BY l.value)",
            [batch, setter_id],
        ).fetchall()
    known = {attempt_id: json.loads(record) for attempt_id, record in rows if record is not None}
    columns = kind_named("attempt").columns
    return {
        attempt_id: {name: verdict.get(name) for name in ("result", "severity")}
        for attempt_id, row in known.items()
        for verdict in [columns.loaded({name: row.get(name) for name in ("result", "severity")})]
    }


def draw_counts(db: Database) -> dict[str, int]:
    """How often was drawn of each setter's, by id."""
    query = "SELECT setter_id, COUNT(*) FROM draw WHERE hidden = 0 GROUP BY setter_id"
    return dict(db.execute(query).fetchall())


def draws(db: Database, setter_id: str) -> tuple[Draw, ...]:
    """What was drawn at random of a setter's, in the order drawn."""
    return cast("tuple[Draw, ...]", _standing(db, "draw", setter_id))


def own_fields(db: Database, setter_id: str) -> tuple[OwnField, ...]:
    """The columns of a setter's own, in the order added; a name may be there twice."""
    return cast("tuple[OwnField, ...]", _standing(db, "own_field", setter_id))


def sheet_answers(db: Database, headings: str) -> tuple[SheetAnswers, ...]:
    """What anybody answered about sheets with these headings (a digest), the last one last."""
    kind = kind_named("sheet_answers")
    rows = db.query(
        "SELECT a.* FROM sheet_answers AS a JOIN revision AS r USING (revision_id)"
        " WHERE headings = ? AND a.hidden = 0 ORDER BY r.counter, sheet_answers_id",
        [headings],
    )
    return cast("tuple[SheetAnswers, ...]", tuple(map(kind.record_of, rows)))


def sign_offs(db: Database, setter_id: str) -> tuple[SignOff, ...]:
    """What was signed off for a setter, in the order signed."""
    return cast("tuple[SignOff, ...]", _standing(db, "sign_off", setter_id))


def ids_of(db: Database, kind: Kind, setter_id: str) -> tuple[str, ...]:
    """The ids of all records of this kind that are a setter's, hidden ones too."""
    if kind.owner == "attempt":
        query = (
            "SELECT inspection_id FROM inspection JOIN attempt USING (attempt_id)"
            " WHERE attempt.setter_id = ?"
        )
    elif kind.owner_column is None:
        return ()
    else:
        query = f"SELECT {kind.key} FROM {kind.name} WHERE setter_id = ?"  # noqa: S608 - names of our own
    return tuple(row[0] for row in db.execute(query, [setter_id]).fetchall())
