"""Adding, correcting, hiding and uniting records, each as one change.

LogbookError for an id that is taken, or a setter that the logbook does not know.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import TypeVar, cast

from platebook.logbook.defaults import move_all
from platebook.logbook.errors import LogbookError
from platebook.logbook.file.connection import Database, writing
from platebook.logbook.history.changes import RecordChange, Stamp, owners, row_of, write
from platebook.logbook.history.revisions import batches, revisions_of
from platebook.logbook.record_kinds import Record, kind_named, kind_words, kinds
from platebook.logbook.row_values import Stored
from platebook.logbook.setter_records import ids_of, require_setter
from platebook.practice.attempt import Attempt
from platebook.practice.people.own_records import OwnField, SheetAnswers
from platebook.practice.records import (
    ClassTerm,
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
from platebook.practice.revision import Change, Revision, clash
from platebook.trade.records import Tool

Added = TypeVar(
    "Added",
    Setter,
    Tool,
    ToolCheckRecord,
    Plate,
    Inspection,
    Draw,
    SignOff,
    Teacher,
    ClassTerm,
    Membership,
    Message,
)

Own = OwnField | SheetAnswers


def add(
    db: Database,
    new: Sequence[RecordChange],
    stamp: Stamp,
    *,
    whose: Iterable[str | None],
    corrected: Sequence[RecordChange] = (),
) -> Change:
    """Add new records as one change, with records of before `corrected` in it; all or none.

    `whose` are the setters the records belong to. LogbookError for one that is neither known nor
    among the new, and where an id is taken. A record that was taken out comes back under
    its own id, as a new version.
    """
    added = {entry.record_id for entry in new if entry.kind == "setter"}
    with writing(db):
        for setter_id in set(whose) - added:
            require_setter(db, setter_id)
        for kind in dict.fromkeys(entry.kind for entry in new):
            _refuse_taken(db, kind, [e.record_id for e in new if e.kind == kind])
        return write(db, [*new, *corrected], stamp)


def amend(db: Database, kind: str, record_id: str, record: Record, stamp: Stamp) -> Change | None:
    """Leave the record as this value; None, and nothing written, where it is so already.

    Where two versions stand, this settles it. Whose the record is stays where the value has no
    word of it.
    """
    shape = kind_named(kind)
    with writing(db):
        revisions = _known(db, kind, record_id)
        if revisions[-1].hidden:
            message = (
                f"The {kind_words(kind)} {record_id} was taken out. Put it back before changing it."
            )
            raise LogbookError("refused", message)
        row = row_of(db, shape, record_id) or {}
        entry = RecordChange.of(kind, record_id, shape.row_of(record, row.get("setter_id")))
        if entry.record == revisions[-1].record and not clash(revisions):
            return None
        return write(db, [entry], stamp)


def hide(db: Database, kind: str, record_ids: Iterable[str], stamp: Stamp) -> Change | None:
    """Take records out of what stands, their past kept; None where all are out already."""
    with writing(db):
        last = {record_id: _known(db, kind, record_id)[-1] for record_id in record_ids}
        entries = [
            RecordChange.again(revision, hidden=True)
            for revision in last.values()
            if not revision.hidden
        ]
        return write(db, entries, stamp) if entries else None


def _known(db: Database, kind: str, record_id: str) -> tuple[Revision, ...]:
    revisions = revisions_of(db, kind, [record_id]).get(record_id)
    if revisions is None:
        message = f"There is no {kind_words(kind)} with the id {record_id}. Nothing was changed."
        raise LogbookError("unknown", message)
    return revisions


def taken_ids(db: Database, kind: str, record_ids: Iterable[str]) -> frozenset[str]:
    """Those of these ids that no new record may have: one that stands has it, or one erased had."""
    key = kind_named(kind).key
    taken: set[str] = set()
    for batch in batches(record_ids):
        for ids in (
            f"SELECT {key} AS id FROM {kind} WHERE hidden = 0",  # noqa: S608 - names of our own
            "SELECT record_id AS id FROM tombstone",
        ):
            query = f"SELECT id FROM ({ids}) WHERE id IN (SELECT value FROM json_each(?))"  # noqa: S608 - one of two
            taken |= {row[0] for row in db.execute(query, [batch])}
    return frozenset(taken)


def _refuse_taken(db: Database, kind: str, record_ids: Sequence[str]) -> None:
    twice = {record_id for record_id, times in Counter(record_ids).items() if times > 1}
    if refused := sorted(taken_ids(db, kind, record_ids) | twice):
        shown = ", ".join(refused[:3])
        more = f" and {len(refused) - 3} more" if len(refused) > 3 else ""
        message = f"The {kind_words(kind)} id {shown}{more} is taken already. Nothing was added."
        raise LogbookError("duplicate", message)


def add_attempts(
    db: Database,
    attempts: Iterable[Attempt],
    stamp: Stamp,
    new_setters: Iterable[Setter] = (),
    *,
    corrected: Iterable[Attempt] = (),
    beside: Iterable[Own] = (),
) -> tuple[str, ...]:
    """Add attempts as one change, with the setters that are new; gives their ids in order.

    `corrected` are attempts that stand, each with its id, as they are to be from now on. `beside`
    is what setters keep of the sheet the attempts came from; one with an id stands already.
    """
    new = tuple(attempts)
    setters = entries_of("setter", tuple(new_setters), stamp)
    entries = entries_of("attempt", new, stamp)
    shape = kind_named("attempt")
    again = [
        RecordChange.of("attempt", a.attempt_id or "", shape.row_of(a, a.setter_id))
        for a in corrected
    ]
    own: list[RecordChange] = []
    kept = tuple(beside)
    for name, kind in (("own_field", OwnField), ("sheet_answers", SheetAnswers)):
        key = kind_named(name).key
        of_kind = [record for record in kept if isinstance(record, kind)]
        own += entries_of(name, [r for r in of_kind if getattr(r, key) is None], stamp)
        again += [
            RecordChange.of(name, getattr(r, key), kind_named(name).row_of(r))
            for r in of_kind
            if getattr(r, key) is not None
        ]
    if setters or entries or own or again:
        whose = (record.setter_id for record in (*new, *kept))
        add(db, [*setters, *entries, *own], stamp, whose=whose, corrected=again)
    return tuple(entry.record_id for entry in entries)


def add_setter(db: Database, setter: Setter | str, stamp: Stamp) -> Setter:
    """Add a person, by name or with all that is known; gives the setter with its id."""
    person = Setter(name=setter) if isinstance(setter, str) else setter
    return add_each(db, "setter", [person], stamp, whose=())[0]


def add_tools(
    db: Database, setter_id: str, tools: Sequence[Tool], stamp: Stamp
) -> tuple[Tool, ...]:
    """Add tools to a setter's drawer; gives them with their ids."""
    return add_each(db, "tool", tools, stamp, whose=[setter_id], setter_id=setter_id)


