"""Putting a backup in a logbook's place, without losing what was there."""

from pathlib import Path

import uuid_utils

from platebook.logbook.defaults import add_former_replica
from platebook.logbook.errors import LogbookError, told
from platebook.logbook.file.connection import connect
from platebook.logbook.file.integrity import findings
from platebook.logbook.file.opening import (
    connected,
    counts,
    migrate,
    refuse_damage,
    refuse_newer,
    refuse_other_files,
    schema_of,
    shipped_steps,
)
from platebook.logbook.file.place import free_name, new_file
from platebook.logbook.revisions import replica_of


def restore(backup: str | Path, path: str | Path) -> Path | None:
    """Put the backup in place of the logbook at `path`; gives where the old file was kept, if any.

    The backup is looked through first, brought up to date and compared, and takes a new replica id,
    because the old logbook may go on elsewhere. LogbookError where the backup is no sound logbook,
    or where the logbook at `path` is open in another program; nothing was changed then.
    """
    backup, path = Path(backup).resolve(), Path(path).resolve()
    if not backup.exists():
        raise LogbookError("missing", f"There is no file {backup}. Nothing was changed.")
    refuse_other_files(backup)
    if path.exists() and path.samefile(backup):
        raise LogbookError("refused", f"{backup} is the logbook itself. Nothing was changed.")
    kept = free_name(path, "replaced") if path.exists() else None
    try:
        with told(path), new_file(path, keep_as=kept) as draft:
            _copy(backup, draft)
            if kept is not None:
                _let_go(path)
    except FileExistsError:
        message = f"There is a logbook at {path} now that was not there before."
        raise LogbookError("exists", f"{message} Nothing was changed.") from None
    return kept


def _copy(backup: Path, draft: Path) -> None:
    with told(backup):
        source, _ = connected(backup, read_only=True, wait_s=5.0)
        try:
            refuse_newer(source, backup, shipped_steps())
            source.execute("VACUUM INTO ?", [str(draft)])
            expected = counts(source)
        finally:
            source.close()
    with told(draft):
        copy = connect(draft)
        try:
            copied = counts(copy)
            if schema_of(copy) < shipped_steps()[-1].number:
                migrate(copy, shipped_steps())
            add_former_replica(copy, replica_of(copy))
            copy.execute("UPDATE replica SET replica = ?", [str(uuid_utils.uuid4())])
            found = findings(copy)
        finally:
            copy.close()
    if found or copied != expected:
        first = found[0] if found else "it does not read back the same."
        message = f"The backup {backup} is not sound: {first} Nothing was changed."
        raise LogbookError("damaged", message)


def _let_go(path: Path) -> None:
    """Take all changes into the old file and close it; a damaged one is left as it is."""
    try:
        refuse_other_files(path)
        with told(path):
            _refuse_damaged(path)
            db = connect(path, wait_s=0.5)
            try:
                # Only the last connection to a file may leave its write-ahead log.
                db.execute("PRAGMA journal_mode = DELETE")
            finally:
                db.close()
    except LogbookError as error:
        if error.cause not in {"damaged", "empty", "not a logbook"}:
            raise


def _refuse_damaged(path: Path) -> None:
    db = connect(path, mode="ro")
    try:
        refuse_damage(db, path)
    finally:
        db.close()
