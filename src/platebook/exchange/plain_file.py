"""Opening a file that a person named, where only a plain one will do.

A pipe would keep a reader waiting for ever, so the file is opened without waiting and looked at.
"""

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO


class NotPlain(Exception):  # noqa: N818 - named for what is so, not for being an error
    """The file is a folder, a pipe or a device; the message says so."""

    def __init__(self) -> None:
        super().__init__("is not a plain file; only plain files are read")


@contextmanager
def plain_file(file: Path, *, links: bool = True) -> Iterator[BinaryIO]:
    """The file to read from; NotPlain for what is none, OSError where it cannot be opened.

    Without `links` a link is not followed, and OSError.
    """
    flags = os.O_RDONLY
    for name in ("O_NONBLOCK", "O_BINARY", *(() if links else ("O_NOFOLLOW",))):
        flags |= getattr(os, name, 0)
    with open(os.open(file, flags), "rb") as stream:  # noqa: PTH123 - a descriptor, not a path
        if not stat.S_ISREG(os.fstat(stream.fileno()).st_mode):
            raise NotPlain
        yield stream
