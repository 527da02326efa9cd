"""What is being typed and not saved yet: a small file that outlives the program.

Each window has its own draft file beside the logbook, held by a lock that the system drops when the
program dies, however it dies. At the next start a draft whose lock is free is an orphan and is
offered again. Nothing here touches the logbook.
"""

import contextlib
import json
import os
import uuid
from collections.abc import Iterable, Mapping
from pathlib import Path

from filelock import FileLock, Timeout

SUFFIX = ".draft.json"


class Drafts:
    """The draft of one window, and those that dead windows left in the same folder."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._mine: Path | None = None
        self._lock: FileLock | None = None

    @classmethod
    def beside(cls, logbook: Path) -> "Drafts":
        """The drafts of this logbook, in a folder named after it."""
        return cls(logbook.with_name(f"{logbook.name}-drafts"))

    def save(self, draft: Mapping[str, object], *, sync: bool = False) -> None:
        """Write the draft whole or not at all; `sync` waits until the disk has it."""
        path = self._own_file()
        partial = path.with_suffix(".part")
        with partial.open("w", encoding="utf-8") as file:
            json.dump(dict(draft), file, ensure_ascii=False)
            file.flush()
            if sync:
                os.fsync(file.fileno())
        partial.replace(path)
        if sync:
            _sync_folder(self.folder)

    def load(self) -> Mapping[str, object] | None:
        """Take over the newest draft that a dead window left; None where there is none.

        The draft becomes this window's own, so a second window is not offered it again.
        """
        for path in self._newest_first():
            if path == self._mine:
                continue
            lock = FileLock(path.with_suffix(".lock"))
            try:
                lock.acquire(timeout=0)
            except Timeout:
                continue
            draft = _read(path)
            if draft is None:
                lock.release()
                continue
            self._release()
            self._mine, self._lock = path, lock
            return draft
        return None

    def clear(self) -> None:
        """Forget this window's draft: it was saved as an attempt, or thrown away on purpose."""
        if self._mine is not None:
            self._mine.unlink(missing_ok=True)
            self._release()
            self._mine = None

    def _own_file(self) -> Path:
        if self._mine is None:
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            path = self.folder / f"{uuid.uuid4().hex}{SUFFIX}"
            lock = FileLock(path.with_suffix(".lock"))
            lock.acquire(timeout=0)
            self._mine, self._lock = path, lock
        return self._mine

    def _newest_first(self) -> list[Path]:
        try:
            dated = [(path.stat().st_mtime, path) for path in self.folder.glob(f"*{SUFFIX}")]
        except OSError:
            return []
        return [path for _, path in sorted(dated, reverse=True)]

    def _release(self) -> None:
        if self._lock is not None:
            self._lock.release()
            with contextlib.suppress(OSError):
                Path(self._lock.lock_file).unlink()
            self._lock = None


def forget_drafts(logbook: Path, words: Iterable[str], *, every: bool = False) -> None:
    """Throw away the drafts beside this logbook that hold one of these words, or every one."""
    sought = [word.casefold() for word in words if word]
    for path in Drafts.beside(logbook).folder.glob(f"*{SUFFIX}"):
        with contextlib.suppress(OSError, UnicodeDecodeError):
            text = json.dumps(_read(path), ensure_ascii=False).casefold()
            if every or any(word in text for word in sought):
                path.unlink()


def _read(path: Path) -> Mapping[str, object] | None:
    try:
        draft = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
    return draft if isinstance(draft, dict) else None


def _sync_folder(folder: Path) -> None:
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
