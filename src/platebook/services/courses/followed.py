"""The courses there are, the one that a setter follows, and what they keep down beside it.

| function | gives |
|---|---|
| `shipped`, `read_kept` | the courses that come with the program; one from a kept text |
| `course_of`, `course_mark` | the one a setter follows; what differs for another text of it |
| `own_fields`, `course_with_own` | what a setter keeps down beside the record, the course with it |
| `refuse_unknown_course` | Refused for an id that nobody knows |
"""

import functools
import hashlib

from platebook.logbook import Logbook, course_records, defaults, setter_records
from platebook.practice.courses.course import Course, ExtraField, with_extra
from platebook.practice.courses.course_file import load_course, shipped_course, shipped_courses
from platebook.practice.people.own_records import united
from platebook.practice.records import Setter
from platebook.services.session import Refused


@functools.lru_cache(maxsize=64)
def read_kept(text: str) -> Course:
    """A course from a text that is kept, read once: a class of one asks for it once a setter."""
    return load_course(text, kept=True)


def shipped() -> tuple[Course, ...]:
    """The courses that come with the program, the one offered first in front."""
    return tuple(map(read_kept, shipped_courses()))


def course_of(book: Logbook, setter: Setter | None) -> Course:
    """The course this setter follows: the text in force in this logbook, else the shipped one.

    Without a setter, or where their course is not to be had any more, the one offered first.
    """
    first, wanted = shipped_courses()[0], setter.course if setter is not None else None
    if wanted is None:
        return read_kept(first)
    kept = book.ask(course_records.text_in_force, wanted)
    if kept is not None:
        return read_kept(kept.text)
    try:
        return read_kept(shipped_course(wanted))
    except KeyError:
        return read_kept(first)


def course_with_own(book: Logbook, setter: Setter | None) -> Course:
    """The course this setter follows with the columns of their own beside its extra fields."""
    course = course_of(book, setter)
    own = own_fields(book, setter.setter_id) if setter is not None else ()
    return with_extra(course, own) or course


def own_fields(book: Logbook, setter_id: str | None) -> tuple[ExtraField, ...]:
    """The columns of a setter's own: what they keep down beside the record and their course."""
    return united(book.ask(setter_records.own_fields, setter_id)) if setter_id else ()


def course_mark(book: Logbook, setter: Setter) -> str:
    """What is different for another text of the course that this setter follows."""
    kept = book.ask(course_records.text_in_force, setter.course) if setter.course else None
    texts = (kept.text,) if kept is not None else shipped_courses()
    own = "".join(field.model_dump_json() for field in own_fields(book, setter.setter_id))
    return hashlib.sha256("\n".join([*texts, own]).encode("utf-8")).hexdigest()


def refuse_unknown_course(book: Logbook, course_id: str) -> None:
    """Refused, with the courses there are, for an id that neither ships nor was kept."""
    ids = [course.id for course in shipped()]
    if course_id not in ids and not book.ask(defaults.course_texts, course_id):
        raise Refused(f"course: read {course_id!r}, expected one of: {', '.join(ids)}, or a file")
