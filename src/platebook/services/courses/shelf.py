"""The courses there are: those that come with the program and a logbook's own, with their past.

And a file that begins as one of them, to be made into another.
"""

from datetime import datetime
from pathlib import Path

from platebook.logbook import course_records
from platebook.logbook.defaults import all_course_texts
from platebook.practice.courses.course import Course
from platebook.practice.courses.course_file import as_new_course, read_course, shipped_course
from platebook.practice.problem import only_problems
from platebook.practice.text import clean, has_unsafe
from platebook.services.courses.followed import shipped
from platebook.services.courses.in_force import in_force
from platebook.services.courses.waiting import CourseWaiting, waiting_of
from platebook.services.files import write_new
from platebook.services.session import Refused, Session, opened, refusal_of
from platebook.values import Value


class ListedCourse(Value):
    """A course there is: `own` where it does not come with the program."""

    course: Course
    own: bool
    setters: int
    waiting: tuple[CourseWaiting, ...] = ()


def listed_courses(session: Session) -> tuple[ListedCourse, ...]:
    """The courses that come with the program, then those of this logbook, with what waits."""
    come = shipped()
    if not session.path.exists():
        return tuple(ListedCourse(course, own=False, setters=0) for course in come)
    with opened(session) as book:
        kept = dict.fromkeys(text.course for text in book.ask(all_course_texts))
        ids = dict.fromkeys([*(course.id for course in come), *kept])
        return tuple(
            ListedCourse(
                course,
                own=all(course.id != one.id for one in come),
                setters=len(book.ask(course_records.set_at, course_id).followers),
                waiting=waiting_of(book, course_id),
            )
            for course_id in ids
            if (course := in_force(book, course_id)) is not None
        )


class PastVersion(Value):
    """One version that was put in force in this logbook: which, who did what, and when."""

    version: int
    what: str
    author: str
    when: datetime
    stands: bool


class CourseShown(Value):
    """A course as it is in force here, its text, and what was in force before, oldest first."""

    course: Course
    text: str
    history: tuple[PastVersion, ...] = ()


def course_shown(session: Session, course_id: str) -> CourseShown:
    """One course; Refused, with those there are, for an id that is not known."""
    come = {course.id: course for course in shipped()}
    if not session.path.exists():
        if course_id in come:
            return CourseShown(come[course_id], shipped_course(course_id))
        raise Refused(f"id: read {course_id!r}, expected one of: {', '.join(come)}")
    with opened(session) as book:
        course = in_force(book, course_id)
        if course is None:
            ids = dict.fromkeys([*come, *(kept.course for kept in book.ask(all_course_texts))])
            raise Refused(f"id: read {course_id!r}, expected one of: {', '.join(ids)}")
        kept = book.ask(course_records.text_in_force, course_id)
        past = book.ask(course_records.own_history, course_id)
    text = kept.text if kept is not None else shipped_course(course_id)
    history = tuple(
        PastVersion(
            version=int(revision.row["version"]),
            what="taken back" if revision.hidden else revision.change.what,
            author=revision.change.author,
            when=revision.change.wall.astimezone(session.zone),
            stands=revision is past[-1] and not revision.hidden,
        )
        for revision in past
    )
    return CourseShown(course, text, history)


def write_new_course(session: Session, file: Path, like: str, course_id: str) -> None:
    """Write a course like another one there is, under an id of its own, to a new file.

    Refused for an id that comes with the program, that this logbook knows or that cannot be one,
    and where the file is there already.
    """
    known = {one.course.id: one.own for one in listed_courses(session)}
    if like not in known:
        raise Refused(f"--like: read {like!r}, expected one of: {', '.join(known)}")
    if course_id in known:
        has_it = "this logbook has already" if known[course_id] else "comes with platebook"
        raise Refused(f"id: read {course_id!r}, which {has_it}, expected an id of your own")
    if has_unsafe(course_id):
        raise Refused(
            f"id: read {clean(course_id)!r} and a sign that is no text, expected text only"
        )
    text = as_new_course(course_shown(session, like).text, course_id)
    _, problems = read_course(text, name=file.name)
    if wrong := only_problems(problems):
        raise refusal_of(wrong)
    write_new(file, text)
