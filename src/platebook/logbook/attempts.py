"""Attempts as they stand, in their order: by `began`, then id; those without a time come first.

A page is asked for by the attempt it follows (`after`) or precedes (`before`), so that the
thousandth page of a large logbook comes as fast as the first.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from platebook.logbook.connecting import Database
from platebook.logbook.kinds import WITHOUT_TIME, attempt_columns
from platebook.logbook.revisions import batches
from platebook.logbook.rows import as_json, instant
from platebook.practice.attempt import Attempt


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Which attempts: of one setter, of one grade, with one defect or good among the results.

    None means all of them. `after` and `before` are attempts that bound the page; neither is part
    of it.
    """

    setter_id: str | None = None
    grade: str | None = None
    result: str | None = None
    after: Attempt | None = None
    before: Attempt | None = None

    def where(self) -> tuple[str, list[Any]]:
        """The condition in SQL, and its values."""
        conditions: list[str] = ["hidden = 0"]
        values: list[Any] = []
        for name in ("setter_id", "grade"):
            if (value := getattr(self, name)) is not None:
                conditions.append(f"{name} = ?")
                values.append(value)
        if self.result is not None:
            # The results are a JSON list, in which the one wanted stands as its JSON text.
            conditions.append("instr(result, ?) > 0")
            values.append(as_json(self.result))
        for sign, bound in ((">", self.after), ("<", self.before)):
            if bound is not None:
                conditions.append(f"(order_us, attempt_id) {sign} (?, ?)")
                values += _place(bound)
        return " AND ".join(conditions), values


def _place(attempt: Attempt) -> tuple[int, str]:
    order = WITHOUT_TIME if attempt.began is None else instant(attempt.began)[0]
    return order, attempt.attempt_id or ""


def select(
    db: Database, wanted: Wanted, *, limit: int | None = None, newest_first: bool = False
) -> tuple[Attempt, ...]:
    """The attempts wanted, in order or newest first, at most `limit` of them."""
    where, values = wanted.where()
    down = " DESC" if newest_first else ""
    rows = db.query(
        f"SELECT * FROM attempt WHERE {where}"  # noqa: S608 - conditions of our own
        f" ORDER BY order_us{down}, attempt_id{down} LIMIT ?",
        [*values, -1 if limit is None else limit],
    )
    return _with_names(db, rows)


def count(db: Database, wanted: Wanted) -> int:
    """How many attempts stand. With no more than a setter given it is read from the tally."""
    if wanted == Wanted(setter_id=wanted.setter_id):
        one = "" if wanted.setter_id is None else " WHERE setter_id = ?"
        values = [] if wanted.setter_id is None else [wanted.setter_id]
        query = f"SELECT coalesce(sum(attempts), 0) FROM tally{one}"  # noqa: S608 - one of two
        return int(db.execute(query, values).fetchone()[0])
    where, conditions = wanted.where()
    query = f"SELECT count(*) FROM attempt WHERE {where}"  # noqa: S608 - conditions of our own
    return int(db.execute(query, conditions).fetchone()[0])


def by_id(db: Database, attempt_ids: Iterable[str]) -> tuple[Attempt, ...]:
    """The attempts of these ids that stand, in order; ids that are unknown are left out."""
    found: list[Mapping[str, Any]] = []
    for batch in batches(attempt_ids):
        found += db.query(
            "SELECT * FROM attempt WHERE hidden = 0"
            " AND attempt_id IN (SELECT value FROM json_each(?))",
            [batch],
        )
    return _with_names(db, sorted(found, key=lambda row: (row["order_us"], row["attempt_id"])))


def grades(db: Database, setter_id: str) -> tuple[str, ...]:
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
