"""Which course a setter follows, and the courses there are to choose from."""

import functools
import hashlib
from typing import TYPE_CHECKING

from platebook.practice.course import Course
from platebook.practice.records import Setter
from platebook.services.session import Refused

if TYPE_CHECKING:
    from platebook.logbook import Logbook


def shipped() -> tuple[Course, ...]:
    """The courses that come with the program, the one offered first in front."""
    from platebook.practice.course_file import shipped_courses

    return tuple(map(_read, shipped_courses()))


def course_of(book: "Logbook", setter: Setter | None) -> Course:
    """The course this setter follows: the newest text the logbook keeps, else the shipped one.

    Without a setter, or where their course is not to be had any more, the one offered first.
    """
    from platebook.logbook import defaults

    first, *others = shipped()
    wanted = setter.course if setter is not None else None
    if wanted is None:
        return first
    kept = book.ask(defaults.course_texts, wanted)
    if kept:
        return _read(kept[-1].text)
    return next((c for c in (first, *others) if c.id == wanted), first)


@functools.lru_cache(maxsize=64)
def _read(text: str) -> Course:
    """A course from its text, read once: a class of one course asks for it once a setter."""
    from platebook.practice.course_file import load_course

    return load_course(text)


def course_mark(book: "Logbook", setter: Setter) -> str:
    """What is different for another text of the course that this setter follows."""
    from platebook.logbook import defaults
    from platebook.practice.course_file import shipped_courses

    kept = book.ask(defaults.course_texts, setter.course) if setter.course is not None else ()
    texts = (kept[-1].text,) if kept else shipped_courses()
    return hashlib.sha256("\n".join(texts).encode("utf-8")).hexdigest()


def refuse_unknown_course(book: "Logbook", course_id: str) -> None:
    """Refused, with the courses there are, for an id that neither ships nor was kept."""
    from platebook.logbook import defaults

    ids = [course.id for course in shipped()]
    if course_id not in ids and not book.ask(defaults.course_texts, course_id):
        raise Refused(f"course: read {course_id!r}, expected one of: {', '.join(ids)}, or a file")
