"""Words looked for among everybody's attempts: the first in order, then whichever way is shorter.

In order the first page of a common word is found at once, but a row is sought by its key each time.
The table read from its beginning to its end takes two thirds of that for each row, and all of them;
a large one is read in parts, one for each core there is.
"""

import os
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from functools import partial
from itertools import pairwise
from typing import Any

from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.logbook.file.connection import Database
from platebook.values import Value, replace

FIRST = 20_000
"""Attempts that are looked through in order before it is known how rare the words are."""

A_PART = 50_000
"""Fewer rows than this are not worth a thread of their own."""

_OF_A_SEEK = 0.7
"""What a row costs when the table is read through, beside one that is sought in order."""


def ids_with_words(
    db: Database,
    wanted: Wanted,
    *,
    limit: int,
    newest_first: bool,
    first: int = FIRST,
    a_part: int = A_PART,
) -> tuple[str, ...]:
    """Ids of the attempts wanted, in order or the other way round, at most `limit` of them.

    The `first` so many attempts are looked through in order in any case; a part of the table has at
    least `a_part` rows.
    """
    look = _Look.of(db, wanted, first=first, newest_first=newest_first)
    found = look.rows(db, "attempt", limit)
    left = limit - len(found)
    if look.bound is not None and left:
        standing = db.execute("SELECT coalesce(sum(attempts), 0) FROM tally").fetchone()[0]
        common = _OF_A_SEEK * standing * len(found) >= limit * first
        if common:
            found += look.rows(db, "attempt", left, beyond=True)
        else:
            found += look.through(db, left, a_part)
    # The keys end with the attempt's id.
    return tuple([row[-1] for row in found])


class _Look(Value):
    """A look for words on this side of a bound in the order, and beyond it.

    `bound` are the keys of the first attempt beyond; None where all are on this side.
    """

    wanted: Wanted
    newest_first: bool
    bound: tuple[Any, ...] | None

    @classmethod
    def of(cls, db: Database, wanted: Wanted, *, first: int, newest_first: bool) -> "_Look":
        """With the bound behind the `first` so many attempts, whatever words they have."""
        where, values = replace(wanted, words=()).where()
        query = f"SELECT {', '.join(wanted.keys())} FROM attempt WHERE {where}"  # noqa: S608 - names of our own
        order = wanted.order_by(newest_first=newest_first)
        bound = db.execute(f"{query} ORDER BY {order} LIMIT 1 OFFSET {first}", values).fetchone()
        return cls(wanted, newest_first, bound)

    def rows(
        self, db: Database, table: str, limit: int, *, beyond: bool = False, within: str = ""
    ) -> list[tuple[Any, ...]]:
        """The keys of at most so many, in order; `within` is one more condition."""
        where, values = self.wanted.where()
        keys = ", ".join(self.wanted.keys())
        if self.bound is not None:
            here, away = (">=", "<") if self.newest_first else ("<=", ">")
            side = away if beyond else here
            where += f" AND ({keys}) {side} ({', '.join('?' * len(self.bound))})"
        order = self.wanted.order_by(newest_first=self.newest_first)
        query = f"SELECT {keys} FROM {table} WHERE {where}{within} ORDER BY {order} LIMIT ?"  # noqa: S608 - conditions of our own
        return db.execute(query, [*values, *(self.bound or ()), limit]).fetchall()

    def through(self, db: Database, limit: int, a_part: int) -> list[tuple[Any, ...]]:
        """Those beyond, by reading the table: a large one in parts at once."""
        look = partial(self.rows, table="attempt NOT INDEXED", limit=limit, beyond=True)
        parts = [] if db.conn.in_transaction else _parts(db, a_part)
        if len(parts) < 2:
            return look(db)

        def of_part(part: tuple[int, int]) -> list[tuple[Any, ...]]:
            with closing(db.beside()) as beside:
                return look(beside, within=f" AND rowid > {part[0]} AND rowid <= {part[1]}")

        with ThreadPoolExecutor(len(parts)) as pool:
            found = [row for rows in pool.map(of_part, parts) for row in rows]
        return sorted(found, reverse=self.newest_first)[:limit]


def _parts(db: Database, least: int) -> list[tuple[int, int]]:
    """Runs of numbers of rows, each after the one and up to the other, one for each core."""
    lowest, highest = db.execute("SELECT min(rowid), max(rowid) FROM attempt").fetchone()
    if lowest is None:
        return []
    rows = highest - lowest + 1
    count = min(os.cpu_count() or 1, rows // least)
    bounds = [lowest - 1 + rows * number // count for number in range(count + 1)] if count else []
    return [*pairwise(bounds)]
