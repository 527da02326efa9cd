"""Copies that the program makes by itself, where they lie, and what is to be said of them.

| function | gives |
|---|---|
| `copy_before` | a copy before much changes; trouble with it is said later and stops nothing |
| `look_after` | the copy of the day, where it is due, and what is to be said of copies and place |
| `copy_now` | a copy because somebody asks for one; `copied_now` tells it in a sentence |
| `keep_copies_in` | the folder in which copies are made from now on |
| `note_a_copy` | remembers that somebody put a copy on another disk |
| `whereabouts` | where logbook and copies lie, how large they are, and what speaks against it |
| `reach_copies` | erasings brought to the copies |

The rule: a copy is made before a migration, an import, sharing, a start file, and by the day. Where
the newest one says all that the logbook says it serves; so does one that is under ten minutes old,
and a logbook that was begun so short a time ago needs none yet. What stays is told at
`logbook.file.copies.surplus`. The invented class is not copied.
"""

import contextlib
import os
from collections.abc import Callable
from datetime import UTC, datetime, timedelta, tzinfo
from pathlib import Path

from platebook.logbook import Logbook, LogbookError, defaults
from platebook.logbook.attempts.attempt_queries import attempt_counts
from platebook.logbook.erasures.erased_in_copies import Reached, clear_copies
from platebook.logbook.erasures.erasing import copies_beside
from platebook.logbook.file.copies import (
    Copy,
    attempts_in,
    copies_folder,
    kept_copies,
    let_go,
    make_copy,
    may_be_one_disk,
    note_folder,
    noted_folder,
    surplus,
    too_large,
)
from platebook.logbook.file.place import doubtful_place, shown_name
from platebook.logbook.history.changes import first_changed
from platebook.services.clock_doubts import clock_doubt
from platebook.services.people.keys import damaged_key_words
from platebook.services.session import INVENTED, LogbookUnusable, Refused, Session, opened, today_at
from platebook.trade.phrases import count_of, full_day, recent_day
from platebook.values import Value

MOMENTS = timedelta(minutes=10)
"""How young a copy may be to serve for the next thing that asks for one."""

FIRST_HOUR = timedelta(hours=1)
"""How old a logbook has to be for its first copy by the day."""

FIRST_DAY = timedelta(days=1)
"""How old it has to be for a reminder: who has just begun has other things to learn."""

REMINDED = {
    "copies": timedelta(days=30),
    "place": timedelta(days=7),
    "key": timedelta(days=1),
    "clock": timedelta(days=1),
}
"""How often each reminder is said."""

WORTH_A_STICK = 50
"""Attempts from which on a copy on another disk is asked for."""

_FOLDER = "copies are kept in"
_TROUBLE = "trouble with copies"
_ELSEWHERE = "copied to another disk"
_BESIDE = (".before-schema-", ".before-mending-", ".replaced-")
"""Copies beside the logbook from which whoever is erased is taken out; others have their time."""

_BEFORE = {"import": "before an import", "share": "before sharing", "begin": "before a start file"}


def copy_before(session: Session, book: Logbook, what: str) -> None:
    """Copy the logbook before much changes in it (a word of `_BEFORE`); it never raises."""
    if not session.invented and not book.read_only:
        _kept_quiet(book, lambda: _copy_if_due(session, book, what))


def _copy_if_due(session: Session, book: Logbook, what: str) -> None:
    now = session.clock()
    copies = kept_copies(_folder(book))
    began = book.ask(first_changed)
    if began is None or timedelta() <= now - began < MOMENTS:
        return
    if not copies or not timedelta() <= now - copies[0].made < MOMENTS:
        _copy(session, book, what)


def _copy(session: Session, book: Logbook, what: str = "") -> Copy:
    folder = _folder(book)
    if folder.parent != book.path.parent and not folder.parent.is_dir():
        # Where a stick is not plugged in, its place would be made on the logbook's own disk.
        raise LogbookError("missing", f"{folder.parent} is not there now.")
    copy = book.ask(make_copy, book.path.stat().st_size, folder, session.clock(), what)
    note_folder(book.path, folder)
    let_go(surplus(kept_copies(folder), today_at(session), session.zone))
    let_go(too_large(kept_copies(folder), folder))
    return copy


def _folder(book: Logbook) -> Path:
    return copies_folder(book.path, book.ask(defaults.default, _FOLDER))


def _kept_quiet(book: Logbook, work: Callable[[], None]) -> None:
    """Do this, and keep a sentence about what went wrong; it is said when there is time for it."""
    trouble = None
    try:
        work()
    except (LogbookError, OSError) as error:
        trouble = f"No copy of the logbook could be made in {_folder(book)}: {_reason(error)}"
    with contextlib.suppress(LogbookError):
        if trouble != book.ask(defaults.default, _TROUBLE):
            book.tell(defaults.set_default, _TROUBLE, trouble)


