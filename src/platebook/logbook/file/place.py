"""Where the logbook lies, and new files that are whole or not there.

Nothing is ever written over: a name that is taken is refused.
"""

import contextlib
import errno
import glob
import os
import stat
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path, PurePath
from typing import TYPE_CHECKING

import platformdirs
import uuid_utils

from platebook.logbook.errors import LogbookError

if TYPE_CHECKING:
    from filelock import FileLock

VARIABLE = "PLATEBOOK_LOGBOOK"
FILE_NAME = "logbook.sqlite"


def logbook_path(
    named: str | Path | None = None, *, environ: Mapping[str, str] | None = None
) -> Path:
    """The path of the logbook to use: the one named, else the variable's, else the usual one.

    An empty name or variable counts as not given. `~` is the home folder. Nothing is made here.
    LogbookError for the home folder of somebody whom this machine does not know.
    """
    variables = os.environ if environ is None else environ
    wanted = named or variables.get(VARIABLE)
    if wanted:
        try:
            return Path(wanted).expanduser().absolute()
        except RuntimeError as error:
            message = f"{wanted}: there is no such home folder on this machine."
            raise LogbookError("place", f"{message} Name the whole path.") from error
    return platformdirs.user_data_path("platebook", appauthor=False) / FILE_NAME


_ODD_PLACES = {
    errno.ENOTDIR: "lies under a file, where only a folder can hold it",
    errno.ELOOP: "is a link that leads back to itself",
    errno.ENAMETOOLONG: "has a longer name than the file system allows",
    errno.EACCES: "lies in a folder that you may not look into",
}


def refuse_odd_place(path: Path) -> None:
    """LogbookError where no logbook can ever lie: a pipe, a device, a link in a circle, a bad name.

    A file that is not there yet passes, and so does a folder: what it is, is said elsewhere.
    """
    refuse_network_path(path)
    try:
        mode = path.stat().st_mode
    except FileNotFoundError:
        return
    except (OSError, ValueError) as error:
        reason = _ODD_PLACES.get(getattr(error, "errno", None) or 0, f"cannot be read ({error})")
        raise LogbookError(
            "place", f"The logbook {shown_name(path)} {reason}. Name another file."
        ) from error
    if not (stat.S_ISREG(mode) or stat.S_ISDIR(mode)):
        message = f"The logbook {path} is a pipe or a device, not a file. Name another file."
        raise LogbookError("place", message)


def refuse_network_path(path: PurePath) -> None:
    """LogbookError for a path that names another machine (Windows' double backslash).

    SQLite's write-ahead log needs memory that all who have the file open share, which two machines
    do not (sqlite.org, "Write-Ahead Logging").
    """
    if path.drive.startswith(("\\\\", "//")):
        message = f"The logbook {path} would lie on another machine ({path.drive}), where it can"
        advice = "be damaged. Keep it on this one; platebook share exchanges through any folder."
        raise LogbookError("place", f"{message} {advice}")


_NETWORK_SYSTEMS = ("nfs", "cifs", "smb", "9p", "fuse.sshfs", "fuse.rclone", "afs", "davfs")
_SYNCED_FOLDERS = ("dropbox", "onedrive", "google drive", "nextcloud", "icloud", "mobile documents")
_SYNC_MARKS = (".stfolder", ".dropbox", ".owncloudsync.log")


def doubtful_place(path: Path, mounts: str | None = None) -> str | None:
    """Why a logbook should not lie here, in a sentence; None where nothing speaks against it.

    A folder that another program copies between machines, or another machine's disk, as far as
    names and the system's table of `mounts` tell.
    """
    for folder in path.parents:
        synced = folder.name.casefold().startswith(_SYNCED_FOLDERS)
        if synced or any((folder / mark).exists() for mark in _SYNC_MARKS):
            return (
                f"The logbook lies in {folder}, which another program copies between machines. It"
                " may copy half of a change. Keep the logbook elsewhere; exchange with share."
            )
    system = _file_system(path, _mounts() if mounts is None else mounts)
    if system is not None and system.startswith(_NETWORK_SYSTEMS):
        return (
            f"The logbook lies on another machine's disk ({system}). Two machines that open it at"
            " once can damage it. Keep the logbook on this one; exchange with share."
        )
    return None


