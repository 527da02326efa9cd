"""Opening a logbook: made where there is none, brought up to date, or a clear refusal.

`application_id` says that a file is a logbook at all. One of an older program is copied as it was
and taken through its migrations (`migrating`); one of a newer program is refused. Nothing is
written over.
"""

import contextlib
import glob
import os
import sqlite3
import stat
from pathlib import Path

import uuid_utils

from platebook.logbook.errors import LogbookError, logbook_errors
from platebook.logbook.file.connection import Database, Mode, connect, writing
from platebook.logbook.file.migrating import (
    APPLICATION_ID,
    Migration,
    migrate,
    schema_of,
    shipped_steps,
)
from platebook.logbook.file.place import (
    companions,
    free_name,
    keys_folder,
    new_file,
    refuse_odd_place,
    stamps,
    sweep,
    sweep_folder,
)
from platebook.logbook.file.views import make_views, views
from platebook.logbook.logbook import Logbook

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
    steps: tuple[Migration, ...] | None = None,
) -> Logbook:
    """The logbook at `path`, open for the thread that asks; close it, or use it in a `with`.

    A file that is not there is made, unless `create` is False. One that can only be read is opened
    so, and `Logbook.read_only` says it. `wait_s` is how long a write waits for another program's.
    A file that is small enough is looked through for damage, once until somebody writes to it.
    `steps` are the migrations, by default those of this program. LogbookError says what is wrong
    and what to do.
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
            if mode == "rw":
                sweep(path)
                sweep_folder(keys_folder(path))
            _look_through(db, path)
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


_sound: dict[Path, tuple[tuple[str, int, int, int], ...]] = {}
"""The stamps that files bore when this program last found no damage in them."""


def _look_through(db: Database, path: Path) -> None:
    """Refuse damage in a file that is small enough, unless it was looked through as it stands."""
    seen = stamps(path)
    if path.stat().st_size <= _LOOKED_THROUGH_BYTES and _sound.get(path) != seen:
        refuse_damage(db, path)
        _sound[path] = seen


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
        try:
            return connect(path, wait_s=wait_s), "rw"
        except sqlite3.OperationalError as error:
            # A disk with no room for the file that all who read share: nobody else reads then.
            if error.sqlite_errorname != "SQLITE_IOERR_SHMSIZE" or _has_unwritten(path):
                raise
            return connect(path, mode="full", wait_s=wait_s), "full"
    db = connect(path, mode="ro", wait_s=wait_s)
    try:
        schema_of(db)
    except sqlite3.OperationalError as error:
        # Reading takes a lock file, which a folder that cannot be written to does not allow.
        db.close()
        if _has_unwritten(path):
            unwritten = companions(path)[0].name
            message = f"The logbook {path} cannot be read where it is: changes in {unwritten}"
            advice = "are not in it yet. Copy both to a folder you may write to, and open it there."
            raise LogbookError("read-only", f"{message} {advice}") from error
        return connect(path, mode="immutable", wait_s=wait_s), "immutable"
    return db, "ro"


def _has_unwritten(path: Path) -> bool:
    """Whether changes stand beside the file that are not in it yet."""
    unwritten = companions(path)[0]
    return unwritten.exists() and unwritten.stat().st_size > 0


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
    from platebook.logbook.file.copying import copy_into, says_the_same

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
