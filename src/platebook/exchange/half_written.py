"""Files that are being written: under a name of their own until they are whole.

A program that is killed leaves one. Whoever writes into the same folder next removes it: at once
where it was for the same file and nobody holds it any more, and after `STALE_S` whatever it was
for. A file that is written holds the system's lock, which goes with its process; where there is
none, as on some network shares, age alone tells.

| function | gives |
|---|---|
| `half_written` | the content whole and on the disk under such a name, to be given its own |
| `sweep` | what killed programs left in a folder, removed |
| `is_left_over` | whether a name is that of such a file, for this one or for any |
"""

import contextlib
import os
import re
import time
import uuid
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

_lock: Callable[[IO[bytes]], None] | None
try:
    import fcntl
except ImportError:
    _lock = None  # there is no such lock on Windows
else:

    def _lock(stream: IO[bytes]) -> None:
        fcntl.flock(stream.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)


STALE_S = 3_600.0
"""Seconds after which nobody writes a file any more."""

_NAME = re.compile(r"\.(.+)\.[0-9a-f]{32}\.new")


def name_beside(name: str) -> str:
    """A hidden name under which the file of this name is written first."""
    return f".{name}.{uuid.uuid4().hex}.new"


def is_left_over(name: str, of: str | None = None) -> bool:
    """Whether this is the name of a file half written, `of` the one that was to become it."""
    found = _NAME.fullmatch(name)
    return found is not None and of in {None, found[1]}


@contextmanager
def half_written(
    file: Path, content: Iterable[bytes], *, mode: int | None = None
) -> Iterator[Path]:
    """The content whole and on the disk under another name, until the block gives it its own.

    With `mode` it has these rights before it has its name, so nothing else can get them. Nothing
    is left where the block, or writing, fails. OSError where it cannot be written.
    """
    sweep(file)
    draft = file.with_name(name_beside(file.name))
    try:
        with draft.open("xb") as stream:
            _is_held(stream)
            if mode is not None and hasattr(os, "fchmod"):
                with contextlib.suppress(OSError):  # on a stick nobody has rights
                    os.fchmod(stream.fileno(), mode)
            stream.writelines(content)
            stream.flush()
            os.fsync(stream.fileno())
            if _lock is None:
                stream.close()  # an open file gets no other name there
            yield draft
    finally:
        # A folder that is closed, or a name too long, is in the way of removing as of making.
        with contextlib.suppress(OSError):
            draft.unlink(missing_ok=True)


def sweep(file: Path) -> None:
    """Remove what killed programs left in the folder of this file; what cannot be removed stays."""
    with contextlib.suppress(OSError):
        for left in file.parent.iterdir():
            if is_left_over(left.name):
                with contextlib.suppress(OSError):
                    _sweep_one(left, at_once=is_left_over(left.name, file.name))


def _sweep_one(left: Path, *, at_once: bool) -> None:
    if time.time() - left.stat().st_mtime > STALE_S:
        left.unlink(missing_ok=True)
    elif at_once and _lock is not None:
        with left.open("rb") as stream:
            if _is_held(stream) is False:
                left.unlink(missing_ok=True)


def _is_held(stream: IO[bytes]) -> bool | None:
    """Whether another program holds the file; it is ours from now on else. None where none can."""
    if _lock is None:
        return None
    try:
        _lock(stream)
    except BlockingIOError:
        return True
    except OSError:
        return None
    return False
