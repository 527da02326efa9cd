"""Files for people to keep: written whole or not at all, and never over one that is not ours."""

import contextlib
import os
import uuid
from pathlib import Path

from platebook.services.faults import Refused


def write_new(file: Path, text: str) -> None:
    """Write a new file; Refused where the name is taken or the place cannot be written to.

    Line ends are written as the text has them.
    """
    write_new_bytes(file, text.encode("utf-8"))


def write_new_bytes(file: Path, data: bytes) -> None:
    """The same of bytes."""
    from platebook.logbook.durable import put_in_place

    draft = file.with_name(f".{file.name}.{uuid.uuid4().hex}.new")
    try:
        draft.write_bytes(data)
        put_in_place(draft, file)
    except FileExistsError as error:
        raise Refused(f"{file}: is there already; name another file") from error
    except OSError as error:
        raise Refused(f"{file}: {error.strerror}") from error
    finally:
        draft.unlink(missing_ok=True)


def write_anew(file: Path, data: bytes) -> None:
    """Write a file of one's own whole, over the one it had before; Refused where it cannot be.

    Until it is whole and on the disk the one before stands.
    """
    draft = file.with_name(f".{file.name}.{uuid.uuid4().hex}.new")
    try:
        with draft.open("xb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        draft.replace(file)
    except OSError as error:
        raise Refused(f"{file}: {error.strerror}. What stood there before still does") from error
    finally:
        with contextlib.suppress(OSError):
            draft.unlink(missing_ok=True)
