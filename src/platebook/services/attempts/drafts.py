"""What is being typed and not saved yet: a small file that outlives the program.

Each window has its own draft file beside the logbook, held by a lock that the system drops when the
program dies, however it dies. A draft belongs to who began it: at the next start one whose lock is
free is an orphan and is offered to them again, and to nobody else. Who else sits down is told that
it waits, and whose it is, no more. Nothing here touches the logbook.
"""

import contextlib
import json
import os
import re
import uuid
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from platebook.practice.text import json_in
from platebook.values import Value

if TYPE_CHECKING:
    from filelock import FileLock

SUFFIX = ".draft.json"
_HALF_WRITTEN = ".draft.part"
OWNER = "draft_of"
"""The key of a draft file that says whose it is; files of older programs have none."""


class Owner(Value):
    """Whose drafts a window keeps: a setter's id, None where nobody is in use, and their name."""

    setter_id: str | None = None
    name: str = ""


NOBODY = Owner()


class Drafts:
    """The draft of one window, and those that dead windows left in the same folder.

    All of them are their `owner`'s; a draft that names nobody is offered to whoever asks.
    """

    def __init__(self, folder: Path, owner: Owner = NOBODY) -> None:
        self.folder = folder
        self.owner = owner
        self._mine: Path | None = None
        self._lock: FileLock | None = None

    @classmethod
    def beside(cls, logbook: Path, owner: Owner = NOBODY) -> "Drafts":
        """The drafts of this logbook, in a folder named after it."""
        return cls(logbook.with_name(f"{logbook.name}-drafts"), owner)

    def hand_over(self, owner: Owner) -> None:
        """Somebody else sits down: this window's draft stays, and waits for who began it."""
        if owner != self.owner:
            self._release()
            self._mine, self.owner = None, owner

    def save(self, draft: Mapping[str, object], *, sync: bool = False) -> None:
        """Write the draft whole or not at all; `sync` waits until the disk has it."""
        path = self._own_file()
        partial = path.with_suffix(".part")
        owner = {"setter_id": self.owner.setter_id, "name": self.owner.name}
        with partial.open("w", encoding="utf-8") as file:
            json.dump({**draft, OWNER: owner}, file, ensure_ascii=False)
            file.flush()
            if sync:
                os.fsync(file.fileno())
        partial.replace(path)
        if sync:
            _sync_folder(self.folder)

    def load(self) -> Mapping[str, object] | None:
        """Take over the owner's newest draft that a dead window left; None where there is none.

        The draft becomes this window's own, so a second window is not offered it again.
        """
        for path, lock, draft in self._orphans():
            if _owner_of(draft).setter_id not in {None, self.owner.setter_id}:
                lock.release()
                continue
            self._release()
            self._mine, self._lock = path, lock
            return {name: value for name, value in draft.items() if name != OWNER}
        return None

    def waiting_for_others(self) -> tuple[str, ...]:
        """The names of those whose drafts wait for them; nothing of what is in those."""
        names: dict[str, None] = {}
        for _, lock, draft in self._orphans():
            lock.release()
            owner = _owner_of(draft)
            if owner.setter_id not in {None, self.owner.setter_id}:
                names[owner.name] = None
        return tuple(names)

    def _orphans(self) -> "Iterator[tuple[Path, FileLock, dict[str, object]]]":
        """The drafts that no living window holds, newest first, each with its lock held."""
        for path in self._newest_first():
            if path == self._mine:
                continue
            # Most starts find no draft, and load no locks before the first is begun.
            from filelock import FileLock, Timeout

            lock = FileLock(path.with_suffix(".lock"))
            try:
                lock.acquire(timeout=0)
            except Timeout:
                continue
            draft = _read(path)
            if draft is None:
                lock.release()
            else:
                yield path, lock, draft

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
            from filelock import FileLock

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
    """Throw away the drafts beside this logbook that hold one of these words, or every one.

    A word is an id or a name and counts where it stands whole: "me" is not found in "some". What
    was half written when a program died goes too, and so does a file that cannot be read as a draft
    but has the word among its bytes.
    """
    alternatives = "|".join(re.escape(word) for word in words if word)
    sought = re.compile(rf"(?<!\w)(?:{alternatives})(?!\w)", re.IGNORECASE)
    folder = Drafts.beside(logbook).folder
    for path in (*folder.glob(f"*{SUFFIX}"), *folder.glob(f"*{_HALF_WRITTEN}")):
        with contextlib.suppress(OSError):
            if every or (alternatives and any(map(sought.search, _texts_in(path)))):
                path.unlink()


def _texts_in(path: Path) -> Iterator[str]:
    """Every text in a draft; of a file that is none, all of it."""
    waiting: list[object] = [_read(path) or path.read_text(encoding="utf-8", errors="replace")]
    while waiting:
        match waiting.pop():
            case str() as text:
                yield text
            case dict() as inner:
                waiting += inner.values()
            case list() as inner:
                waiting += inner


def _owner_of(draft: Mapping[str, object]) -> Owner:
    said = draft.get(OWNER)
    if not isinstance(said, dict) or not said.get("setter_id"):
        return NOBODY
    return Owner(str(said["setter_id"]), str(said.get("name") or ""))


def _read(path: Path) -> dict[str, object] | None:
    try:
        draft = json_in(path.read_bytes())
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
