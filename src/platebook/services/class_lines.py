"""A line a setter, kept beside the logbook in one file until the setter logs something.

One file for the whole class, because a class of hundreds would be hundreds of files to read. What
depends on the day is added when it is asked for, so that a line stands from one day to the next.
"""

import contextlib
import hashlib
import os
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from pydantic import BaseModel, ConfigDict, ValidationError

from platebook import __version__
from platebook.logbook.place import answers_folder
from platebook.services.class_roll import Pupil, log_of, pupils
from platebook.services.class_work import Line, line_of
from platebook.services.crew import WORTH_A_POOL, Crew
from platebook.services.desk import Desk
from platebook.services.faults import opened
from platebook.services.remembering import OF_A_CLASS, SHAPE
from platebook.services.watching import Watch, unwatched

if TYPE_CHECKING:
    from concurrent.futures import Executor


class _KeptLine(BaseModel):
    model_config = ConfigDict(frozen=True)

    mark: str
    line: Line


class _KeptLines(BaseModel):
    model_config = ConfigDict(frozen=True)

    lines: dict[str, _KeptLine] = {}


def lines(
    desk: Desk, some: Sequence[Pupil], *, crew: Crew, watch: Watch = unwatched
) -> tuple[Line, ...]:
    """The lines of these setters, kept or worked out and then kept."""
    file = answers_folder(desk.path) / f"{OF_A_CLASS}-lines.json"
    kept = _read(file).lines
    marks = {one.setter_id: _mark(f"{one.rests_on} {one.draws}") for one in some}
    found = {
        setter_id: kept[setter_id].line
        for setter_id, mark in marks.items()
        if setter_id in kept and kept[setter_id].mark == mark
    }
    wanted = [one for one in some if one.setter_id not in found]
    if wanted:
        with opened(desk) as book:
            made = crew.spread(
                line_of,
                ((one.setter_id, (log_of(book, one),)) for one in wanted),
                attempts=sum(one.attempts for one in wanted),
                steps=(len(found), len(some)),
                watch=watch,
            )
        found |= made
        now = {one: _KeptLine(mark=marks[one], line=found[one]) for one in marks}
        _keep(file, _KeptLines(lines={**kept, **now}))
    return tuple(found[one.setter_id] for one in some)


def class_lines(
    desk: Desk, group: str | None, executor: "Executor | None", watch: Watch
) -> list[tuple[Pupil, Line]]:
    """Everyone of a group with their line; Refused for a group nobody is in."""
    some = pupils(desk, group)
    with Crew(executor) as crew:
        return list(zip(some, lines(desk, some, crew=crew, watch=watch), strict=True))


def read_ahead(desk: Desk, watch: Watch = unwatched) -> None:
    """Work out and keep the lines of everyone, where they are so many that it takes long."""
    some = pupils(desk)
    if sum(one.attempts for one in some) >= WORTH_A_POOL:
        with Crew() as crew:
            lines(desk, some, crew=crew, watch=watch)


def _mark(rests_on: str) -> str:
    text = "\n".join((rests_on, __version__, str(SHAPE)))
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:32]


def _read(file: Path) -> _KeptLines:
    with contextlib.suppress(OSError, ValidationError, UnicodeDecodeError):
        return _KeptLines.model_validate_json(file.read_bytes())
    return _KeptLines()


def _keep(file: Path, kept: _KeptLines) -> None:
    """Written whole under its name or not at all; of two windows the later one stays."""
    partial = file.with_name(f"{file.name}.{os.getpid()}.part")
    with contextlib.suppress(OSError):
        file.parent.mkdir(mode=0o700, exist_ok=True)
        partial.write_text(kept.model_dump_json(), encoding="utf-8")
        partial.replace(file)
