"""Writes the migration that new fields need: `make migration`.

A command for those who work on the program. It stands among the tests because it writes the frozen
logbook that they start from; `src` holds only what users run.

What the values of the record hold is compared with the newest schema. Each column that is missing
becomes one `ALTER TABLE ... ADD COLUMN` line of a new step, and the frozen logbook of that schema,
which the tests of migrations start from, is written beside the earlier ones.
"""

import sqlite3
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

import platebook
from platebook.logbook import open_logbook
from platebook.logbook.file.migrating import Migration, shipped_steps
from platebook.logbook.record_kinds import kinds
from platebook.logbook.row_values import ColumnType

PACKAGE = Path(platebook.__file__).parent
SCHEMA = PACKAGE / "logbook" / "schema"
FROZEN = PACKAGE.parents[1] / "tests" / "logbook" / "versions"

SQL_TYPES: dict[ColumnType, str] = {
    "text": "TEXT",
    "integer": "INTEGER",
    "number": "REAL",
    "length": "INTEGER",
    "yes/no": "INTEGER",
    "date": "TEXT",
    "datetime": "INTEGER",
    "list": "TEXT",
    "pairs": "TEXT",
}


class HandWorkError(Exception):
    """The tables differ from the record in a way that no added column mends."""


def missing_columns() -> tuple[tuple[str, str, str], ...]:
    """Table, column and SQL type of all that the values hold and the newest schema does not.

    HandWorkError where a table is missing, or has a column that nothing fills any more.
    """
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "newest.sqlite"
        open_logbook(path).close()
        there = {name: _columns_in(path, name) for name in kinds()}
    missing: list[tuple[str, str, str]] = []
    for kind in kinds().values():
        if not there[kind.name]:
            raise HandWorkError(f"{kind.name}: a new kind of record; write its CREATE TABLE")
        held = {*kind.table_columns, *kind.housekeeping}
        if gone := sorted(there[kind.name] - held):
            raise HandWorkError(f"{kind.name}.{gone[0]}: a field is never renamed and never goes")
        missing += [
            (kind.name, name, SQL_TYPES[column.type])
            for column in kind.columns.columns
            for name in column.stored_as
            if name not in there[kind.name]
        ]
    return tuple(missing)


def write_step(columns: Sequence[tuple[str, str, str]], name: str = "") -> Migration:
    """The next step, written into the schema's folder: a line for each of these columns."""
    number = shipped_steps()[-1].number + 1
    names = [column for _, column, _ in columns]
    step = Migration(
        number,
        name or "_and_".join(names[:2]),
        f"-- New in the record: {', '.join(names)}.\n"
        + "".join(f"ALTER TABLE {t} ADD COLUMN {c} {kind};\n" for t, c, kind in columns),
    )
    (SCHEMA / f"{number:04}_{step.name}.sql").write_text(step.sql, encoding="utf-8")
    return step


def freeze(step: Migration) -> None:
    """Write the frozen logbook of this step, made from that of the step before."""
    before = FROZEN / f"{step.number - 1:04}.sql"
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "frozen.sqlite"
        _run(path, before.read_text(encoding="utf-8"))
        before_it = (shipped for shipped in shipped_steps() if shipped.number < step.number)
        open_logbook(path, steps=(*before_it, step)).close()
        connection = sqlite3.connect(path)
        lines = [line for line in connection.iterdump() if not line.startswith("CREATE VIEW")]
        application = connection.execute("PRAGMA application_id").fetchone()[0]
        connection.close()
    head = f"-- A logbook of schema {step.number} with a few records; frozen, never edited."
    ends = (f"PRAGMA application_id = {application};", f"PRAGMA user_version = {step.number};")
    text = "\n".join((head, *lines, *ends)) + "\n"
    (FROZEN / f"{step.number:04}.sql").write_text(text, encoding="utf-8")


def main(arguments: Sequence[str]) -> int:
    """Write what is missing, under the name given if any, and say what was written."""
    try:
        columns = missing_columns()
    except HandWorkError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    if not columns:
        sys.stdout.write("The newest schema holds every field; nothing was written.\n")
        return 0
    step = write_step(columns, *arguments[:1])
    freeze(step)
    sys.stdout.write(f"{SCHEMA / f'{step.number:04}_{step.name}.sql'}\n{step.sql}")
    return 0


def _columns_in(path: Path, table: str) -> set[str]:
    connection = sqlite3.connect(path)
    try:
        rows = connection.execute("SELECT name FROM pragma_table_info(?)", [table])
        return {row[0] for row in rows}
    finally:
        connection.close()


def _run(path: Path, sql: str) -> None:
    connection = sqlite3.connect(path)
    try:
        connection.executescript(sql)
    finally:
        connection.close()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
