"""Who a class is, with what their kept answers rest on; their logs are read only where needed.

A class of hundreds is listed by a handful of questions to the logbook, not by hundreds.
"""

import hashlib
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from platebook.practice.course import Course
from platebook.practice.setter import Setter, name_key
from platebook.practice.text import clean
from platebook.services.courses import course_of
from platebook.services.desk import Desk
from platebook.services.faults import Refused, opened
from platebook.services.roster import Listed, listed

if TYPE_CHECKING:
    from platebook.logbook import Logbook
    from platebook.services.class_work import SetterLog


@dataclass(frozen=True, slots=True)
class Member:
    """One setter of a class: how they are called there, how many attempts, what answers rest on.

    `called` is a name that nobody else of the class has. `digest` is another one after every change
    that is analysed, `with_draws` after a draw too, `course_mark` for another text of the course.
    """

    setter: Setter
    called: str
    course: Course
    attempts: int
    digest: str
    with_draws: str
    course_mark: str

    @property
    def rests_on(self) -> str:
        """What an analysis of the setter's log rests on."""
        return f"{self.digest} {self.course_mark}"

    @property
    def line_rests_on(self) -> str:
        """What the setter's line rests on: the log, and what was drawn of it."""
        return f"{self.with_draws} {self.course_mark}"

    @property
    def setter_id(self) -> str:
        """The setter's id."""
        return self.setter.setter_id or ""


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


def members(desk: Desk, group: str | None = None) -> tuple[Member, ...]:
    """The active setters of a group, or of the whole logbook; Refused for a group nobody is in."""
    chosen = [one for one in roster_of(desk, group) if one.setter.active]
    if not chosen:
        return ()
    with opened(desk) as book:
        return tuple(enrolled(book, ((one.setter, one.attempts) for one in chosen)))


def enrolled(book: "Logbook", chosen: Iterable[tuple[Setter, int]]) -> Iterator[Member]:
    """These setters, each with how many attempts they have, as a class."""
    digests, with_draws = book.digests(), book.digests_with_draws()
    courses: dict[str | None, tuple[Course, str]] = {}
    taken: Counter[str] = Counter()
    for setter, attempts in chosen:
        if setter.course not in courses:
            course = course_of(book, setter)
            text = course.model_dump_json()
            courses[setter.course] = course, hashlib.sha256(text.encode("utf-8")).hexdigest()
        course, mark = courses[setter.course]
        taken[setter.name] += 1
        number = taken[setter.name]
        yield Member(
            setter=setter,
            called=setter.name if number == 1 else f"{setter.name} ({number})",
            course=course,
            attempts=attempts,
            digest=digests.get(setter.setter_id or "", ""),
            with_draws=with_draws.get(setter.setter_id or "", ""),
            course_mark=mark,
        )


def log_of(book: "Logbook", member: Member) -> "SetterLog":
    """The setter's log as plain values."""
    from platebook.services.answers import sign_offs_of
    from platebook.services.class_work import SetterLog

    return SetterLog(
        rests_on=f"{book.replica} {member.setter_id} {member.rests_on}",
        setter=member.setter,
        course=member.course,
        rows=book.plain_attempts(member.setter_id),
        inspections=book.inspections(member.setter_id),
        draws=book.draws(member.setter_id),
        sign_offs=sign_offs_of(book, member.setter_id),
        verdicts=book.verdicts_before_looks(member.setter_id),
    )
