"""Who a class is: its roster, and each of its setters with what answers about them rest on."""

import hashlib
from collections import Counter
from collections.abc import Iterable, Iterator

from platebook.logbook import Logbook, defaults, setter_records
from platebook.practice.courses.course import Course
from platebook.practice.records import Setter
from platebook.services.classes.terms import day_in, find_term, roll_of
from platebook.services.courses.followed import course_of
from platebook.services.people.setters import ListedSetter, list_setters, listed_on
from platebook.services.session import Session, opened, today_at
from platebook.values import Value, replace


class Pupil(Value):
    """One setter of a class: how they are called there, how many attempts, what answers rest on.

    `called` is a name that nobody else of the class has. `rests_on` is other after every change
    that concerns the setter, and for another text of their course; but not after a draw for an
    instructor's look, which only counts up `draws`: no answer but the queue rests on it. `left`
    stands, among everyone, for who has left the classes they were in.
    """

    setter: Setter
    called: str
    course: Course
    attempts: int
    rests_on: str
    draws: int = 0
    left: bool = False

    @property
    def setter_id(self) -> str:
        """The setter's id."""
        return self.setter.setter_id or ""


def roster_of(session: Session, group: str | None = None) -> tuple[ListedSetter, ...]:
    """Everyone of a class, those who are put aside too; Refused for a class that is not there.

    Of a class that has ended it is who was in it on its last day.
    """
    if group is None:
        return list_setters(session)
    with opened(session) as book:
        today = today_at(session)
        roll = roll_of(book, today)
        term = find_term(roll, group, today, what="group")
        there = {person.setter_id for person in roll.members_on(term, day_in(term, today))}
        everyone = listed_on(book, roll, today)
    return tuple(listed for listed in everyone if listed.setter.setter_id in there)


def pupils(session: Session, group: str | None = None) -> tuple[Pupil, ...]:
    """The active setters of a group, or of the whole logbook; Refused for a group nobody is in."""
    chosen = [listed for listed in roster_of(session, group) if listed.setter.active]
    if not chosen:
        return ()
    with opened(session) as book:
        enrolled = enrol(book, ((listed.setter, listed.attempts) for listed in chosen))
        return tuple(
            replace(pupil, left=group is None and bool(listed.left))
            for pupil, listed in zip(enrolled, chosen, strict=True)
        )


def enrol(book: Logbook, chosen: Iterable[tuple[Setter, int]]) -> Iterator[Pupil]:
    """These setters, each with how many attempts they have, as a class."""
    digests, draws = book.ask(defaults.digests), book.ask(setter_records.draw_counts)
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
        yield Pupil(
            setter=setter,
            called=setter.name if number == 1 else f"{setter.name} ({number})",
            course=course,
            attempts=attempts,
            rests_on=f"{digests.get(setter.setter_id or '', '')} {mark}",
            draws=draws.get(setter.setter_id or "", 0),
        )
