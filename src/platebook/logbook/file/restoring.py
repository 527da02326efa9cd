"""Putting a backup that is whole in a logbook's place; nothing of what was there is lost.

The backup is looked through first. Who was erased since it was made stays erased: that is asked of
the logbook in whose place it is put, or of the newest copy where that cannot be read any more.
"""

import sqlite3
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path

import uuid_utils

from platebook.logbook.defaults import add_former_replica
from platebook.logbook.erasures.erased_in_copies import (
    Gone,
    gone_from,
    people_in,
    still_in,
    take_out,
)
from platebook.logbook.errors import LogbookError, logbook_errors
from platebook.logbook.file.connection import connect
from platebook.logbook.file.copying import counts, write_copy
from platebook.logbook.file.integrity import problems_in
from platebook.logbook.file.migrating import migrate, schema_of, shipped_steps
from platebook.logbook.file.opening import (
    connect_best,
    refuse_damage,
    refuse_newer,
    refuse_other_files,
)
from platebook.logbook.file.place import free_name, new_file, refuse_odd_place
from platebook.logbook.history.revisions import replica_of
from platebook.values import Value, replace

_NOTHING = Gone({}, frozenset(), frozenset())


class Restored(Value):
    """Where the logbook that was there is kept, if there was one, and how many people it is about.

    Of those who stand in the backup and were erased since, `still_erased` are not in the restored
    logbook and `back` are.
    """

    kept: Path | None
    still_erased: int = 0
    back: int = 0


def restore(
    backup: str | Path,
    path: str | Path,
    *,
    copies: Iterable[Path] = (),
    bring_back_since: datetime | None = None,
) -> Restored:
    """Put the backup in place of the logbook at `path`.

    The backup is looked through first, brought up to date and compared, and takes a new replica id,
    because the old logbook may go on elsewhere. Who was erased since stays erased, but for those
    erased after `bring_back_since`; `copies`, the newest first, know of them where the logbook does
    not open. LogbookError where the backup is no sound logbook, or where the logbook at `path` is
    open in another program; nothing was changed then.
    """
    for place in (Path(backup), Path(path)):
        refuse_odd_place(place)
    backup, path = Path(backup).resolve(), Path(path).resolve()
    if not backup.exists():
        raise LogbookError("missing", f"There is no file {backup}. Nothing was changed.")
    refuse_other_files(backup)
    if path.exists() and path.samefile(backup):
        raise LogbookError("refused", f"{backup} is the logbook itself. Nothing was changed.")
    kept = free_name(path, "replaced") if path.exists() else None
    try:
        with logbook_errors(path), new_file(path, keep_as=kept) as draft:
            _copy(backup, draft, path)
            readable = kept is not None and _let_go(path)
            gone = _erased_there((path, *copies) if readable else copies)
            still_erased, back = _erase_again(draft, gone, bring_back_since)
    except FileExistsError:
        message = f"There is a logbook at {path} now that was not there before."
        raise LogbookError("exists", f"{message} Nothing was changed.") from None
    return Restored(kept, still_erased, back)


def _erased_there(files: Iterable[Path]) -> Gone:
    """What was erased, as the first of these says that can be read."""
    for file in files:
        try:
            refuse_other_files(file)
            db, _ = connect_best(file, read_only=True, wait_s=0.5)
            try:
                return gone_from(db)
            finally:
                db.close()
        except (LogbookError, sqlite3.Error, OSError):
            continue
    return _NOTHING


def _erase_again(draft: Path, gone: Gone, bring_back_since: datetime | None) -> tuple[int, int]:
    """Take out who was erased since; gives how many people that is, and how many are back."""
    copy = connect(draft)
    try:
        left = still_in(copy, gone)
        people = people_in(copy, left)
        if bring_back_since is not None:
            long_ago = {k: t for k, t in left.records.items() if t.erased < bring_back_since}
            # Names that were taken off bear no date: those of who is taken out go with them.
            left = replace(_NOTHING, records=long_ago)
        still_erased = people_in(copy, left)
    finally:
        copy.close()
    if left:
        take_out(draft, left)
    return still_erased, people - still_erased


def _copy(backup: Path, draft: Path, path: Path) -> None:
    with logbook_errors(backup):
        source, _ = connect_best(backup, read_only=True, wait_s=5.0)
        try:
            refuse_newer(source, backup, shipped_steps())
            write_copy(source, draft, path)
            expected = counts(source)
        finally:
            source.close()
    with logbook_errors(path):
        copy = connect(draft)
        try:
            copied = counts(copy)
            if schema_of(copy) < shipped_steps()[-1].number:
                migrate(copy, shipped_steps())
            add_former_replica(copy, replica_of(copy))
            copy.execute("UPDATE replica SET replica = ?", [str(uuid_utils.uuid4())])
            wrong = problems_in(copy)
        finally:
            copy.close()
    if wrong or copied != expected:
        first = wrong[0] if wrong else "it does not read back the same."
        message = f"The backup {backup} is not sound: {first} Nothing was changed."
        raise LogbookError("damaged", message)


def _let_go(path: Path) -> bool:
    """Take all changes into the old file and close it; False for a damaged one, left as it is."""
    try:
        refuse_other_files(path)
        with logbook_errors(path):
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
        return False
    return True


def _refuse_damaged(path: Path) -> None:
    db = connect(path, mode="ro")
    try:
        refuse_damage(db, path)
    finally:
        db.close()
