"""Who uses the program, where the logbook is, what time it is: what use cases are handed."""

import contextlib
import dataclasses
import re
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime, tzinfo
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from platebook.practice.records import Setter, SignOff, named

if TYPE_CHECKING:
    from platebook.logbook import Logbook


@dataclass(frozen=True)
class Session:
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

    def for_setter(self, setter_id: str, name: str) -> "Session":
        """The same desk with this setter in use, who signs their own changes."""
        return dataclasses.replace(self, setter_id=setter_id, setter_name=name, author=name)


def today_at(session: Session) -> date:
    """The day it is at the bench."""
    return session.clock().astimezone(session.zone).date()


class LogbookUnusable(Exception):  # noqa: N818 - named for what is so, not for being an error
    """The logbook cannot be used; `sentence` says why and what to do, `cause` is its short code."""

    def __init__(self, sentence: str, cause: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.cause = cause


class Refused(Exception):  # noqa: N818 - named for what is so, not for being an error
    """The request cannot be carried out as things stand; nothing was changed."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


@contextmanager
def opened(
    session: "Session", *, make: bool = True, rehearsal: bool = False
) -> "Iterator[Logbook]":
    """The desk's logbook, open for one use case in this thread, and closed after it.

    One that is not there yet is made, unless `make` is False. For a `rehearsal`, which stores
    nothing, it is made in a folder that goes away afterwards.
    """
    from platebook.logbook import LogbookError, open_logbook

    try:
        with contextlib.ExitStack() as stack:
            path = session.path
            if rehearsal and not path.exists():
                path = Path(stack.enter_context(TemporaryDirectory())) / path.name
            yield stack.enter_context(open_logbook(path, create=make))
    except LogbookError as fault:
        raise LogbookUnusable(str(fault), fault.cause) from fault


SOMEONE = "an instructor"
NOBODY = "erased"
"""What stands in the logbook for a person who was erased."""

NOBODY_IN_USE = (
    "setter: nobody is in use. Add one with `platebook setter add NAME`, "
    "or choose one with `platebook setter use NAME` or --setter NAME."
)

_AN_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")


def with_id(setters: Iterable[Setter], setter_id: str | None) -> Setter | None:
    """The setter of this id, or None."""
    return next((s for s in setters if s.setter_id == setter_id), None)


def setter_in_use(session: Session, book: "Logbook") -> Setter:
    """The desk's setter; Refused, with what to do, where there is none."""
    from platebook.logbook import setter_records

    found = with_id(book.ask(setter_records.setters), session.setter_id)
    if found is None:
        raise Refused(NOBODY_IN_USE)
    return found


def find_setter(setters: Iterable[Setter], wanted: str) -> Setter:
    """The one setter with this id or name; Refused where none is, or where several share it."""
    known = tuple(setters)
    by_id = [s for s in known if s.setter_id == wanted]
    found = by_id or list(named(known, wanted))
    if len(found) == 1:
        return found[0]
    if not found:
        names = ", ".join(sorted(s.name for s in known)[:12]) or "nobody yet"
        raise Refused(f"setter: read {wanted!r}, expected one of: {names}")
    raise Refused(f"setter: read {wanted!r}, which is {same_name(found)}. Say which by id.")


def signed_name(setters: Iterable[Setter], given: str) -> str:
    """Who looked or signed, by name; "an instructor" for one whom the logbook does not know."""
    found = with_id(setters, given)
    if found is not None:
        return found.name
    return SOMEONE if given in {"", NOBODY} or _AN_ID.fullmatch(given) else given


def same_name(found: Iterable[Setter]) -> str:
    """Several people of one name, told apart by group and id."""
    return "; ".join(
        f"{s.name}{f' of {s.group}' if s.group else ''} ({s.setter_id})" for s in found
    )


def sign_offs_of(book: "Logbook", setter_id: str) -> tuple[SignOff, ...]:
    """What was signed off for a setter, with who signed by name."""
    from platebook.logbook import setter_records

    given = book.ask(setter_records.sign_offs, setter_id)
    setters = book.ask(setter_records.setters) if given else ()
    return tuple(
        one.model_copy(update={"signed_by": signed_name(setters, one.signed_by)}) for one in given
    )


SETTER_IN_USE = "setter"
INVENTED = "invented"


def system_clock() -> datetime:
    """The time now, in UTC; the one clock of the program."""
    return datetime.now(UTC)


def session_at(
    place: str | Path | None = None,
    *,
    setter: str | None = None,
    clock: Callable[[], datetime] = system_clock,
    look: bool = True,
) -> Session:
    """The desk at this logbook (default: the one in the data folder) with its setter in use.

    `setter` names another person than the logbook's default, by name or id. A logbook that does not
    exist yet is not made here, and with `look` False none is opened. Raises LogbookUnusable, and
    Refused for an unknown setter.
    """
    from tzlocal import get_localzone

    from platebook.logbook.file.place import logbook_path

    session = Session(path=logbook_path(place), clock=clock, zone=get_localzone())
    if not look:
        return session
    if not session.path.exists():
        if setter is not None:
            raise Refused(f"setter: read {setter!r}, but there is no logbook yet at {session.path}")
        return session
    with opened(session) as book:
        return seated(session, book, setter)


def seated(session: Session, book: "Logbook", setter: str | None = None) -> Session:
    """The desk with the setter in use of this logbook, or the one named."""
    from platebook.logbook import defaults, setter_records

    if book.ask(defaults.default, INVENTED) == "yes":
        session = Session(session.path, session.clock, session.zone, invented=True)
    if setter is not None:
        found = find_setter(book.ask(setter_records.setters), setter)
        return session.for_setter(found.setter_id or "", found.name)
    in_use = with_id(book.ask(setter_records.setters), book.ask(defaults.default, SETTER_IN_USE))
    return (
        session.for_setter(in_use.setter_id or "", in_use.name) if in_use is not None else session
    )
