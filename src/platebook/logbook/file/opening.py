"""Opening a logbook: its numbered migrations, the copy before them, or a clear refusal.

`PRAGMA user_version` holds the number of the last step a file has, so that an older program knows
a newer file; `application_id` says that the file is a logbook at all.

It is made where there is none and brought up to date where it is older. Nothing is written over.
"""

import contextlib
import functools
import glob
import json
import os
import re
import sqlite3
import stat
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib import resources
from pathlib import Path

import uuid_utils

from platebook.logbook.errors import LogbookError, logbook_errors
from platebook.logbook.file.checksums import fill_checksums
from platebook.logbook.file.connection import Database, Migrations, Mode, connect, writing
from platebook.logbook.file.place import (
    announced,
    companions,
    free_name,
    keys_folder,
    new_file,
    refuse_odd_place,
    sweep,
    sweep_folder,
)
from platebook.logbook.file.views import drop_views, make_views, views
from platebook.logbook.logbook import Logbook


def copy_into(db: Database, target: Path) -> None:
    """A compact copy of the logbook as it is now, looked through before it gets its name.

    LogbookError where `target` is taken, cannot be written, or does not read back the same.
    """
    target = target.absolute()
    try:
        with announced(path_of(db), target), new_file(target) as draft:
            before = counts(db)
            write_copy(db, draft, target)
            after = counts(db)
            with logbook_errors(draft):
                copied = prove(draft)
            # Others may write meanwhile, so the copy holds what there was at some time between.
            if not all(before[name] <= copied[name] <= after[name] for name in copied):
                message = f"The copy {target} did not read back the same and was thrown away."
                raise LogbookError("disk", f"{message} Check the disk and try again.")
    except FileExistsError:
        message = f"There is a file {target} already. It was left as it is. Name another file."
        raise LogbookError("exists", message) from None


_OF_THE_COPY = ("SQLITE_FULL", "SQLITE_IOERR_WRITE", "SQLITE_IOERR_FSYNC", "SQLITE_IOERR_TRUNCATE")
"""How SQLite's errors begin that are about the file it writes, not the one it reads."""


def write_copy(db: Database, draft: Path, target: Path) -> None:
    """Copy the logbook into `draft`; where there is no room, the place of `target` is named."""
    try:
        db.execute("VACUUM INTO ?", [str(draft)])
    except sqlite3.Error as error:
        if not (getattr(error, "sqlite_errorname", None) or "").startswith(_OF_THE_COPY):
            raise
        message = f"{target.name} does not fit into {target.parent}, or cannot be written there."
        advice = "Nothing was changed. Make room there, then try again."
        raise LogbookError("full", f"{message} {advice}") from error


def path_of(db: Database) -> Path | None:
    """The file that a connection is to; None for one in memory."""
    name = db.execute("SELECT file FROM pragma_database_list WHERE name = 'main'").fetchone()[0]
    return Path(name) if name else None


def counts(db: Database) -> dict[str, int]:
    """How many rows each table has."""
    tables = db.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
    return {
        name: int(db.execute(f"SELECT count(*) FROM {name}").fetchone()[0])  # noqa: S608 - names of our own
        for (name,) in tables
    }


def prove(path: Path) -> dict[str, int]:
    """How many rows a copy has by table, read back; LogbookError where its pages are damaged."""
    db = connect(path, mode="ro")
    try:
        pages = [row[0] for row in db.execute("PRAGMA integrity_check(1)").fetchall()]
        if pages != ["ok"]:
            raise LogbookError("disk", f"The copy was damaged in the making: {pages[0]}.")
        return counts(db)
    finally:
        db.close()


def says_the_same(db: Database, copy: Path) -> bool:
    """Whether a copy is sound and says what the logbook says now: the same step, changes and rows.

    What is no record, such as who is in use, may differ.
    """
    try:
        other = connect(copy, mode="ro")
        try:
            same = _state(other) == _state(db)
            return same and other.execute("PRAGMA integrity_check(1)").fetchone()[0] == "ok"
        finally:
            other.close()
    except (sqlite3.Error, OSError):
        return False


def _state(db: Database) -> tuple[object, ...]:
    newest = db.execute(
        "SELECT counter, change_id FROM change ORDER BY counter DESC, change_id DESC LIMIT 1"
    ).fetchone()
    return schema_of(db), newest, counts(db)


APPLICATION_ID = 0x706C6174
"""The letters "plat" in the header of the file."""

_JSON_TYPES = {"TEXT": ["text"], "INTEGER": ["integer"], "REAL": ["real", "integer"]}
"""What a column of a strict table takes, as a revision's record may have it."""

