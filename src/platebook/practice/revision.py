"""Revisions: every change of the record is a row, and merging is a set union.

| function | gives |
|---|---|
| `heads` | those that no other one rests on |
| `current` | the one that counts: the highest (counter, id) |
| `clash` | whether two of them were made without knowing of each other |

All of them give the same answer for the same set in any order.
"""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One command of one author in one logbook; an import of 64 rows is one change.

    `counter` is a Lamport clock: higher than that of every change its logbook knew. `wall` is the
    time of the clock on the wall, to be shown and never to be sorted by. `what` names the command
    and `reverts` the change that an undo or redo is about.
    """

    change_id: str
    replica: str
    author: str
    counter: int
    wall: datetime
    what: str
    reverts: str | None = None


@dataclass(frozen=True, kw_only=True)
class Revision:
    """One record as a change left it.

    `parents` are the revisions it was made from: none for a new record, several where it settles
    a clash. `record` is the whole record as JSON text with sorted keys, under `schema`; `row` is
    that record, read once.
    """

    revision_id: str
    kind: str
    record_id: str
    parents: tuple[str, ...]
    change: Change
    schema: int
    hidden: bool
    record: str

    @cached_property
    def row(self) -> dict[str, Any]:
        """The record as columns and values; ValueError for a text that is no JSON."""
        row: dict[str, Any] = json.loads(self.record)
        return row

    @property
    def rank(self) -> tuple[int, str]:
        """What decides which revision of a record counts."""
        return self.change.counter, self.revision_id


def heads(revisions: Iterable[Revision]) -> tuple[Revision, ...]:
    """The revisions of one record that no other one was made from, lowest rank first."""
    known = tuple(revisions)
    superseded = {parent for revision in known for parent in revision.parents}
    standing = (r for r in known if r.revision_id not in superseded)
    return tuple(sorted(standing, key=lambda r: r.rank))


def current(revisions: Iterable[Revision]) -> Revision | None:
    """The revision of one record that counts; None where there is none."""
    return max(revisions, key=lambda r: r.rank, default=None)


def clash(revisions: Iterable[Revision]) -> bool:
    """Whether one record has revisions of which neither is an ancestor of the other."""
    return len(heads(revisions)) > 1
