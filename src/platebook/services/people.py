"""Setters by name or id: the one meant, or a clear no."""

from collections.abc import Iterable

from platebook.practice.setter import Setter, named
from platebook.services.faults import Refused


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


def same_name(found: Iterable[Setter]) -> str:
    """Several people of one name, told apart by group and id."""
    return "; ".join(
        f"{s.name}{f' of {s.group}' if s.group else ''} ({s.setter_id})" for s in found
    )
