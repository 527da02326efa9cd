"""Setters by name or id: the one meant, or a clear no."""

import re
from collections.abc import Iterable

from platebook.practice.setter import Setter, named
from platebook.services.faults import Refused

SOMEONE = "an instructor"
NOBODY = "erased"
"""What stands in the logbook for a person who was erased."""

_AN_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")


def with_id(setters: Iterable[Setter], setter_id: str | None) -> Setter | None:
    """The setter of this id, or None."""
    return next((s for s in setters if s.setter_id == setter_id), None)


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
