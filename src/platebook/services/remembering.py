"""Answers that took long are kept beside the logbook until something changes that they rest on.

A kept answer is found by the setter's digest, which every write that concerns them renews, by the
course's text and by the program's version; never by time. The folder lies beside the logbook, not
in the system's cache, so that erasing a person and throwing a logbook away take the answers along.
A kept answer that cannot be read is computed anew; one that cannot be kept is given all the same.
"""

import contextlib
import hashlib
import os
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel, ValidationError

from platebook import __version__
from platebook.logbook.place import answers_folder, first_sight_file
from platebook.practice.course import Course

Answer = TypeVar("Answer", bound=BaseModel)

SHAPE = 1
"""Goes up when what an answer says changes without the program's version."""


OF_A_CLASS = "class"
"""Begins the name of what is kept about a class, where a setter's id begins that about a setter."""


def remembered(
    kind: type[Answer],
    compute: Callable[[], Answer],
    *,
    logbook: Path,
    setter_id: str,
    digest: str,
    course: Course | None = None,
) -> Answer:
    """The answer of this kind for this setter, kept or computed and then kept."""
    rests_on = "\n".join(
        (digest, course.model_dump_json() if course else "", __version__, str(SHAPE))
    )
    mark = hashlib.sha256(rests_on.encode("utf-8")).hexdigest()[:32]
    start = f"{setter_id}-{kind.__name__.lower()}-"
    file = answers_folder(logbook) / f"{start}{mark}.json"
    with contextlib.suppress(OSError, ValidationError, UnicodeDecodeError):
        return kind.model_validate_json(file.read_text(encoding="utf-8"))
    answer = compute()
    with contextlib.suppress(OSError):
        _keep(file, answer.model_dump_json(by_alias=True))
        for old in file.parent.glob(f"{start}*.json"):
            if old != file:
                old.unlink(missing_ok=True)
    return answer


def forget(logbook: Path, setter_id: str) -> None:
    """Throw away every answer kept about this setter, and the words that Now last showed."""
    for file in answers_folder(logbook).glob(f"{setter_id}-*"):
        file.unlink(missing_ok=True)
    first_sight_file(logbook).unlink(missing_ok=True)


def _keep(file: Path, text: str) -> None:
    """Written whole under its name or not at all; two windows may write the same at once."""
    file.parent.mkdir(mode=0o700, exist_ok=True)
    partial = file.with_name(f"{file.name}.{os.getpid()}.part")
    partial.write_text(text, encoding="utf-8")
    partial.replace(file)
