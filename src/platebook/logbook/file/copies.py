"""The copies that the program makes by itself: where they lie, what each says, which may go.

They are whole logbooks in a folder of their own, named by the time they were made, in UTC, and by
what they were made before. Each was read back before it got its name (`copying.copy_into`).

| function | gives |
|---|---|
| `copies_folder` | where the copies of a logbook lie |
| `note_folder`, `noted_folder` | a note beside the logbook of the folder that was chosen for them |
| `kept_copies` | the copies in a folder, the newest first |
| `make_copy` | a new one, unless the newest says the same |
| `surplus` | those that the rule of keeping lets go |
| `attempts_in` | how many attempts a copy holds |
| `may_be_one_disk` | whether a copy would be lost together with the logbook |
"""

import contextlib
import os
import re
import shutil
import sqlite3
from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta, tzinfo
from pathlib import Path

from platebook.logbook.errors import LogbookError
from platebook.logbook.file.connection import Database, connect
from platebook.logbook.file.copying import copy_into, says_the_same
from platebook.logbook.file.place import sweep_folder
from platebook.values import Value

COPIES_OF_TODAY = 10
DAYS = 7
WEEKS = 8

_ROOM = 2
"""A copy is made where there is room for so many more of its size: the logbook goes first."""

_SHARE_OF_DISK = 10
"""All copies together take at most one part in so many of their disk, but for the newest few."""

_NEWEST = 3

_NAMED = re.compile(r"(\d{4}-\d\d-\d\dT\d{6})Z(?:-([a-z]+))?(?:-(\d+))?\.sqlite")
_TIME = "%Y-%m-%dT%H%M%S"


class Copy(Value):
    """One copy: its file, when it was made (UTC), before what ("" for by the day), its bytes.

    `number` tells those of one second apart, in the order they were made.
    """

    file: Path
    made: datetime
    before: str
    size: int
    number: int = 1

    @property
    def age(self) -> tuple[datetime, int]:
        """What puts copies in the order they were made."""
        return self.made, self.number


def copies_folder(logbook: Path, kept_in: str | None = None) -> Path:
    """Where the copies lie: beside the logbook, or in the folder that was chosen for them."""
    return Path(kept_in) if kept_in else logbook.with_name(f"{logbook.name}-copies")


def _note(logbook: Path) -> Path:
    return logbook.with_name(f"{logbook.name}-copies-in")


def note_folder(logbook: Path, folder: Path) -> None:
    """Note beside the logbook where its copies lie, for when it cannot say so itself any more.

    Copies beside the logbook are found without a note. Where none can be written there is none.
    """
    note = _note(logbook)
    with contextlib.suppress(OSError):
        if folder == copies_folder(logbook):
            note.unlink(missing_ok=True)
        elif noted_folder(logbook) != folder:
            note.write_bytes(os.fsencode(folder))


def noted_folder(logbook: Path) -> Path:
    """Where the copies of a logbook that cannot be read lie: as noted, else beside it."""
    with contextlib.suppress(OSError, ValueError):
        if (named := os.fsdecode(_note(logbook).read_bytes()).strip()) and "\0" not in named:
            return Path(named)
    return copies_folder(logbook)


def kept_copies(folder: Path) -> tuple[Copy, ...]:
    """The copies in this folder, the newest first; none where it is not there or not readable."""
    found = []
    with contextlib.suppress(OSError):
        for file in folder.iterdir():
            if (named := _NAMED.fullmatch(file.name)) is None:
                continue
            with contextlib.suppress(OSError, ValueError):
                made = datetime.strptime(named[1], _TIME).replace(tzinfo=UTC)
                number = int(named[3] or 1)
                found.append(Copy(file, made, named[2] or "", file.stat().st_size, number))
    return tuple(sorted(found, key=lambda copy: copy.age, reverse=True))


