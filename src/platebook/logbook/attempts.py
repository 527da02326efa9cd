"""Attempts as they stand, in the order asked for, as a rule by `began`, then id.

A page is asked for by the attempt it follows (`after`) or precedes (`before`), so that the
thousandth page of a large logbook comes as fast as the first.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from platebook.logbook.connecting import Database
from platebook.logbook.kinds import attempt_columns
from platebook.logbook.revisions import batches
from platebook.logbook.wanted import ALL, Wanted, containing
from platebook.practice.attempt import Attempt


@dataclass(frozen=True, slots=True)
class PlainRows:
    """One setter's attempts as they lie in the table: small to hand over, read only where used."""

    setter: str | None
    columns: tuple[str, ...]
    rows: tuple[tuple[Any, ...], ...]

    def attempts(self) -> tuple[Attempt, ...]:
        """The attempts, in order."""
        columns = attempt_columns()
        pairs = (zip(self.columns, row, strict=True) for row in self.rows)
        return tuple(Attempt(setter=self.setter, **columns.loaded(dict(one))) for one in pairs)


def plain_rows(db: Database, setter_id: str) -> PlainRows:
    """The attempts of one setter that stand, in order, as plain rows."""
    wanted = Wanted(setter_id=setter_id)
    where, values = wanted.where()
    found = db.execute(
        f"SELECT * FROM attempt WHERE {where}"  # noqa: S608 - conditions of our own
        f" ORDER BY {wanted.order_by(newest_first=False)}",
        values,
    )
    name = db.execute("SELECT name FROM setter WHERE setter_id = ?", [setter_id]).fetchone()
    return PlainRows(
        setter=None if name is None else str(name[0]),
        columns=tuple(column[0] for column in found.description),
        rows=tuple(found.fetchall()),
    )


def attempt_counts(db: Database) -> dict[str, int]:
    """How many attempts of each setter stand, by id."""
    return dict(db.execute("SELECT setter_id, attempts FROM tally").fetchall())


def select_attempts(
    db: Database, wanted: Wanted = ALL, *, limit: int | None = None, newest_first: bool = False
) -> tuple[Attempt, ...]:
    """The attempts wanted, in order or the other way round, at most `limit` of them.

    In the order of time those without a time come first. The next page is asked for by its bound:
    newest first `before` the last one shown, in order `after` it.
    """
    where, values = wanted.where()
    rows = db.query(
        f"SELECT * FROM attempt WHERE {where}"  # noqa: S608 - conditions of our own
        f" ORDER BY {wanted.order_by(newest_first=newest_first)} LIMIT ?",
        [*values, -1 if limit is None else limit],
    )
    return _with_names(db, rows)


def count_attempts(db: Database, wanted: Wanted = ALL) -> int:
    """How many attempts stand. With no more than a setter given it is read from the tally."""
    if wanted == Wanted(setter_id=wanted.setter_id):
        one = "" if wanted.setter_id is None else " WHERE setter_id = ?"
        values = [] if wanted.setter_id is None else [wanted.setter_id]
        query = f"SELECT coalesce(sum(attempts), 0) FROM tally{one}"  # noqa: S608 - one of two
        return int(db.execute(query, values).fetchone()[0])
    where, conditions = wanted.where()
    query = f"SELECT count(*) FROM attempt WHERE {where}"  # noqa: S608 - conditions of our own
    return int(db.execute(query, conditions).fetchone()[0])


def attempt_by_id(db: Database, attempt_id: str) -> Attempt | None:
    """The attempt of this id; None where none stands."""
    return next(iter(attempts_by_id(db, [attempt_id])), None)


def attempts_by_id(db: Database, attempt_ids: Iterable[str]) -> tuple[Attempt, ...]:
    """The attempts of these ids that stand, in order; ids that are unknown are left out."""
    found: list[Mapping[str, Any]] = []
    for batch in batches(attempt_ids):
        found += db.query(
            "SELECT * FROM attempt WHERE hidden = 0"
            " AND attempt_id IN (SELECT value FROM json_each(?))",
            [batch],
        )
    return _with_names(db, sorted(found, key=lambda row: (row["order_us"], row["attempt_id"])))


def attempt_ids_ending(db: Database, ending: str) -> tuple[str, ...]:
    """Ids of attempts that stand and end so."""
    rows = db.execute(
        "SELECT attempt_id FROM attempt WHERE hidden = 0 AND attempt_id LIKE ? ESCAPE '\\'",
        [containing(ending).removesuffix("%")],
    )
    return tuple(row[0] for row in rows)


def grades_of(db: Database, setter_id: str) -> tuple[str, ...]:
    """The grades that a setter has attempts of, each once."""
    rows = db.execute(
        "SELECT DISTINCT grade FROM attempt WHERE hidden = 0 AND setter_id = ?"
        " AND grade IS NOT NULL ORDER BY grade",
        [setter_id],
    )
    return tuple(row[0] for row in rows)


def _with_names(db: Database, rows: Iterable[Mapping[str, Any]]) -> tuple[Attempt, ...]:
    names = dict(db.execute("SELECT setter_id, name FROM setter").fetchall())
    columns = attempt_columns()
    return tuple(Attempt(setter=names.get(row["setter_id"]), **columns.loaded(row)) for row in rows)
