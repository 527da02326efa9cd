"""Words looked for among everybody's attempts: the first in order, then whichever way is shorter.

In order the first page of a common word is found at once, but a row is sought by its key each time.
The table read from its beginning to its end takes two thirds of that for each row, and all of them.
"""

from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.logbook.file.connection import Database
from platebook.values import replace

FIRST = 20_000
"""Attempts that are looked through in order before it is known how rare the words are."""

_OF_A_SEEK = 0.7
"""What a row costs when the table is read through, beside one that is sought in order."""


def ids_with_words(
    db: Database, wanted: Wanted, *, limit: int, newest_first: bool, first: int = FIRST
) -> tuple[str, ...]:
    """Ids of the attempts wanted, in order or the other way round, at most `limit` of them.

    The `first` so many attempts are looked through in order in any case.
    """
    order = wanted.order_by(newest_first=newest_first)
    keys = ", ".join(wanted.keys())
    where, values = replace(wanted, words=()).where()
    bound = db.execute(
        f"SELECT {keys} FROM attempt WHERE {where} ORDER BY {order} LIMIT 1 OFFSET {first}",  # noqa: S608 - names of our own
        values,
    ).fetchone()
    where, values = wanted.where()

    def ids(table: str, side: str, most: int) -> list[str]:
        marks = ", ".join("?" * len(bound or ()))
        beyond = f" AND ({keys}) {side} ({marks})" if bound else ""
        rows = db.execute(
            f"SELECT attempt_id FROM {table} WHERE {where}{beyond} ORDER BY {order} LIMIT ?",  # noqa: S608 - conditions of our own
            [*values, *(bound or ()), most],
        )
        return [row[0] for row in rows.fetchall()]

    found = ids("attempt", ">=" if newest_first else "<=", limit)
    if bound is None or len(found) == limit:
        return tuple(found)
    standing = db.execute("SELECT coalesce(sum(attempts), 0) FROM tally").fetchone()[0]
    common = _OF_A_SEEK * standing * len(found) >= limit * first
    table = "attempt" if common else "attempt NOT INDEXED"
    return (*found, *ids(table, "<" if newest_first else ">", limit - len(found)))