def _reason(error: LogbookError | OSError) -> str:
    """Why, without the rest of what an error of the logbook says, which is about the logbook."""
    if isinstance(error, OSError):
        return f"{error.strerror or error}."
    reasons = {"full": "there is too little room.", "place": "nothing can be written there."}
    if error.cause not in reasons and isinstance(error.__cause__, OSError):
        return _reason(error.__cause__)
    return reasons.get(error.cause, str(error))


def look_after(session: Session) -> tuple[str, ...]:
    """Make the copy of the day where it is due; gives what is to be said now, a sentence each.

    Meant for when nobody waits: after the first screen, after an answer. It never raises.
    """
    if session.invented or not session.path.exists():
        return ()
    try:
        with opened(session, make=False) as book:
            if book.read_only:
                return ()
            _kept_quiet(book, lambda: _by_the_day(session, book))
            return _to_be_said(session, book)
    except (LogbookUnusable, OSError):
        return ()


def _by_the_day(session: Session, book: Logbook) -> None:
    copies = kept_copies(_folder(book))
    began = book.ask(first_changed)
    now, today = session.clock(), today_at(session)
    if any(copy.made.astimezone(session.zone).date() == today for copy in copies):
        return
    book.ask(clear_copies, _own(book))
    if began is not None and (copies or now - began >= FIRST_HOUR):
        _copy(session, book)


def _to_be_said(session: Session, book: Logbook) -> tuple[str, ...]:
    said = []
    if (trouble := book.ask(defaults.default, _TROUBLE)) is not None:
        said.append(trouble)
    doubts = {
        "place": doubtful_place(book.path),
        "copies": _all_on_one_disk(session, book),
        "key": damaged_key_words(session, book),
        "clock": clock_doubt(session, book),
    }
    for name, sentence in doubts.items():
        if sentence is not None and _may_remind(session, book, name):
            said.append(sentence)
    return tuple(said)


def _may_remind(session: Session, book: Logbook, name: str) -> bool:
    """Whether this was not said for a while; it counts as said from now on."""
    key, now = f"reminded of {name}", session.clock()
    last = _time_of(book.ask(defaults.default, key))
    if last is not None and timedelta() <= now - last < REMINDED[name]:
        return False
    with contextlib.suppress(LogbookError):
        book.tell(defaults.set_default, key, now.astimezone(UTC).isoformat())
    return True


def _all_on_one_disk(session: Session, book: Logbook) -> str | None:
    """A sentence where the disk that fails would take the logbook and every copy; None elsewhere.

    A copy that somebody put on another disk counts for as long as the reminder waits.
    """
    began = book.ask(first_changed)
    if began is None or session.clock() - began < FIRST_DAY:
        return None
    if book.ask(defaults.default, INVENTED) is not None:
        return None
    if sum(book.ask(attempt_counts).values()) < WORTH_A_STICK:
        return None
    folder = _folder(book)
    if kept_copies(folder) and not may_be_one_disk(folder, book.path.parent):
        return None
    elsewhere = _time_of(book.ask(defaults.default, _ELSEWHERE))
    if elsewhere is None:
        lies = "The logbook and its copies lie on one disk, as far as can be told."
    elif session.clock() - elsewhere > REMINDED["copies"]:
        day = elsewhere.astimezone(session.zone)
        lies = f"The last copy on another disk is of {full_day(day)}."
    else:
        return None
    return (
        f"{lies} Put one on a stick: platebook backup FILE there, or all from now on:"
        " platebook backup --keep-in FOLDER."
    )


def _time_of(text: str | None) -> datetime | None:
    with contextlib.suppress(ValueError):
        return datetime.fromisoformat(text) if text else None
    return None


def copy_now(session: Session) -> Copy:
    """A copy because somebody asks for one; the newest serves where it says all."""
    with opened(session, make=False) as book:
        return _copy(session, book)


def copied_now(session: Session) -> str:
    """The same, told in a sentence."""
    return f"The logbook is copied to {copy_now(session).file}."


def keep_copies_in(session: Session, folder: Path | None) -> Path:
    """Make copies in this folder from now on, beside the logbook for None; gives where they go.

    In a folder of somebody's choosing they get one of their own, which several logbooks can have.
    The first copy is made at once. Refused for a folder that is not there.
    """
    with opened(session, make=False) as book:
        place = None
        if folder is not None:
            if not os.path.isdir(folder):  # noqa: PTH112 - of any name, however odd, it says no
                raise Refused(f"{shown_name(folder)}: is not a folder that is there. Make it first")
            place = str(folder.absolute() / f"{book.path.stem}-{book.new_id(session.clock())[-6:]}")
        here = copies_folder(book.path, place)
        try:
            book.ask(make_copy, book.path.stat().st_size, here, session.clock(), "")
        except LogbookError as error:
            raise Refused(f"{shown_name(here.parent)}: {_reason(error)} Nothing changed") from error
        book.tell(defaults.set_default, _FOLDER, place)
        note_folder(book.path, here)
        return here