def make_copy(db: Database, size: int, folder: Path, now: datetime, before: str = "") -> Copy:
    """Copy the logbook (`size` is its bytes) into the folder; the newest serves if it says it all.

    LogbookError where there is too little room, or where the folder cannot be written to.
    """
    sweep_folder(folder)
    copies = kept_copies(folder)
    newest = next(iter(copies), None)
    if newest is not None and says_the_same(db, newest.file):
        return newest
    _refuse_without_room(folder, size)
    made = now.astimezone(UTC).replace(microsecond=0)
    number = max((copy.number for copy in copies if copy.made == made), default=0) + 1
    words = (f"{made.strftime(_TIME)}Z", before, str(number) if number > 1 else "")
    file = folder / f"{'-'.join(filter(None, words))}.sqlite"
    copy_into(db, file)
    return Copy(file, made, before, file.stat().st_size, number)


def _refuse_without_room(folder: Path, size: int) -> None:
    there = next(place for place in (folder, *folder.parents) if place.exists())
    if shutil.disk_usage(there).free < _ROOM * size:
        raise LogbookError("full", f"There is too little room for a copy in {folder}.")


def surplus(copies: Iterable[Copy], today: date, zone: tzinfo) -> tuple[Copy, ...]:
    """Those that may go. `zone` is where a day ends.

    What stays: the newest ten of today, the last of each of the seven days before, and the last of
    each of the eight weeks up to this one (they begin on Monday). What a clock that was set wrong
    dated later than today counts as today's.
    """
    newest_first = sorted(copies, key=lambda copy: copy.age, reverse=True)
    days = {copy: copy.made.astimezone(zone).date() for copy in newest_first}
    kept = [copy for copy in newest_first if days[copy] >= today][:COPIES_OF_TODAY]
    last_of_day: dict[date, Copy] = {}
    last_of_week: dict[date, Copy] = {}
    for copy in newest_first:
        day = days[copy]
        if day < today:
            last_of_day.setdefault(day, copy)
        last_of_week.setdefault(_monday(day), copy)
    kept += [c for day, c in last_of_day.items() if today - day <= timedelta(days=DAYS)]
    kept += [c for week, c in last_of_week.items() if _monday(today) - week < WEEKS * _A_WEEK]
    return tuple(copy for copy in newest_first if copy not in set(kept))


_A_WEEK = timedelta(days=7)


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def too_large(copies: Iterable[Copy], folder: Path) -> tuple[Copy, ...]:
    """The oldest, as far as all together take more of their disk than copies should."""
    limit = shutil.disk_usage(folder).total // _SHARE_OF_DISK
    taken, going = 0, []
    for place, copy in enumerate(copies):
        taken += copy.size
        if taken > limit and place >= _NEWEST:
            going.append(copy)
    return tuple(going)


def let_go(copies: Iterable[Copy]) -> None:
    """Remove these copies, as far as it can be done; what stays is asked about the next time."""
    for copy in copies:
        with contextlib.suppress(OSError):
            copy.file.unlink()


def attempts_in(file: Path) -> int | None:
    """How many attempts stand in a copy; None where it cannot be read."""
    try:
        db = connect(file, mode="ro")
    except (sqlite3.Error, OSError):
        return None
    try:
        return int(db.execute("SELECT coalesce(sum(attempts), 0) FROM tally").fetchone()[0])
    except sqlite3.Error:
        return None
    finally:
        db.close()


def may_be_one_disk(one: Path, other: Path) -> bool:
    """Whether two places lie on one disk, as far as the system tells; unsure counts as yes."""
    try:
        first, second = one.stat().st_dev, other.stat().st_dev
    except OSError:
        return True
    return first == second or _disk(first) == _disk(second)


def _disk(device: int) -> str:
    """The name of the disk that a device number belongs to: of a partition, the whole disk."""
    try:
        numbers = f"{os.major(device)}:{os.minor(device)}"
        place = Path("/sys/dev/block", numbers).resolve(strict=True)
    except (OSError, AttributeError):
        return str(device)
    return place.parent.name if (place / "partition").exists() else place.name
