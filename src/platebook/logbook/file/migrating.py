"""The numbered steps from one schema to the next, and taking a file through those it lacks.

`PRAGMA user_version` holds the number of the last step a file has, so that an older program knows
a newer file.
"""

import functools
import json
import re
import sqlite3
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from platebook.logbook.errors import LogbookError
from platebook.logbook.file.connection import Database, writing
from platebook.logbook.file.views import drop_views, make_views
from platebook.shipped import shipped
from platebook.values import Value

if TYPE_CHECKING:
    from platebook.logbook.file.table_library import Tables

APPLICATION_ID = 0x706C6174
"""The letters "plat" in the header of the file."""

_JSON_TYPES = {"TEXT": ["text"], "INTEGER": ["integer"], "REAL": ["real", "integer"]}
"""What a column of a strict table takes, as a revision's record may have it."""

_FILE = re.compile(r"(\d{4})_(\w+)\.sql")


class Migration(Value):
    """One step from a schema to the next: its number, its name and its statements."""

    number: int
    name: str
    sql: str


@functools.cache
def shipped_steps() -> tuple[Migration, ...]:
    """All steps of this program, in order."""
    steps = []
    for file in shipped("logbook", "schema").iterdir():
        if named := _FILE.fullmatch(file.name):
            text = file.read_text(encoding="utf-8")
            steps.append(Migration(int(named[1]), named[2], text))
    return tuple(sorted(steps, key=lambda step: step.number))


def schema_of(db: Database) -> int:
    """The number of the last step this file has; 0 for a file without any."""
    return int(db.execute("PRAGMA user_version").fetchone()[0])


def migrate(db: Database, steps: tuple[Migration, ...]) -> int:
    """Take the file through the steps it has not had; gives the number of its schema then.

    All of them or none: after a failure the file is as it was and the next start tries again.
    """
    from platebook.logbook.file.table_library import Migrations, Tables

    taken = Migrations("platebook")
    for step in steps:
        taken(name=f"{step.number:04}_{step.name}")(_running(step))
    db.execute("PRAGMA foreign_keys = OFF")
    try:
        with writing(db):
            drop_views(db)
            before = _record_columns(db)
            taken.apply(Tables(db.conn, execute_plugins=False))
            _fill_new_columns(db, before)
            if "checksum" in {row[1] for row in db.execute("PRAGMA table_info(revision)")}:
                from platebook.logbook.file.checksums import fill_checksums

                fill_checksums(db)
            if schema_of(db) == shipped_steps()[-1].number:
                make_views(db)
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
    columns_of: dict[str, dict[str, str]] = {}
    for table, column, kind in rows.fetchall():
        columns_of.setdefault(table, {})[column] = kind
    return columns_of


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


def _running(step: Migration) -> "Callable[[Tables], None]":
    def run(db: "Tables") -> None:
        for statement in _statements(step.sql):
            db.execute(statement)
        db.execute(f"PRAGMA user_version = {step.number}")

    return run


@functools.cache
def _statements(sql: str) -> tuple[str, ...]:
    """The statements of a script; a trigger is one, with the semicolons that are in it.

    SQLite is asked at each semicolon. `executescript` of sqlite-utils asks at each letter, with
    all that came before it, which takes most of the time in which a logbook is made.
    """
    statements, begun = [], ""
    for part in re.findall(r"[^;]*;|[^;]+", sql):
        begun += part
        if sqlite3.complete_statement(begun):
            statements.append(begun.strip())
            begun = ""
    return (*statements, begun.strip()) if begun.strip() else tuple(statements)
