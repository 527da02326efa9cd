"""A session to start from: an invented setter, a logbook in a folder, a clock of the tests' own."""

from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta, timezone
from itertools import count
from pathlib import Path
from typing import Any

from tests.logbook.books import laid_empty

from platebook.services.attempts.recording import record
from platebook.services.people.setters import begin
from platebook.services.session import Session
from platebook.trade.records import Tool

NOW = datetime(2026, 2, 3, 18, 30, tzinfo=UTC)
ZONE = timezone(timedelta(hours=1))
ADA = "Ada Quill"
BRAM = "Bram Osk"
COURSE = "small-to-large"
SEAT_BUR = Tool(kind="bur", name="my 1.9", shape="hart", size_mm=1.9, seats_cut=7)
GOOD_2MM: Mapping[str, object] = {
    "stone_material": "cubic zirconia",
    "stone_diameter_mm": "1.98",
    "metal": "copper",
    "sheet_mm": "20 ga",
    "seat_bur_shape": "hart",
    "seat_bur_mm": "1.9",
    "seat_method": "snap in",
    "fit": "3",
    "result": "good",
}


def ticking(start: datetime = NOW) -> Callable[[], datetime]:
    """A clock that goes on by a hundredth of a second whenever it is looked at."""
    ticks = count()
    return lambda: start + timedelta(milliseconds=10 * next(ticks))


def new_session(folder: Path) -> Session:
    """A session whose logbook is not there yet."""
    return Session(path=folder / "logbook.sqlite", clock=ticking(), zone=ZONE)


def ada_at(folder: Path, *tools: Tool) -> Session:
    """Ada's session: she follows the first course and owns these tools."""
    session = new_session(folder)
    laid_empty(session.path)
    return begin(session, name=ADA, course_id=COURSE, tools=tools)


def a_row(**values: object) -> dict[str, object]:
    """A good setting of a 2 mm stone in copper as typed, with these fields changed."""
    return {**GOOD_2MM, **values}


def minutes_on(number: int) -> str:
    """The time so many minutes after the session's, as a row has it."""
    return (NOW + timedelta(minutes=number)).isoformat()


def logged(session: Session, *rows: Mapping[str, Any]) -> tuple[str, ...]:
    """The ids of these rows, recorded as one change that has to be stored."""
    done = record(session, rows)
    assert done.stored, done.problems
    return done.ids


def a_row_a_minute(count: int, **values: object) -> list[dict[str, object]]:
    """So many rows a minute apart, named by their notes: n0, n1 and on."""
    return [a_row(began=minutes_on(n), note=f"n{n}", **values) for n in range(count)]