def note_a_copy(session: Session, target: Path) -> None:
    """Remember that somebody put a copy on another disk; nothing is noted of one on this."""
    with contextlib.suppress(LogbookUnusable), opened(session, make=False) as book:
        if not book.read_only and not may_be_one_disk(target, book.path):
            now = session.clock().astimezone(UTC).isoformat()
            book.tell(defaults.set_default, _ELSEWHERE, now)


class KeptCopy(Value):
    """A copy in words: when it was made, before what, how much is in it.

    `attempts` is None where it cannot be read.
    """

    file: Path
    made: datetime
    before: str
    size: int
    attempts: int | None

    def words(self, now: datetime, zone: tzinfo) -> str:
        """As a person says it: "yesterday 21:10, 312 attempts, before an import"."""
        made = self.made.astimezone(zone)
        parts = [f"{recent_day(made.date(), now.astimezone(zone).date())} {made:%H:%M}"]
        held = "cannot be read"
        if self.attempts is not None:
            held = count_of(self.attempts, "attempt")
        parts.append(held)
        return ", ".join([*parts, *([self.before] if self.before else [])])


class Whereabouts(Value):
    """Where everything lies: the logbook, its copies (the newest first), what is to be minded.

    `size` and `copies_size` are bytes; `attempts` those in the logbook, None where it cannot be
    read. `beside` are copies that lie beside it from a migration, a restore or an erasing.
    """

    logbook: Path
    size: int
    attempts: int | None
    folder: Path
    copies: tuple[KeptCopy, ...]
    beside: tuple[Path, ...]
    notes: tuple[str, ...]

    @property
    def copies_size(self) -> int:
        """The bytes of all copies together, those beside the logbook too."""
        beside = sum(file.stat().st_size for file in self.beside if file.exists())
        return sum(copy.size for copy in self.copies) + beside


def whereabouts(session: Session) -> Whereabouts:
    """Where the logbook and its copies lie, how large they are, and what speaks against it.

    A logbook that cannot be read, or is gone, has copies all the same: those beside it, and those
    in the folder that is noted beside it.
    """
    path = session.path
    beside = copies_folder(path)
    attempts: int | None
    try:
        with opened(session, make=False) as book:
            folder = _folder(book)
            found = kept_copies(folder)
            attempts = sum(book.ask(attempt_counts).values())
            trouble = book.ask(defaults.default, _TROUBLE)
            disk = _all_on_one_disk(session, book)
    except LogbookUnusable as error:
        folder, attempts, disk = noted_folder(path), None if path.exists() else 0, None
        found = (*kept_copies(folder), *(kept_copies(beside) if beside != folder else ()))
        trouble = error.sentence if path.exists() else None
    copies = tuple(
        KeptCopy(c.file, c.made, _BEFORE.get(c.before, ""), c.size, attempts_in(c.file))
        for c in sorted(found, key=lambda copy: copy.age, reverse=True)
    )
    size = path.stat().st_size if path.is_file() else 0
    notes = tuple(filter(None, (trouble, doubtful_place(path), disk)))
    return Whereabouts(path, size, attempts, folder, copies, copies_beside(path), notes)


def copy_numbered(session: Session, number: int) -> Path:
    """The copy with this number in the list, 1 for the newest; Refused where there are fewer."""
    copies = whereabouts(session).copies
    if not 1 <= number <= len(copies):
        there = f"1 to {len(copies)}" if copies else "a file: there is no copy in the list"
        raise Refused(f"copy: read {number}, expected {there}")
    return copies[number - 1].file


def _own(book: Logbook) -> tuple[Path, ...]:
    """The copies that the program made and that erasing reaches into."""
    beside = (
        file for file in copies_beside(book.path) if any(word in file.name for word in _BESIDE)
    )
    return (*(copy.file for copy in kept_copies(_folder(book))), *beside)


def reach_copies(session: Session) -> Reached:
    """Take whoever was erased from the logbook out of its copies too.

    A copy made by the day that cannot be worked on goes instead; what was kept by a restore stays
    then, and is named.
    """
    with opened(session, make=False) as book:
        reached = book.ask(clear_copies, _own(book))
        folder = _folder(book)
    left = []
    for file in reached.unreached:
        if file.parent == folder:
            with contextlib.suppress(OSError):
                file.unlink()
        if file.exists():
            left.append(file)
    return Reached(reached.cleared, tuple(left))
