"""The attempts as they stand: those that are asked for, one by its id, counts and days."""

import json
from collections.abc import Callable, Collection, Iterable, Sequence
from datetime import date, datetime
from typing import Any

from platebook.logbook.attempts.wanted_attempts import ALL, DAY, Wanted, containing
from platebook.logbook.attempts.word_search import ids_with_words
from platebook.logbook.errors import UnreadableRowError
from platebook.logbook.file.connection import Database
from platebook.logbook.history.revisions import batches
from platebook.logbook.record_kinds import WITHOUT_TIME, attempt_columns
from platebook.logbook.row_values import instant, time_of
from platebook.practice.attempt import Attempt, attempts_of
from platebook.values import Value


class PlainRows(Value):
    """One setter's attempts as they lie in the table: small to hand over, read only where used."""

    setter: str | None
    columns: tuple[str, ...]
    rows: tuple[tuple[Any, ...], ...]

    def attempts(self) -> tuple[Attempt, ...]:
        """The attempts, in order."""
        return _attempts_in(self.columns, self.rows, lambda _: self.setter)


def plain_rows(db: Database, setter_id: str) -> PlainRows:
    """The attempts of one setter that stand, in order, as plain rows."""
    wanted = Wanted(setter_id=setter_id)
    where, values = wanted.where()
    cursor = db.execute(
        f"SELECT * FROM attempt WHERE {where}"  # noqa: S608 - conditions of our own
        f" ORDER BY {wanted.order_by(newest_first=False)}",
        values,
    )
    name = db.execute("SELECT name FROM setter WHERE setter_id = ?", [setter_id]).fetchone()
    columns, rows = tuple(column[0] for column in cursor.description), tuple(cursor.fetchall())
    place = columns.index("setter_id")
    _refuse_others((row[place] for row in rows), setter_id)
    return PlainRows(setter=None if name is None else str(name[0]), columns=columns, rows=rows)


def _refuse_others(setter_ids: Iterable[str | None], wanted: str | None) -> None:
    """UnreadableRowError where one is another setter's than the index says, as after a damage."""
    if wanted is not None and (others := {str(each) for each in setter_ids} - {wanted}):
        raise UnreadableRowError("whose an attempt is", min(others))


def attempt_counts(db: Database) -> dict[str, int]:
    """How many attempts of each setter stand, by id."""
    return dict(db.execute("SELECT setter_id, attempts FROM tally").fetchall())


def days_practised(db: Database, setter_ids: Iterable[str]) -> dict[str, frozenset[date]]:
    """The days on which these setters logged something, each where it was made; by id.

    Attempts without a time have no day, and whoever has none of the others is left out.
    """
    days: dict[str, set[date]] = {}
    for batch in batches(setter_ids):
        for setter_id, day in db.execute(
            f"SELECT DISTINCT setter_id, {DAY} FROM attempt"  # noqa: S608 - an expression of ours
            " WHERE hidden = 0 AND began_us IS NOT NULL"
            " AND setter_id IN (SELECT value FROM json_each(?))",
            [batch],
        ).fetchall():
            days.setdefault(setter_id, set()).add(date.fromisoformat(day))
    return {setter_id: frozenset(found) for setter_id, found in days.items()}


WHOSE = ("attempt_id", "setter_id")
"""What is read of every attempt, whichever fields are asked for."""


def select_attempts(
    db: Database,
    wanted: Wanted = ALL,
    *,
    limit: int | None = None,
    newest_first: bool = False,
    only: Collection[str] = (),
) -> tuple[Attempt, ...]:
    """The attempts wanted, in order or the other way round, at most `limit` of them.

    In the order of time those without a time come first. The next page is asked for by its bound:
    newest first `before` the last one shown, in order `after` it. `only` are the fields that are
    read where not all are: the others stand empty.
    """
    if wanted.words and wanted.setter_id is None and limit is not None:
        ids = ids_with_words(db, wanted, limit=limit, newest_first=newest_first)
        by_id = {attempt.attempt_id: attempt for attempt in attempts_by_id(db, ids)}
        return tuple(by_id[attempt_id] for attempt_id in ids if attempt_id in by_id)
    where, values = wanted.where()
    columns = ", ".join(attempt_columns().stored_of({*WHOSE, *only})) if only else "*"
    found = _with_names(
        db,
        f"SELECT {columns} FROM attempt WHERE {where}"  # noqa: S608 - names and conditions of ours
        f" ORDER BY {wanted.order_by(newest_first=newest_first)} LIMIT ?",
        [*values, -1 if limit is None else limit],
    )
    _refuse_others((attempt.setter_id for attempt in found), wanted.setter_id)
    return found


_SET_UP = "stone_diameter_um, metal, sheet_um, layers, grade, stone_material"


def latest_set_ups(db: Database, setter_id: str) -> tuple[Attempt, ...]:
    """Of each set-up of a setter the attempt that had it last, in order; not of part exercises.

    A set-up is stone, metal and sheet, all known, with layers, grade and the stone's material.
    A log of any length has few.
    """
    order = "order_us DESC, attempt_id DESC"
    return _with_names(
        db,
        "SELECT * FROM attempt WHERE attempt_id IN (SELECT attempt_id FROM (SELECT attempt_id,"  # noqa: S608 - names of our own
        f" row_number() OVER (PARTITION BY {_SET_UP} ORDER BY {order}) AS since"
        " FROM attempt WHERE hidden = 0 AND setter_id = ? AND kind IS NOT 'part'"
        " AND stone_diameter_um IS NOT NULL AND metal IS NOT NULL AND sheet_um IS NOT NULL)"
        " WHERE since = 1) ORDER BY order_us, attempt_id",
        [setter_id],
    )