def _mounts() -> str:
    with contextlib.suppress(OSError):
        return Path("/proc/self/mounts").read_text(encoding="utf-8", errors="replace")
    return ""


def _file_system(path: Path, mounts: str) -> str | None:
    """The kind of file system that a path lies on, by lines of "device place kind options"."""
    found: tuple[int, str] | None = None
    for line in mounts.splitlines():
        words = line.split(" ")
        if len(words) > 2 and path.is_relative_to(place := words[1].replace("\\040", " ")):
            found = max(found or (0, ""), (len(place), words[2]), key=lambda pair: pair[0])
    return None if found is None else found[1]


def shown_name(path: Path) -> str:
    """A file's name as a message repeats it: not endless, and without what ends a text."""
    name = os.fspath(path).replace("\0", "?")
    return name if len(name) <= _SHOWN else f"{name[:_SHOWN]}…"


_SHOWN = 160
"""Letters of a name that a message repeats."""


def answers_folder(logbook: Path) -> Path:
    """Where the answers of this logbook are kept: beside it, so that they go where it goes."""
    return logbook.with_name(f"{logbook.name}-answers")


def keys_folder(logbook: Path) -> Path:
    """Where the private keys of this logbook's people are kept: beside it, and in no copy of it."""
    return logbook.with_name(f"{logbook.name}-keys")


def first_sight_file(logbook: Path) -> Path:
    """Where the words that Now last showed are kept."""
    return answers_folder(logbook) / "first-sight.json"


_BESIDE = ("-wal", "-shm", "-journal")


def companions(path: Path) -> tuple[Path, ...]:
    """The files that SQLite may keep beside this one."""
    return tuple(path.with_name(path.name + ending) for ending in _BESIDE)


def stamps(path: Path) -> tuple[tuple[str, int, int, int], ...]:
    """What the system says of a logbook's file and of its changes beside it; none for no file.

    Name, number, bytes and the nanosecond of the last write: they differ where anybody wrote.
    """
    found = []
    for file in (path, companions(path)[0]):
        with contextlib.suppress(OSError):
            status = file.stat()
            # A log that is only there while a window is open says nothing by itself.
            if status.st_size:
                found.append((file.name, status.st_ino, status.st_size, status.st_mtime_ns))
    return tuple(found)


def free_name(path: Path, word: str) -> Path:
    """A name beside `path` that is not taken: book.sqlite gives book.word-1.sqlite."""
    number = 1
    while (name := path.with_name(f"{path.stem}.{word}-{number}{path.suffix}")).exists():
        number += 1
    return name


_NEW = ".new"
_LOCK = ".lock"