def add_plate(db: Database, plate: Plate, stamp: Stamp) -> Plate:
    """Add a plate; gives it with its id."""
    return add_each(db, "plate", [plate], stamp, whose=[plate.setter_id])[0]


def add_tool_check(db: Database, check: ToolCheckRecord, stamp: Stamp) -> ToolCheckRecord:
    """Add a check of a tool; gives it with its id."""
    return add_each(db, "tool_check", [check], stamp, whose=[check.setter_id])[0]


def add_inspections(
    db: Database, inspections: Sequence[Inspection], stamp: Stamp
) -> tuple[Inspection, ...]:
    """Add inspections; gives them with their ids. LogbookError for an unknown attempt."""
    looked_at = owners(db, kind_named("attempt"), [i.attempt_id for i in inspections])
    for inspection in inspections:
        if looked_at.get(inspection.attempt_id, ("", True))[1]:
            message = f"There is no attempt with the id {inspection.attempt_id}."
            raise LogbookError("unknown", f"{message} Nothing was added.")
    return add_each(db, "inspection", inspections, stamp, whose=())


def add_draws(db: Database, draws: Sequence[Draw], stamp: Stamp) -> tuple[Draw, ...]:
    """Add draws as one change; gives them with their ids."""
    return add_each(db, "draw", draws, stamp, whose=[draw.setter_id for draw in draws])


def add_sign_off(db: Database, sign_off: SignOff, stamp: Stamp) -> SignOff:
    """Add a sign-off; gives it with its id."""
    return add_each(db, "sign_off", [sign_off], stamp, whose=[sign_off.setter_id])[0]


def add_each(
    db: Database,
    name: str,
    records: Sequence[Added],
    stamp: Stamp,
    *,
    whose: Iterable[str | None],
    setter_id: str | None = None,
) -> tuple[Added, ...]:
    """Add records of one kind as one change; gives them with their ids."""
    entries = entries_of(name, records, stamp, setter_id=setter_id)
    add(db, entries, stamp, whose=whose)
    return with_ids(records, entries)


def with_ids(records: Sequence[Added], entries: Sequence[RecordChange]) -> tuple[Added, ...]:
    """The records with the ids of the entries that add them, in the same order."""
    return tuple(
        record.model_copy(update={kind_named(entry.kind).key: entry.record_id})
        for record, entry in zip(records, entries, strict=True)
    )


def entries_of(
    name: str, records: Sequence[Record], stamp: Stamp, *, setter_id: str | None = None
) -> list[RecordChange]:
    """The entries that add these records of one kind, each with its own id or a new one."""
    kind = kind_named(name)
    rows: list[dict[str, Stored]] = [kind.row_of(record, setter_id) for record in records]
    entries = []
    for row, new_id in zip(rows, stamp.ids.take(len(rows), stamp.now), strict=True):
        stamp.each_row()
        entries.append(RecordChange.of(name, cast("str", row.get(kind.key, new_id)), row))
    return entries


def merge_setters(db: Database, keep: str, gone: str, stamp: Stamp) -> Change:
    """Give `keep` all that is `gone`'s and hide `gone`, as one change that can be taken back.

    A default that named `gone`, such as the setter in use, names `keep` until it is taken back.
    """
    if keep == gone:
        raise LogbookError("refused", "These are one entry already. Nothing was changed.")
    with writing(db):
        require_setter(db, keep)
        require_setter(db, gone)
        entries = []
        for kind in kinds().values():
            if kind.owner == "attempt":
                continue
            for revisions in revisions_of(db, kind.name, ids_of(db, kind, gone)).values():
                last = revisions[-1]
                the_person = kind.owner == "self"
                entries.append(
                    RecordChange.again(last, hidden=True)
                    if the_person
                    else RecordChange.of(
                        kind.name,
                        last.record_id,
                        last.row | {"setter_id": keep},
                        hidden=last.hidden,
                    )
                )
        change = write(db, entries, stamp)
        move_all(db, gone, keep, change.change_id)
        return change