_FILE = re.compile(r"(\d{4})_(\w+)\.sql")


@dataclass(frozen=True, slots=True)
class Migration:
    """One step from a schema to the next: its number, its name and its statements."""

    number: int
    name: str
    sql: str


@functools.cache
def shipped_steps() -> tuple[Migration, ...]:
    """All steps of this program, in order."""
    steps = []
    for file in resources.files("platebook.logbook").joinpath("schema").iterdir():
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
    db.execute("PRAGMA foreign_keys = OFF")
    try:
        with writing(db):
            drop_views(db)
            before = _record_columns(db)
            _as_migrations(steps).apply(db)
            _fill_new_columns(db, before)
            if "checksum" in {row[1] for row in db.execute("PRAGMA table_info(revision)")}:
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


def _as_migrations(steps: tuple[Migration, ...]) -> Migrations:
    migrations = Migrations("platebook")
    for step in steps:
        migrations(name=f"{step.number:04}_{step.name}")(_running(step))
    return migrations


def _running(step: Migration) -> Callable[[Database], None]:
    def run(db: Database) -> None:
        for statement in _statements(step.sql):
            db.execute(statement)
        db.execute(f"PRAGMA user_version = {step.number}")

    return run


@functools.cache
def _statements(sql: str) -> tuple[str, ...]:
    """The statements of a script; a trigger is one, with the semicolons that are in it.

    SQLite is asked at each semicolon. `Database.executescript` asks at each letter, with all that
    came before it, which takes most of the time in which a logbook is made.
    """
    statements, begun = [], ""
    for part in re.findall(r"[^;]*;|[^;]+", sql):
        begun += part
        if sqlite3.complete_statement(begun):
            statements.append(begun.strip())
            begun = ""
    return (*statements, begun.strip()) if begun.strip() else tuple(statements)


_MAGIC = b"SQLite format 3\x00"
_HEADER = 100
_APPLICATION_ID = slice(68, 72)
_LOOKED_THROUGH_BYTES = 16 * 2**20
"""Larger files would delay the start; reading a damaged page of one is an error all the same."""

_OLDEST_SQLITE = (3, 37)


def open_logbook(
    path: str | Path,
    *,
    create: bool = True,
    read_only: bool = False,
    wait_s: float = 5.0,
    look_through: bool = True,
    steps: tuple[Migration, ...] | None = None,
) -> Logbook:
    """The logbook at `path`, open for the thread that asks; close it, or use it in a `with`.

    A file that is not there is made, unless `create` is False. One that can only be read is opened
    so, and `Logbook.read_only` says it. `wait_s` is how long a write waits for another program's.
    `look_through` looks for damage in a file that is small enough; a program that opens the same
    one again and again need do so only once. `steps` are the migrations, by default those of this
    program. LogbookError says what is wrong and what to do.
    """
    if sqlite3.sqlite_version_info < _OLDEST_SQLITE:
        message = f"SQLite {sqlite3.sqlite_version} is too old: a logbook needs 3.37 or newer."
        raise LogbookError("sqlite", message)
    refuse_odd_place(Path(path))
    path = Path(path).resolve()
    steps = shipped_steps() if steps is None else steps
    if not path.exists():
        if read_only or not create:
            raise LogbookError("missing", f"There is no logbook at {path}.")
        with contextlib.suppress(FileExistsError):
            make_logbook(path, steps)
    refuse_other_files(path)
    with logbook_errors(path):
        db, mode = connect_best(path, read_only=read_only, wait_s=wait_s)
        try:
            _bring_up_to_date(db, path, steps, writable=mode == "rw")
            if look_through and mode == "rw":
                sweep(path)
                sweep_folder(keys_folder(path))
            if look_through and path.stat().st_size <= _LOOKED_THROUGH_BYTES:
                refuse_damage(db, path)
        except BaseException:
            db.close()
            raise
    return Logbook(path, db, mode=mode, wait_s=wait_s)


def make_logbook(path: Path, steps: tuple[Migration, ...]) -> None:
    """Make a new, empty logbook at once or not at all; FileExistsError where one is there."""
    with logbook_errors(path), new_file(path) as draft:
        db = connect(draft)
        try:
            migrate(db, steps)
            db.execute("INSERT INTO replica VALUES (1, ?)", [str(uuid_utils.uuid4())])
        finally:
            db.close()


