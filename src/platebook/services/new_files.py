"""Files for people to keep: written whole or not at all, and never over one that is there."""

import uuid
from pathlib import Path

from platebook.services.faults import Refused


def write_new(file: Path, text: str, *, encoding: str = "utf-8") -> None:
    """Write a new file; Refused where the name is taken or the place cannot be written to.

    Line ends are written as the text has them.
    """
    from platebook.logbook.durable import put_in_place

    draft = file.with_name(f".{file.name}.{uuid.uuid4().hex}.new")
    try:
        draft.write_text(text, encoding=encoding, newline="\n")
        put_in_place(draft, file)
    except FileExistsError as error:
        raise Refused(f"{file}: is there already; name another file") from error
    except OSError as error:
        raise Refused(f"{file}: {error.strerror}") from error
    finally:
        draft.unlink(missing_ok=True)
