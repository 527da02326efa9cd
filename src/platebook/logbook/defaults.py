"""What is kept beside the records: defaults, course texts, digests, and who is in use.

The logbook remembers whom a default named before a merge moved it. The mark goes when the merge is
taken back, here or elsewhere, and when somebody is chosen by name.

None of this is a change of the record: it is not taken back and does not travel.
"""

import hashlib
import json

from platebook.logbook.file.connection import Database
from platebook.values import Value

IN_USE = "setter"
"""The default that names the setter in use."""

TEACHING = "teacher"
"""The default that names the teacher in use; one of the two is empty."""

_BEFORE, _AFTER = " before ", " after "


def move_default(db: Database, name: str, gone: str, keep: str, change_id: str) -> None:
    """Let a default that named `gone` name `keep`, and remember it by the change that did so."""
    db.execute(
        "INSERT OR REPLACE INTO default_value (name, value) VALUES (?, ?)",
        [f"{name}{_BEFORE}{change_id}", gone],
    )
    db.execute("UPDATE default_value SET value = ? WHERE name = ?", [keep, name])


def move_all(db: Database, gone: str, keep: str, change_id: str) -> None:
    """Let every default that names `gone` name `keep`."""
    rows = db.execute("SELECT name FROM default_value WHERE value = ?", [gone]).fetchall()
    for (name,) in rows:
        if _BEFORE not in name and _AFTER not in name:
            move_default(db, name, gone, keep, change_id)


def forget_moves(db: Database, name: str) -> None:
    """Nothing that this default named before matters any more."""
    for between in (_BEFORE, _AFTER):
        db.execute("DELETE FROM default_value WHERE name LIKE ?", [f"{name}{between}%"])


def authors_of_moves(db: Database, replica: str) -> frozenset[str]:
    """Who signed the merges of this logbook that moved a default; they are the one in use now."""
    query = "SELECT author FROM change WHERE change_id = ? AND replica = ?"
    authors: set[str] = set()
    for mark, _ in _marks(db):
        rows = db.execute(query, [mark.rpartition(_BEFORE)[2], replica]).fetchall()
        authors |= {row[0] for row in rows}
    return frozenset(authors)


def go_back(db: Database) -> None:
    """Where an entry stands again that a merge took out of use, it is in use again."""
    for mark, gone in sorted(
        _marks(db), key=lambda mark_row: _counter(db, mark_row[0]), reverse=True
    ):
        stands = (
            "SELECT 1 FROM setter WHERE setter_id = :id AND NOT hidden"
            " UNION SELECT 1 FROM teacher WHERE teacher_id = :id AND NOT hidden"
        )
        if db.execute(stands, {"id": gone}).fetchone():
            name, _, change_id = mark.rpartition(_BEFORE)
            db.execute(
                "INSERT OR REPLACE INTO default_value (name, value)"
                " SELECT ?, value FROM default_value WHERE name = ?",
                [f"{name}{_AFTER}{change_id}", name],
            )
            db.execute("UPDATE default_value SET value = ? WHERE name = ?", [gone, name])
            db.execute("DELETE FROM default_value WHERE name = ?", [mark])


def go_on(db: Database, change_id: str) -> None:
    """Where a merge is put back that was taken back here, its entry is in use again."""
    query = "SELECT name, value FROM default_value WHERE name LIKE ?"
    for mark, keep in db.execute(query, [f"%{_AFTER}{change_id}"]).fetchall():
        name = mark.rpartition(_AFTER)[0]
        (gone,) = db.execute("SELECT value FROM default_value WHERE name = ?", [name]).fetchone()
        move_default(db, name, gone, keep, change_id)
        db.execute("DELETE FROM default_value WHERE name = ?", [mark])


def follow_a_merge(db: Database) -> None:
    """Where whoever is in use was made one with another entry, that one is in use from then on."""
    for name, merged in ((IN_USE, merged_entries), (TEACHING, merged_teachers)):
        in_use = default(db, name)
        for gone, keep, change_id in merged(db):
            if gone == in_use:
                move_default(db, name, gone, keep, change_id)
                break


