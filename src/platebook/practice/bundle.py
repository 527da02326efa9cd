"""What travels between logbooks: revisions, what was erased, and the courses they rest on.

A bundle is one logbook's word. Taking it in is a set union, so it may come late, twice, or after a
newer one.
"""

import hashlib
from dataclasses import dataclass
from datetime import datetime

from platebook.practice.revision import Revision


@dataclass(frozen=True, slots=True, kw_only=True)
class Tombstone:
    """What stays of a record that was erased for good: its id, and where and when that was."""

    record_id: str
    kind: str
    replica: str
    erased: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseCopy:
    """The text of one course version."""

    course: str
    version: int
    text: str

    @property
    def digest(self) -> str:
        """The SHA-256 of the text, by which a logbook keeps it."""
        return hashlib.sha256(self.text.encode("utf-8")).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class Bundle:
    """All that one logbook hands on.

    `replica` is the logbook's id. `priors` are pairs: a setter's id, and as JSON text the sums of
    what goes with failure in their class without them.
    """

    replica: str
    revisions: tuple[Revision, ...]
    tombstones: tuple[Tombstone, ...] = ()
    courses: tuple[CourseCopy, ...] = ()
    priors: tuple[tuple[str, str], ...] = ()
    anonymous: bool = False

    @property
    def authors(self) -> tuple[str, ...]:
        """Everyone who signed a change in it, by name."""
        return tuple(sorted({revision.change.author for revision in self.revisions}))