@contextmanager
def new_file(target: Path, *, keep_as: Path | None = None, over: bool = False) -> Iterator[Path]:
    """An empty file of mode 0600 that becomes `target` when the block ends well.

    What a killed program had begun to write for the same target is removed first. Where `target` is
    there by then it becomes `keep_as`; without that name it is FileExistsError, unless the draft is
    to go `over` it.
    In any other case of failure nothing is left. LogbookError where the folder cannot be made or
    written to.
    """
    from filelock import FileLock

    sweep(target)
    draft = target.with_name(f".{target.name}.{uuid_utils.uuid4()}{_NEW}")
    lock = FileLock(f"{draft}{_LOCK}", mode=0o600)
    try:
        target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        lock.acquire(timeout=0)
        os.close(os.open(draft, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    except OSError as error:
        _let_go(lock)
        message = f"No file can be made in {target.parent}: {error.strerror}."
        raise LogbookError("place", f"{message} Check the folder, or name another one.") from error
    try:
        yield draft
        _sync(draft)
        if keep_as is not None and target.exists():
            _set_aside(target, keep_as)
            draft.replace(target)
        elif over:
            draft.replace(target)
        else:
            put_in_place(draft, target)
        with contextlib.suppress(OSError):
            _sync_folder(target.parent)
    finally:
        for left in (draft, *companions(draft)):
            left.unlink(missing_ok=True)
        _let_go(lock)


def _let_go(lock: "FileLock") -> None:
    lock.release()
    with contextlib.suppress(OSError):
        Path(lock.lock_file).unlink(missing_ok=True)


_TARGET = ".target"
_AN_HOUR_S = 3_600


@contextmanager
def announced(logbook: Path | None, target: Path) -> Iterator[None]:
    """While the block writes a copy of this logbook, a note beside the logbook says where.

    A program that is killed leaves the note, so that the next start finds what it had begun
    (`sweep`). Where no note can be written the copy is made all the same.
    """
    note = None
    if logbook is not None:
        note = logbook.with_name(f".{logbook.name}.{uuid_utils.uuid4()}{_TARGET}")
        with contextlib.suppress(OSError):
            note.write_text(str(target), encoding="utf-8", errors="surrogateescape")
    try:
        yield
    finally:
        if note is not None:
            with contextlib.suppress(OSError):
                note.unlink(missing_ok=True)


def sweep(path: Path) -> tuple[Path, ...]:
    """Remove what programs that were killed had begun to write for `path`; gives what it removed.

    So go the copies of it that they had begun under other names, in other folders too. A program
    that still writes holds the lock of its unfinished file, which is left to it.
    """
    removed: list[Path] = []
    for file in path.parent.glob(f".{glob.escape(path.name)}.*"):
        if file.suffix == _NEW:
            removed += _swept(file)
        elif file.suffix == _TARGET:
            removed += _follow(file)
    return tuple(removed)


def _follow(note: Path) -> tuple[Path, ...]:
    """Sweep what a note announces; it stays until that was found, or for an hour."""
    with contextlib.suppress(OSError):
        target = Path(note.read_text(encoding="utf-8", errors="surrogateescape"))
        drafts = target.parent.glob(f".{glob.escape(target.name)}.*{_NEW}")
        removed = tuple(gone for draft in drafts for gone in _swept(draft))
        age_s = time.time() - note.stat().st_mtime
        if removed or (target.parent.is_dir() and age_s > _AN_HOUR_S):
            note.unlink(missing_ok=True)
        return removed
    return ()


def sweep_folder(folder: Path) -> tuple[Path, ...]:
    """The same for all that was begun in a folder that holds nothing but this program's copies."""
    return tuple(gone for draft in folder.glob(f".*{_NEW}") for gone in _swept(draft))


def _swept(draft: Path) -> tuple[Path, ...]:
    """This unfinished file, removed with what lies beside it; nothing where somebody writes it."""
    from filelock import FileLock, Timeout

    lock = FileLock(f"{draft}{_LOCK}", mode=0o600)
    try:
        lock.acquire(timeout=0)
        for left in (draft, *companions(draft)):
            left.unlink(missing_ok=True)
    except (OSError, Timeout):
        return ()
    finally:
        if lock.is_locked:
            _let_go(lock)
    return (draft,)


def _set_aside(path: Path, name: Path) -> None:
    # Changes that are not in the file yet would be taken for those of the new one, so they go
    # first. With a second name for the old file there is never a moment without one in its place.
    for left, aside in zip(companions(path), companions(name), strict=True):
        if left.exists():
            left.rename(aside)
    try:
        os.link(path, name)
    except OSError:
        path.rename(name)


def put_in_place(draft: Path, target: Path) -> None:
    """Give a whole file its name; FileExistsError where that is taken."""
    try:
        os.link(draft, target)
    except FileExistsError:
        raise
    except OSError:
        # File systems without hard links: renaming may write over, so look first.
        if target.exists():
            raise FileExistsError(str(target)) from None
        draft.rename(target)


def _sync_folder(folder: Path) -> None:
    if hasattr(os, "O_DIRECTORY"):
        _sync(folder, os.O_RDONLY | os.O_DIRECTORY)


def _sync(path: Path, flags: int = os.O_RDWR) -> None:
    descriptor = os.open(path, flags)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
