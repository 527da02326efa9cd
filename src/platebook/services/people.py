"""Setters by name or id: the one meant, or a clear no; and who signed, by name."""

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING

from platebook.practice.setter import Setter, named
from platebook.practice.sign_off import SignOff
from platebook.services.desk import Desk
from platebook.services.faults import Refused

if TYPE_CHECKING:
    from platebook.logbook import Logbook

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


def setter_in_use(desk: Desk, book: "Logbook") -> Setter:
    """The desk's setter; Refused, with what to do, where there is none."""
    from platebook.logbook import belongings

    found = with_id(book.ask(belongings.setters), desk.setter_id)
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
    from platebook.logbook import belongings

    given = book.ask(belongings.sign_offs, setter_id)
    setters = book.ask(belongings.setters) if given else ()
    return tuple(
        one.model_copy(update={"signed_by": signed_name(setters, one.signed_by)}) for one in given
    )
