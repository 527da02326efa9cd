"""Who is at the bench, where the logbook is and what time it is: what every use case is handed."""

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from pathlib import Path


@dataclass(frozen=True)
class Desk:
    """One person at one logbook.

    `setter_id` is None where nobody is in use; `author` signs the changes. `invented` marks the
    demo class. `clock` gives the time with a zone; `zone` is the bench's own.
    """

    path: Path
    clock: Callable[[], datetime]
    zone: tzinfo
    setter_id: str | None = None
    setter_name: str = ""
    author: str = "setter"
    invented: bool = False

    def for_setter(self, setter_id: str, name: str) -> "Desk":
        """The same desk with this setter in use, who signs their own changes."""
        return dataclasses.replace(self, setter_id=setter_id, setter_name=name, author=name)


def today_at(desk: Desk) -> date:
    """The day it is at the bench."""
    return desk.clock().astimezone(desk.zone).date()