def merged_entries(db: Database) -> tuple[tuple[str, str, str], ...]:
    """Who was made one with whom, by setter ids, and by which change: gone, kept, change.

    The entry kept is the one that the records changed together with theirs belong to now; a merge
    of an entry that nothing belonged to is not among them.
    """
    rows = db.execute(
        "SELECT DISTINCT s.setter_id, k.setter_id, r.change_id FROM setter AS s"
        " JOIN revision AS r USING (revision_id) JOIN change AS c USING (change_id)"
        " LEFT JOIN change AS o ON o.change_id = c.reverts"
        " JOIN revision AS moved ON moved.change_id = r.change_id AND moved.kind <> 'setter'"
        " JOIN setter AS k ON k.setter_id = json_extract(moved.record, '$.setter_id')"
        " WHERE s.hidden AND (c.what = 'merge' OR (c.what = 'redo' AND o.what = 'merge'))"
        " AND NOT k.hidden AND k.setter_id <> s.setter_id"
    )
    return tuple(rows.fetchall())


def merged_teachers(db: Database) -> tuple[tuple[str, str, str], ...]:
    """Teachers who were made one, by teacher ids, and by which change: gone, kept, change."""
    rows = db.execute(
        "SELECT t.teacher_id, k.teacher_id, r.change_id FROM teacher AS t"
        " JOIN revision AS r USING (revision_id) JOIN change AS c USING (change_id)"
        " LEFT JOIN change AS o ON o.change_id = c.reverts"
        " JOIN revision AS stays ON stays.change_id = r.change_id AND stays.kind = 'teacher'"
        " JOIN teacher AS k ON k.teacher_id = stays.record_id"
        " WHERE t.hidden AND (c.what = 'merge' OR (c.what = 'redo' AND o.what = 'merge'))"
        " AND k.teacher_id <> t.teacher_id"
    )
    return tuple(rows.fetchall())


def _marks(db: Database) -> list[tuple[str, str]]:
    rows = db.execute("SELECT name, value FROM default_value WHERE name LIKE ?", [f"%{_BEFORE}%"])
    return [(name, value) for name, value in rows.fetchall()]


def _counter(db: Database, mark: str) -> int:
    query = "SELECT counter FROM change WHERE change_id = ?"
    row = db.execute(query, [mark.rpartition(_BEFORE)[2]]).fetchone()
    return 0 if row is None else int(row[0])


_FORMER = "former replicas"


class CourseText(Value):
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


def first_text_name(course: str) -> str:
    """The default that names the text of a course that was the first one heard of (a digest)."""
    return f"first text of course {course}"


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


_READ_AT = "files read at "


def read_name(address: str) -> str:
    """The default under which is kept what was read of a place where bundles lie."""
    return f"{_READ_AT}{address}"


def forget_read(db: Database) -> None:
    """Read every file of every place anew when it is shared next."""
    db.execute("DELETE FROM default_value WHERE name LIKE ?", [f"{_READ_AT}%"])


def own_name(what: str, setter_id: str) -> str:
    """The default under which something of one setter's own is kept; erasing them erases it."""
    return f"{what} of {setter_id}"


def answers_name(headings: str) -> str:
    """The default under which answers about sheets of several people are kept, by their headings.

    `headings` is a digest. Answers about one person's sheets are a record of that person.
    """
    return f"sheet answers {headings}"


def digest(db: Database, setter_id: str) -> str:
    """A mark that is new after every change that concerns the setter; "" before the first one."""
    row = db.execute("SELECT digest FROM tally WHERE setter_id = ?", [setter_id]).fetchone()
    return "" if row is None else str(row[0])


def digests(db: Database) -> dict[str, str]:
    """The digests of all setters by id."""
    return dict(db.execute("SELECT setter_id, digest FROM tally ORDER BY setter_id").fetchall())
