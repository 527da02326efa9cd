"""What can be wrong with a logbook, in words: the cause, what stands, and what to do about it."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    import sqlite3

Cause = Literal[
    "busy",
    "damaged",
    "disk",
    "duplicate",
    "empty",
    "exists",
    "foreign",
    "full",
    "missing",
    "newer",
    "not a logbook",
    "place",
    "read-only",
    "refused",
    "sqlite",
    "unknown",
    "value",
]

_AS_BEFORE = "Nothing was changed; all that was saved before still stands."

_SENTENCES: Mapping[str, tuple[Cause, str]] = {
    "SQLITE_BUSY": (
        "busy",
        "is in use by another program that has not finished writing. Try again in a moment.",
    ),
    "SQLITE_LOCKED": ("busy", "is in use. Try again in a moment."),
    "SQLITE_FULL": ("full", "does not fit on the disk any more. Make room and try again."),
    # The file that all who read share cannot grow: on a full disk reading itself fails.
    "SQLITE_IOERR_SHMSIZE": ("full", "does not fit on the disk any more. Make room and try again."),
    "SQLITE_IOERR": (
        "disk",
        "could not be read or written. Check the disk and its free space, then try again.",
    ),
    "SQLITE_READONLY": (
        "read-only",
        "can be read but not written. Allow writing to the file and its folder, or use a copy.",
    ),
    "SQLITE_CORRUPT": ("damaged", "is damaged. Keep it as it is, and restore the latest backup."),
    "SQLITE_NOTADB": ("not a logbook", "is not a logbook. Name another file."),
    "SQLITE_CANTOPEN": (
        "place",
        "cannot be opened. Check that its folder exists and that you may write there.",
    ),
}
"""Cause and sentence by the start of the name that SQLite gives an error."""

_NO_TEXT = "Could not decode to UTF-8"


class LogbookError(Exception):
    """A logbook cannot be used, or not in this way; the message says what to do.

    `cause` is one word for programs. After any failure all that stood before still stands.
    """

    def __init__(self, cause: Cause, message: str) -> None:
        super().__init__(message)
        self.cause: Cause = cause


NO_VALUE = (TypeError, ValueError, OverflowError, KeyError, AttributeError, RecursionError)
"""What reading a cell raises that holds no value of its column, as after a damage on the disk."""


class UnreadableRowError(ValueError):
    """A cell of the file holds what this program does not put there: which, and what it reads."""

    def __init__(self, column: str, value: object) -> None:
        # What stands in a damaged cell is shown without what a terminal would obey.
        super().__init__(f"{column} reads {ascii(value)[:60]}")


def from_sqlite(error: "sqlite3.Error", path: Path) -> LogbookError:
    """The error of the logbook at `path` that an error of SQLite amounts to."""
    name = getattr(error, "sqlite_errorname", None) or ""
    if str(error).startswith(_NO_TEXT):
        # Python's own word, without a name of SQLite's, and it repeats what could not be read.
        name = "SQLITE_CORRUPT"
    for start, (cause, sentence) in _SENTENCES.items():
        if name.startswith(start):
            return LogbookError(cause, f"The logbook {path} {sentence} {_AS_BEFORE}")
    reason = f"{error} ({name})" if name else str(error)
    return LogbookError("sqlite", f"The logbook {path} did not do it: {reason}. {_AS_BEFORE}")


def no_room(path: Path) -> LogbookError:
    """The error of a logbook at `path` whose disk is full."""
    cause, sentence = _SENTENCES["SQLITE_FULL"]
    return LogbookError(cause, f"The logbook {path} {sentence} {_AS_BEFORE}")


@contextmanager
def logbook_errors(path: Path) -> Iterator[None]:
    """Turn what SQLite and the record's values raise into a LogbookError; a bug stays a bug."""
    # Where the logbook lies is asked before the first paint, which waits for no database.
    import sqlite3

    try:
        yield
    except sqlite3.ProgrammingError:
        raise
    except sqlite3.Error as error:
        raise from_sqlite(error, path) from error
    except FileExistsError:
        raise
    except OSError as error:
        reason = error.strerror or str(error)
        message = f"A file in {path.parent} could not be written: {reason}. {_AS_BEFORE}"
        raise LogbookError("disk", f"{message} Check the disk and the folder.") from error
    except OverflowError as error:
        message = "A number is too large to be stored (over 9 223 372 036 854 775 807)."
        raise LogbookError("value", f"{message} {_AS_BEFORE}") from error
    except UnreadableRowError as error:
        message = f"The logbook {path} is damaged: {error}, which this program did not save."
        advice = "platebook check says where. Keep it as it is, and restore the latest backup."
        raise LogbookError("damaged", f"{message} {advice}") from error
    except UnicodeDecodeError as error:
        # SQLite's own message repeats what it could not read, which is no text any more.
        message = f"The logbook {path} is damaged: a text in it is no text any more."
        advice = "Keep it as it is, and restore the latest backup."
        raise LogbookError("damaged", f"{message} {advice}") from error
    except UnicodeEncodeError as error:
        message = "A text holds characters that no file can keep (half of a character pair)."
        raise LogbookError("value", f"{message} {_AS_BEFORE}") from error