def refuse_other_files(path: Path) -> None:
    """LogbookError for what is no logbook by its first bytes; SQLite does not touch it then."""
    refuse_odd_place(path)
    if path.is_dir():
        raise LogbookError("place", f"{path} is a folder. Name the logbook's file in it.")
    try:
        with path.open("rb") as file:
            header = file.read(_HEADER)
    except OSError as error:
        message = f"The logbook {path} cannot be read: {error.strerror}."
        raise LogbookError("place", f"{message} Check who may read it.") from error
    if not header:
        message = f"The logbook {path} is empty (0 bytes), so what it held is lost or elsewhere."
        advice = "It was left as it is. Restore a backup, or move the file away to start afresh."
        raise LogbookError("empty", f"{message} {advice}")
    if len(header) < _HEADER or not header.startswith(_MAGIC):
        message = f"{path} is not a logbook. It was left as it is. Name another file."
        raise LogbookError("not a logbook", message)
    if int.from_bytes(header[_APPLICATION_ID], "big") != APPLICATION_ID:
        message = f"{path} belongs to another program. It was left as it is. Name another file."
        raise LogbookError("foreign", message)


def refuse_damage(db: Database, path: Path) -> None:
    """LogbookError where the file's pages do not hang together (SQLite's quick check)."""
    pages = [row[0] for row in db.execute("PRAGMA quick_check(3)").fetchall()]
    if pages != ["ok"]:
        message = f"The logbook {path} is damaged: {'; '.join(pages)}."
        advice = "It was left as it is. Keep it, and restore the latest backup."
        raise LogbookError("damaged", f"{message} {advice}")


def connect_best(path: Path, *, read_only: bool, wait_s: float) -> tuple[Database, Mode]:
    """The best connection the file allows, and which one it is. It raises sqlite3.Error."""
    if not read_only and _may_write(path) and _may_write(path.parent):
        _let_write_beside(path)
        return connect(path, wait_s=wait_s), "rw"
    db = connect(path, mode="ro", wait_s=wait_s)
    try:
        schema_of(db)
    except sqlite3.OperationalError as error:
        # Reading takes a lock file, which a folder that cannot be written to does not allow.
        db.close()
        unwritten = companions(path)[0]
        if unwritten.exists() and unwritten.stat().st_size:
            message = f"The logbook {path} cannot be read where it is: changes in {unwritten.name}"
            advice = "are not in it yet. Copy both to a folder you may write to, and open it there."
            raise LogbookError("read-only", f"{message} {advice}") from error
        return connect(path, mode="immutable", wait_s=wait_s), "immutable"
    return db, "ro"


def _let_write_beside(path: Path) -> None:
    """Let the side files be written where the logbook may be.

    Reading a logbook that could not be written leaves side files of its mode, and they stay so
    after it may be written again.
    """
    mode = stat.S_IMODE(path.stat().st_mode)
    for beside in companions(path):
        if beside.exists() and not _may_write(beside):
            with contextlib.suppress(OSError):
                beside.chmod(mode)


def _may_write(path: Path) -> bool:
    return os.access(path, os.W_OK, effective_ids=os.access in os.supports_effective_ids)


def refuse_newer(db: Database, path: Path, steps: tuple[Migration, ...]) -> None:
    """LogbookError where a newer program wrote the file."""
    schema, newest = schema_of(db), steps[-1].number
    if schema > newest:
        message = (
            f"The logbook {path} was written by a newer platebook (schema {schema}; this one knows "
            f"{newest}). It was left as it is. Install the newer program, or name another file."
        )
        raise LogbookError("newer", message)


def _refresh_views(db: Database) -> None:
    """Make the views anew where another program of the same schema made others, or none."""
    rows = db.execute("SELECT name, sql FROM sqlite_master WHERE type = 'view'").fetchall()
    if {name: sql for name, sql in rows if name in views()} != views():
        with writing(db):
            make_views(db)


def _bring_up_to_date(
    db: Database, path: Path, steps: tuple[Migration, ...], *, writable: bool
) -> None:
    refuse_newer(db, path, steps)
    newest = steps[-1].number
    if schema_of(db) == newest:
        if writable and newest == shipped_steps()[-1].number:
            _refresh_views(db)
        return
    if not writable:
        message = f"The logbook {path} is of an older platebook and must be brought up to date."
        raise LogbookError("read-only", f"{message} Open it once where it can be written.")
    _keep_from_before(db, path, newest)
    migrate(db, steps)


def _keep_from_before(db: Database, path: Path, newest: int) -> None:
    """A copy as it was; one that was made by a start that went no further serves again."""
    word = f"before-schema-{newest}"
    made = path.parent.glob(f"{glob.escape(path.stem)}.{word}-*{glob.escape(path.suffix)}")
    if any(says_the_same(db, copy) for copy in made):
        return
    while True:
        try:
            copy_into(db, free_name(path, word))
        except LogbookError as error:
            if error.cause != "exists":  # another program took the name a moment ago
                raise
        else:
            return
