"""Files for people to print: written whole or not at all, and never over one that is there."""

from pathlib import Path

from platebook.services.faults import Refused


def write_new(file: Path, text: str) -> None:
    """Write a new file; Refused where the name is taken or the place cannot be written to."""
    try:
        with file.open("x", encoding="utf-8", newline="\n") as out:
            try:
                out.write(text)
                out.flush()
            except OSError:
                file.unlink(missing_ok=True)
                raise
    except FileExistsError as error:
        raise Refused(f"{file}: is there already; name another file") from error
    except OSError as error:
        raise Refused(f"{file}: {error.strerror}") from error
