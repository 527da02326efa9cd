"""From a place and a name to a desk: which logbook, and who is using it."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from platebook.services.desk import Desk
from platebook.services.faults import Refused, opened
from platebook.services.people import find_setter, with_id

if TYPE_CHECKING:
    from platebook.logbook import Logbook

SETTER_IN_USE = "setter"
INVENTED = "invented"


def system_clock() -> datetime:
    """The time now, in UTC; the one clock of the program."""
    return datetime.now(UTC)


def desk_at(
    place: str | Path | None = None,
    *,
    setter: str | None = None,
    clock: Callable[[], datetime] = system_clock,
    look: bool = True,
) -> Desk:
    """The desk at this logbook (default: the one in the data folder) with its setter in use.

    `setter` names another person than the logbook's default, by name or id. A logbook that does not
    exist yet is not made here, and with `look` False none is opened. Raises LogbookUnusable, and
    Refused for an unknown setter.
    """
    from tzlocal import get_localzone

    from platebook.logbook.place import logbook_path

    desk = Desk(path=logbook_path(place), clock=clock, zone=get_localzone())
    if not look:
        return desk
    if not desk.path.exists():
        if setter is not None:
            raise Refused(f"setter: read {setter!r}, but there is no logbook yet at {desk.path}")
        return desk
    with opened(desk) as book:
        return seated(desk, book, setter)


def seated(desk: Desk, book: "Logbook", setter: str | None = None) -> Desk:
    """The desk with the setter in use of this logbook, or the one named."""
    from platebook.logbook import belongings, keeping

    if book.ask(keeping.default, INVENTED) == "yes":
        desk = Desk(desk.path, desk.clock, desk.zone, invented=True)
    if setter is not None:
        found = find_setter(book.ask(belongings.setters), setter)
        return desk.for_setter(found.setter_id or "", found.name)
    in_use = with_id(book.ask(belongings.setters), book.ask(keeping.default, SETTER_IN_USE))
    return desk.for_setter(in_use.setter_id or "", in_use.name) if in_use is not None else desk
