"""Words looked for among everybody's attempts: the first in order, then whichever way is shorter.

In order the first page of a common word is found at once, but a row is sought by its key each time.
The table read from its beginning to its end takes two thirds of that for each row, and all of them;
a large one is read in parts, one for each core there is.
"""

import os
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from itertools import pairwise
from typing import Any

from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.logbook.file.connection import Database
from platebook.values import replace

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
    look = _Look(wanted, newest_first=newest_first)
    look.begin_after(db, first)
    found = look.rows(db, "attempt", limit)
    left = limit - len(found)
    if look.bound is not None and left:
        look.turn()
        standing = db.execute("SELECT coalesce(sum(attempts), 0) FROM tally").fetchone()[0]
        common = _OF_A_SEEK * standing * len(found) >= limit * first
        found += look.rows(db, "attempt", left) if common else look.through(db, left, a_part)
    # The keys end with the attempt's id.
    return tuple([row[-1] for row in found])


class _Look:
    """A look for words on this side of a bound in the order, or beyond it.

    `bound` are the keys of the first attempt beyond; None where all are on this side.
    """

    def __init__(self, wanted: Wanted, *, newest_first: bool) -> None:
        self._wanted, self._newest_first = wanted, newest_first
        self._order, self._keys = wanted.order_by(newest_first=newest_first), wanted.keys()
        self._where, self._values = wanted.where()
        self._side = ">=" if newest_first else "<="
        self.bound: tuple[Any, ...] | None = None

    def begin_after(self, db: Database, count: int) -> None:
        """Put the bound behind so many attempts, whatever words they have."""
        where, values = replace(self._wanted, words=()).where()
        query = f"SELECT {', '.join(self._keys)} FROM attempt WHERE {where}"  # noqa: S608 - names of our own
        ordered = f"{query} ORDER BY {self._order} LIMIT 1 OFFSET {count}"
        self.bound = db.execute(ordered, values).fetchone()

    def turn(self) -> None:
        """Look beyond the bound from now on."""
        self._side = "<" if self._newest_first else ">"

    def rows(self, db: Database, table: str, limit: int, within: str = "") -> list[tuple[Any, ...]]:
        """The keys of at most so many, in order; `within` is one more condition."""
        where, keys = f"{self._where}{within}", ", ".join(self._keys)
        if self.bound is not None:
            where += f" AND ({keys}) {self._side} ({', '.join('?' * len(self.bound))})"
        query = f"SELECT {keys} FROM {table} WHERE {where} ORDER BY {self._order} LIMIT ?"  # noqa: S608 - conditions of our own
        return db.execute(query, [*self._values, *(self.bound or ()), limit]).fetchall()

    def through(self, db: Database, limit: int, a_part: int) -> list[tuple[Any, ...]]:
        """The same by reading the table, a large one in parts at once."""
        parts = [] if db.conn.in_transaction else _parts(db, a_part)
        if len(parts) < 2:
            return self.rows(db, "attempt NOT INDEXED", limit)

        def of_part(part: tuple[int, int]) -> list[tuple[Any, ...]]:
            within = f" AND rowid > {part[0]} AND rowid <= {part[1]}"
            with closing(db.beside()) as beside:
                return self.rows(beside, "attempt NOT INDEXED", limit, within)

        with ThreadPoolExecutor(len(parts)) as pool:
            found = [row for rows in pool.map(of_part, parts) for row in rows]
        return sorted(found, reverse=self._newest_first)[:limit]


def _parts(db: Database, least: int) -> list[tuple[int, int]]:
    """Runs of numbers of rows, each after the one and up to the other, one for each core."""
    lowest, highest = db.execute("SELECT min(rowid), max(rowid) FROM attempt").fetchone()
    if lowest is None:
        return []
    rows = highest - lowest + 1
    count = min(os.cpu_count() or 1, rows // least)
    bounds = [lowest - 1 + rows * number // count for number in range(count + 1)] if count else []
    return [*pairwise(bounds)]