def count_attempts(db: Database, wanted: Wanted = ALL) -> int:
    """How many attempts stand. With no more than a setter given it is read from the tally."""
    if wanted == Wanted(setter_id=wanted.setter_id):
        of_setter = "" if wanted.setter_id is None else " WHERE setter_id = ?"
        values = [] if wanted.setter_id is None else [wanted.setter_id]
        query = f"SELECT coalesce(sum(attempts), 0) FROM tally{of_setter}"  # noqa: S608 - one of two
        return int(db.execute(query, values).fetchone()[0])
    where, conditions = wanted.where()
    query = f"SELECT count(*) FROM attempt WHERE {where}"  # noqa: S608 - conditions of our own
    return int(db.execute(query, conditions).fetchone()[0])


def attempts_after(
    db: Database, setter_id: str | None, moment: datetime
) -> tuple[int, datetime | None]:
    """How many attempts began after this moment, and when the first of them; of everybody for None.

    Of them none, the moment is None.
    """
    whose = "" if setter_id is None else " AND setter_id = :setter"
    row = db.execute(
        "SELECT count(*), min(order_us) FROM attempt WHERE hidden = 0"  # noqa: S608 - no outside text
        f" AND order_us > :after{whose}",
        {"setter": setter_id, "after": instant(moment)[0]},
    ).fetchone()
    return row[0], None if row[1] is None else time_of(row[1], 0)


def attempt_by_id(db: Database, attempt_id: str) -> Attempt | None:
    """The attempt of this id; None where none stands."""
    return next(iter(attempts_by_id(db, [attempt_id])), None)


def attempts_by_id(db: Database, attempt_ids: Iterable[str]) -> tuple[Attempt, ...]:
    """The attempts of these ids that stand, in order; ids that are unknown are left out."""
    found = [
        attempt
        for batch in batches(attempt_ids)
        for attempt in _with_names(
            db,
            "SELECT * FROM attempt WHERE hidden = 0"
            " AND attempt_id IN (SELECT value FROM json_each(?))",
            [batch],
        )
    ]
    return tuple(sorted(found, key=_place))


def attempt_ids_ending(db: Database, ending: str) -> tuple[str, ...]:
    """Ids of attempts that stand and end so."""
    rows = db.execute(
        "SELECT attempt_id FROM attempt WHERE hidden = 0 AND attempt_id LIKE ? ESCAPE '\\'",
        [containing(ending).removesuffix("%")],
    )
    return tuple(row[0] for row in rows)


def _place(attempt: Attempt) -> tuple[int, str]:
    """Where an attempt stands in the order of time, as the column `order_us` has it."""
    began = WITHOUT_TIME if attempt.began is None else instant(attempt.began)[0]
    return began, attempt.attempt_id or ""


_ROWS_AT_ONCE = 2_000


def _with_names(db: Database, query: str, values: Sequence[Any]) -> tuple[Attempt, ...]:
    """The attempts that a query for their columns finds, each with its setter's name."""
    names = dict(db.execute("SELECT setter_id, name FROM setter").fetchall())
    cursor = db.execute(query, values)
    columns = tuple(column[0] for column in cursor.description)
    attempts: list[Attempt] = []
    while rows := cursor.fetchmany(_ROWS_AT_ONCE):
        attempts += _attempts_in(columns, rows, names.get)
    return tuple(attempts)


def _attempts_in(
    columns: Sequence[str], rows: Sequence[Sequence[Any]], name_of: Callable[[str], str | None]
) -> tuple[Attempt, ...]:
    """The attempts that these rows hold; `name_of` says a setter's name by id."""
    loaded = attempt_columns().loaded_together(columns, rows)
    loaded["setter"] = [name_of(setter_id) for setter_id in loaded.get("setter_id", ())]
    return attempts_of(loaded, len(rows))


class ImportedAttempt(Value):
    """An attempt as the last import left it, and how it stands now.

    `standing` is None where it was taken out, and `taken_back` says that the import itself was.
    """

    then: Attempt
    standing: Attempt | None
    taken_back: bool


def imported_attempts(db: Database) -> tuple[ImportedAttempt, ...]:
    """Every attempt that a file brought in, oldest first.

    A correction that was taken back is as if it had never been imported.
    """
    words = "SELECT reverts, what FROM change WHERE reverts IS NOT NULL ORDER BY counter"
    latest = dict(db.execute(words).fetchall())
    rows = db.execute(
        "SELECT r.record_id, r.record, last.what, r.change_id FROM revision AS r"
        " JOIN change AS c USING (change_id) JOIN attempt AS a ON a.attempt_id = r.record_id"
        " JOIN revision AS now ON now.revision_id = a.revision_id"
        " JOIN change AS last ON last.change_id = now.change_id"
        " WHERE r.kind = 'attempt' AND c.what = 'import' ORDER BY r.counter, r.revision_id"
    ).fetchall()
    then: dict[str, tuple[str, str]] = {}
    for record_id, record, what, change_id in rows:
        if record_id not in then or latest.get(change_id) != "undo":
            then[record_id] = (record, what)
    standing = {str(a.attempt_id): a for a in attempts_by_id(db, then)}
    columns = attempt_columns()
    return tuple(
        ImportedAttempt(
            then=Attempt(**columns.loaded(json.loads(record))),
            standing=standing.get(record_id),
            taken_back=record_id not in standing and what in {"undo", "redo"},
        )
        for record_id, (record, what) in then.items()
    )
