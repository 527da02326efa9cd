"""Who is in use when entries are made one: the entry that has it all, and back when that is undone.

The logbook remembers whom a default named before a merge moved it. The mark goes when the merge is
taken back, here or elsewhere, and when somebody is chosen by name.
"""

from platebook.logbook.connecting import Database

IN_USE = "setter"
"""The default that names the setter in use."""

_BEFORE, _AFTER = " before ", " after "


def moved(db: Database, name: str, gone: str, keep: str, change_id: str) -> None:
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
            moved(db, name, gone, keep, change_id)


def forget_moves(db: Database, name: str) -> None:
    """Nothing that this default named before matters any more."""
    for between in (_BEFORE, _AFTER):
        db.execute("DELETE FROM default_value WHERE name LIKE ?", [f"{name}{between}%"])


def authors_of_moves(db: Database, replica: str) -> frozenset[str]:
    """Who signed the merges of this logbook that moved a default; they are the one in use now."""
    query = "SELECT author FROM change WHERE change_id = ? AND replica = ?"
    found: set[str] = set()
    for mark, _ in _marks(db):
        rows = db.execute(query, [mark.rpartition(_BEFORE)[2], replica]).fetchall()
        found |= {row[0] for row in rows}
    return frozenset(found)


def go_back(db: Database) -> None:
    """Where an entry stands again that a merge took out of use, it is in use again."""
    for mark, gone in sorted(_marks(db), key=lambda one: _counter(db, one[0]), reverse=True):
        stands = "SELECT 1 FROM setter WHERE setter_id = ? AND NOT hidden"
        if db.execute(stands, [gone]).fetchone():
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
        moved(db, name, gone, keep, change_id)
        db.execute("DELETE FROM default_value WHERE name = ?", [mark])


def follow_a_merge(db: Database) -> None:
    """Where the setter in use was made one with another entry, that entry is in use from then on.

    The entry is the one that the records changed together with theirs belong to now.
    """
    row = db.execute(
        "SELECT s.setter_id, r.change_id FROM default_value AS d"
        " JOIN setter AS s ON s.setter_id = d.value JOIN revision AS r USING (revision_id)"
        " JOIN change AS c USING (change_id) LEFT JOIN change AS o ON o.change_id = c.reverts"
        " WHERE d.name = ? AND s.hidden"
        " AND (c.what = 'merge' OR (c.what = 'redo' AND o.what = 'merge'))",
        [IN_USE],
    ).fetchone()
    if row is None:
        return
    gone, change_id = row
    together = db.execute(
        "SELECT DISTINCT json_extract(record, '$.setter_id') FROM revision"
        " WHERE change_id = ? AND kind <> 'setter'",
        [change_id],
    )
    for (successor,) in together.fetchall():
        stands = "SELECT 1 FROM setter WHERE setter_id = ? AND NOT hidden"
        if successor != gone and db.execute(stands, [successor]).fetchone():
            moved(db, IN_USE, gone, successor, change_id)
            return


def _marks(db: Database) -> list[tuple[str, str]]:
    rows = db.execute("SELECT name, value FROM default_value WHERE name LIKE ?", [f"%{_BEFORE}%"])
    return [(name, value) for name, value in rows.fetchall()]


def _counter(db: Database, mark: str) -> int:
    query = "SELECT counter FROM change WHERE change_id = ?"
    row = db.execute(query, [mark.rpartition(_BEFORE)[2]]).fetchone()
    return 0 if row is None else int(row[0])
