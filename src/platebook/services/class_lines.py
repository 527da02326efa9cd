"""A line a setter, kept beside the logbook in one file until the setter logs something.

One file for the whole class, because a class of hundreds would be hundreds of files to read. What
depends on the day is added when it is asked for, so that a line stands from one day to the next.
"""

import contextlib
import hashlib
import os
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from pydantic import BaseModel, ConfigDict, ValidationError

from platebook import __version__
from platebook.logbook.place import answers_folder
from platebook.services.class_work import Line, line_of
from platebook.services.crew import Crew
from platebook.services.desk import Desk
from platebook.services.faults import opened
from platebook.services.members import Member, log_of
from platebook.services.remembering import OF_A_CLASS, SHAPE
from platebook.services.watching import Watch, unwatched

NOBODYS = "the draw"
"""Signs the changes that keep a draw, so that nobody's undo takes one back."""


class _KeptLine(BaseModel):
    model_config = ConfigDict(frozen=True)

    mark: str
    line: Line


class _KeptLines(BaseModel):
    model_config = ConfigDict(frozen=True)

    lines: dict[str, _KeptLine] = {}


def lines(
    desk: Desk, some: Sequence[Member], *, crew: Crew, watch: Watch = unwatched
) -> tuple[Line, ...]:
    """The lines of these setters, kept or worked out and then kept."""
    file = _file(desk)
    kept = _read(file).lines
    marks = {one.setter_id: _mark(one.line_rests_on) for one in some}
    found = {
        setter_id: kept[setter_id].line
        for setter_id, mark in marks.items()
        if setter_id in kept and kept[setter_id].mark == mark
    }
    now = desk.clock().astimezone(desk.zone)
    wanted = [one for one in some if one.setter_id not in found]
    if wanted:
        with opened(desk) as book:
            made = crew.spread(
                line_of,
                ((one.setter_id, (log_of(book, one), now)) for one in wanted),
                attempts=sum(one.attempts for one in wanted),
                steps=(len(found), len(some)),
                watch=watch,
            )
        found |= made
        fresh = {one: _KeptLine(mark=marks[one], line=found[one]) for one in marks}
        _keep(file, _KeptLines(lines={**kept, **fresh}))
    return tuple(found[one.setter_id] for one in some)


def keep_draws(desk: Desk, found: Sequence[tuple[Member, Line]]) -> None:
    """Keep the draws that these lines say are due; from now on they stay what they are.

    The lines hold for the log with its draw as well, so they are kept for that too. In a logbook
    that cannot be written the draws are the same ones at every asking, and not kept.
    """
    due = {one.setter_id: (one, line, line.draw) for one, line in found if line.draw is not None}
    if not due:
        return
    now = desk.clock().astimezone(desk.zone)
    with opened(desk, make=False) as book:
        if book.read_only:
            return
        digests = book.add_draws_if(
            [draw.model_copy(update={"drawn": now}) for _, _, draw in due.values()],
            {setter_id: one.with_draws for setter_id, (one, _, _) in due.items()},
            author=NOBODYS,
            now=now,
        )
    kept = dict(_read(_file(desk)).lines)
    for setter_id, digest in digests.items():
        one, line, _ = due[setter_id]
        mark = _mark(replace(one, with_draws=digest).line_rests_on)
        kept[setter_id] = _KeptLine(mark=mark, line=line.model_copy(update={"draw": None}))
    _keep(_file(desk), _KeptLines(lines=kept))


def _file(desk: Desk) -> Path:
    return answers_folder(desk.path) / f"{OF_A_CLASS}-lines.json"


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
