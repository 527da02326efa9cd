"""Who is in the class, with what an instructor's answers about each rest on."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from platebook.practice.attempt import Attempt
from platebook.practice.course import Course
from platebook.practice.draw import Draw
from platebook.practice.inspection import Inspection
from platebook.practice.setter import Setter, name_key
from platebook.practice.sign_off import SignOff
from platebook.practice.text import clean
from platebook.services.answers import sign_offs_of
from platebook.services.courses import course_of
from platebook.services.desk import Desk
from platebook.services.faults import Refused, opened
from platebook.services.roster import Listed, listed

if TYPE_CHECKING:
    from platebook.logbook import Logbook


@dataclass(frozen=True)
class Member:
    """One setter of the class with what an instructor's answers rest on."""

    setter: Setter
    course: Course
    attempts: tuple[Attempt, ...]
    inspections: tuple[Inspection, ...]
    draws: tuple[Draw, ...] = ()
    sign_offs: tuple[SignOff, ...] = ()
    verdicts: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)

    @property
    def others_looks(self) -> tuple[Inspection, ...]:
        """Looks by someone else; a setter's own second look is their own affair."""
        mine = {self.setter.setter_id, self.setter.name}
        return tuple(look for look in self.inspections if look.inspector not in mine)

    @property
    def looked_at(self) -> frozenset[str]:
        """The ids of attempts that someone else looked at."""
        return frozenset(look.attempt_id for look in self.others_looks)

    @property
    def as_judged_then(self) -> tuple[Attempt, ...]:
        """The attempts as they were judged before their setter heard of a look."""
        if not self.verdicts:
            return self.attempts
        then = ((a, self.verdicts.get(a.attempt_id or "")) for a in self.attempts)
        return tuple(a.with_values(**verdict) if verdict else a for a, verdict in then)


def members(desk: Desk, group: str | None = None) -> tuple[Member, ...]:
    """The active setters of a group, or of the whole logbook; Refused for a group nobody is in."""
    chosen = [one.setter for one in roster_of(desk, group) if one.setter.active]
    if not chosen:
        return ()
    with opened(desk) as book:
        return tuple(_member(book, setter) for setter in chosen)


def _member(book: "Logbook", setter: Setter) -> Member:
    setter_id = setter.setter_id or ""
    looks = book.inspections(setter_id)
    return Member(
        setter=setter,
        course=course_of(book, setter),
        attempts=book.attempts(setter_id),
        inspections=looks,
        draws=book.draws(setter_id),
        sign_offs=sign_offs_of(book, setter_id),
        verdicts=book.verdicts_before_looks(
            setter_id, (look.attempt_id for look in looks if look.drawn_at_random)
        ),
    )


def roster_of(desk: Desk, group: str | None = None) -> tuple[Listed, ...]:
    """Everyone of a group, those who no longer come too; Refused for a group nobody is in."""
    everyone = listed(desk)
    groups = {name_key(one.setter.group): one.setter.group for one in everyone if one.setter.group}
    if group is None:
        return everyone
    if name_key(group) not in groups:
        known = ", ".join(groups.values()) or "none yet (setter add --group)"
        raise Refused(f"group: read {clean(group)!r}, expected one of: {known}")
    return tuple(one for one in everyone if name_key(one.setter.group) == name_key(group))
