"""What is kept beside the records: defaults, course texts by digest, and digests of setters.

None of this is a change of the record: it is not taken back and does not travel.
"""

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass

from platebook.logbook.connecting import Database
from platebook.logbook.in_use import forget_moves

_FORMER = "former replicas"


@dataclass(frozen=True, slots=True)
class CourseText:
    """The text of one course version, as it was when attempts were made with it."""

    digest: str
    course: str
    version: int
    text: str


def default(db: Database, name: str) -> str | None:
    """What the logbook was told to take as given under this name; None for nothing."""
    row = db.execute("SELECT value FROM default_value WHERE name = ?", [name]).fetchone()
    return None if row is None else str(row[0])


def set_default(db: Database, name: str, value: str | None) -> None:
    """Take this as given from now on; None forgets it."""
    forget_moves(db, name)
    if value is None:
        db.execute("DELETE FROM default_value WHERE name = ?", [name])
        return
    db.execute(
        "INSERT INTO default_value (name, value) VALUES (?, ?)"
        " ON CONFLICT (name) DO UPDATE SET value = excluded.value",
        [name, value],
    )


def keep_course(db: Database, course: str, version: int, text: str) -> str:
    """Keep the text of a course version; gives its digest (SHA-256). Twice is once."""
    digest = hashlib.sha256(text.encode("utf-8")).hexdigest()
    db.execute(
        "INSERT OR IGNORE INTO course_text (digest, course, version, text) VALUES (?, ?, ?, ?)",
        [digest, course, version, text],
    )
    return digest


def course_text(db: Database, digest: str) -> CourseText | None:
    """The course text of this digest; None where it was never kept."""
    rows = db.query("SELECT * FROM course_text WHERE digest = ?", [digest])
    return next((CourseText(**row) for row in rows), None)


def course_texts(db: Database, course: str) -> tuple[CourseText, ...]:
    """All texts kept of a course, lowest version first."""
    rows = db.query("SELECT * FROM course_text WHERE course = ? ORDER BY version, digest", [course])
    return tuple(CourseText(**row) for row in rows)


def all_course_texts(db: Database) -> tuple[CourseText, ...]:
    """Every course text that is kept, by course and version."""
    rows = db.query("SELECT * FROM course_text ORDER BY course, version, digest")
    return tuple(CourseText(**row) for row in rows)


def former_replicas(db: Database) -> tuple[str, ...]:
    """The ids this logbook had before it was restored from a backup, the first one first."""
    return tuple(json.loads(default(db, _FORMER) or "[]"))


def add_former_replica(db: Database, replica: str) -> None:
    """Remember an id that this logbook bears no longer; what was made under it is its own still."""
    set_default(db, _FORMER, json.dumps([*former_replicas(db), replica]))


def prior_name(setter_id: str) -> str:
    """The default under which the sums of a setter's class are kept."""
    return f"class prior of {setter_id}"


def digest(db: Database, setter_id: str) -> str:
    """A mark that is new after every change that concerns the setter; "" before the first one."""
    row = db.execute("SELECT digest FROM tally WHERE setter_id = ?", [setter_id]).fetchone()
    return "" if row is None else str(row[0])


def digests_with_draws(db: Database) -> dict[str, str]:
    """The digests of all setters by id, each another one after a change of the setter's draws too.

    Draws change nothing that is analysed, so a digest alone stands through them.
    """
    rows = db.execute(
        "SELECT setter_id, revision_id FROM draw WHERE hidden = 0 ORDER BY setter_id, draw_id"
    )
    drawn: dict[str, list[str]] = {}
    for setter_id, revision_id in rows.fetchall():
        drawn.setdefault(setter_id, []).append(revision_id)
    return {
        setter_id: f"{digest} {_mark(drawn.get(setter_id, []))}"
        for setter_id, digest in digests(db).items()
    }


def _mark(ids: Iterable[str]) -> str:
    return hashlib.sha256("\n".join(ids).encode("utf-8")).hexdigest()[:32]


def digests(db: Database) -> dict[str, str]:
    """The digests of all setters by id."""
    return dict(db.execute("SELECT setter_id, digest FROM tally ORDER BY setter_id").fetchall())
