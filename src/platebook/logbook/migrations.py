"""How the file's tables came to be: numbered steps in plain SQL, only ever added to.

`PRAGMA user_version` holds the number of the last step a file has, so that an older program knows
a newer file; `application_id` says that the file is a logbook at all.
"""

import functools
import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib import resources

from platebook.logbook.connecting import Database, Migrations, writing
from platebook.logbook.errors import LogbookError

APPLICATION_ID = 0x706C6174
"""The letters "plat" in the header of the file."""

_JSON_TYPES = {"TEXT": ["text"], "INTEGER": ["integer"], "REAL": ["real", "integer"]}
"""What a column of a strict table takes, as a revision's record may have it."""

_FILE = re.compile(r"(\d{4})_(\w+)\.sql")


@dataclass(frozen=True, slots=True)
class Step:
    """One step from a schema to the next: its number, its name and its statements."""

    number: int
    name: str
    sql: str


@functools.cache
def shipped_steps() -> tuple[Step, ...]:
    """All steps of this program, in order."""
    found = []
    for file in resources.files("platebook.logbook").joinpath("schema").iterdir():
        if named := _FILE.fullmatch(file.name):
            text = file.read_text(encoding="utf-8")
            found.append(Step(int(named[1]), named[2], text))
    return tuple(sorted(found, key=lambda step: step.number))


def schema_of(db: Database) -> int:
    """The number of the last step this file has; 0 for a file without any."""
    return int(db.execute("PRAGMA user_version").fetchone()[0])


def migrate(db: Database, steps: tuple[Step, ...]) -> int:
    """Take the file through the steps it has not had; gives the number of its schema then.

    All of them or none: after a failure the file is as it was and the next start tries again.
    """
    db.execute("PRAGMA foreign_keys = OFF")
    try:
        with writing(db):
            before = _record_columns(db)
            _as_migrations(steps).apply(db)
            _fill_new_columns(db, before)
            db.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            if broken := db.execute("PRAGMA foreign_key_check").fetchall():
                message = f"Bringing the logbook up to date broke {len(broken)} references."
                raise LogbookError("damaged", f"{message} It was left as it was.")
        return schema_of(db)
    finally:
        db.execute("PRAGMA foreign_keys = ON")


def _record_columns(db: Database) -> dict[str, dict[str, str]]:
    """The columns of each table of records, with their types."""
    rows = db.execute(
        "SELECT t.name, c.name, c.type FROM pragma_table_list AS t, pragma_table_info(t.name) AS c"
        " WHERE t.schema = 'main' AND t.type = 'table' AND EXISTS"
        " (SELECT 1 FROM pragma_table_info(t.name) WHERE name = 'revision_id')"
        " AND t.name <> 'revision'"
    )
    found: dict[str, dict[str, str]] = {}
    for table, column, kind in rows.fetchall():
        found.setdefault(table, {})[column] = kind
    return found


def _fill_new_columns(db: Database, before: Mapping[str, Mapping[str, str]]) -> None:
    """Fill the columns that a table of records gained from the revisions that stand.

    A program before this one kept a field that came in a bundle and had no column for it.
    """
    for table, columns in _record_columns(db).items():
        if table not in before:
            continue
        for column in columns.keys() - before[table].keys():
            query = (
                f'UPDATE "{table}" SET "{column}" = r.record ->> :path FROM revision AS r'  # noqa: S608 - names of our own
                f' WHERE r.revision_id = "{table}".revision_id AND "{table}"."{column}" IS NULL'
                " AND json_valid(r.record)"
                " AND json_type(r.record, :path) IN (SELECT value FROM json_each(:types))"
            )
            types = json.dumps(_JSON_TYPES[columns[column]])
            db.execute(query, {"path": f"$.{column}", "types": types})


def _as_migrations(steps: tuple[Step, ...]) -> Migrations:
    migrations = Migrations("platebook")
    for step in steps:
        migrations(name=f"{step.number:04}_{step.name}")(_running(step))
    return migrations


def _running(step: Step) -> Callable[[Database], None]:
    def run(db: Database) -> None:
        db.executescript(step.sql)
        db.execute(f"PRAGMA user_version = {step.number}")

    return run
