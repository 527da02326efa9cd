"""New files that are whole or not there: made under another name, synced, then put in place.

Nothing is ever written over: a name that is taken is refused.
"""

import contextlib
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import uuid_utils

from platebook.logbook.errors import LogbookError

_BESIDE = ("-wal", "-shm", "-journal")


def companions(path: Path) -> tuple[Path, ...]:
    """The files that SQLite may keep beside this one."""
    return tuple(path.with_name(path.name + ending) for ending in _BESIDE)


def free_name(path: Path, word: str) -> Path:
    """A name beside `path` that is not taken: book.sqlite gives book.word-1.sqlite."""
    number = 1
    while (name := path.with_name(f"{path.stem}.{word}-{number}{path.suffix}")).exists():
        number += 1
    return name


@contextmanager
def new_file(target: Path) -> Iterator[Path]:
    """An empty file of mode 0600 that becomes `target` when the block ends well.

    FileExistsError where `target` is there by then; in any other case of failure nothing is left.
    LogbookError where the folder cannot be made or written to.
    """
    draft = target.with_name(f".{target.name}.{uuid_utils.uuid4()}.new")
    try:
        target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        os.close(os.open(draft, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    except OSError as error:
        message = f"No file can be made in {target.parent}: {error.strerror}."
        raise LogbookError("place", f"{message} Check the folder, or name another one.") from error
    try:
        yield draft
        _sync(draft)
        _put_in_place(draft, target)
    finally:
        for left in (draft, *companions(draft)):
            left.unlink(missing_ok=True)


def sync_folder(folder: Path) -> None:
    """Make sure that the names in a folder are on the disk, where the system can tell."""
    if hasattr(os, "O_DIRECTORY"):
        _sync(folder, os.O_RDONLY | os.O_DIRECTORY)


def _put_in_place(draft: Path, target: Path) -> None:
    try:
        os.link(draft, target)
    except FileExistsError:
        raise
    except OSError:
        # File systems without hard links: renaming may write over, so look first.
        if target.exists():
            raise FileExistsError(str(target)) from None
        draft.rename(target)
    with contextlib.suppress(OSError):
        sync_folder(target.parent)


def _sync(path: Path, flags: int = os.O_RDWR) -> None:
    descriptor = os.open(path, flags)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
