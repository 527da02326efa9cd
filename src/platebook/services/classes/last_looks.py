"""What stands beside the queue where there is room: one's own last looks, the seat that is wanted.

Only looks of this session's own are told: what somebody else saw would speak before one's own eye.
"""

from platebook.logbook import setter_records
from platebook.logbook.attempts.attempt_queries import select_attempts
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.practice.people.received import SeenLook
from platebook.services.answers import sizes_for_grade
from platebook.services.courses.followed import course_of
from platebook.services.from_others import from_others
from platebook.services.session import Session, find_setter, opened
from platebook.trade.setup_sheet import SetUpSheet
from platebook.values import Value, replace

MOST_LOOKS = 5


class AtTheirGrade(Value):
    """Of a setter and a grade of theirs: own looks at their work, newest first; its sizes."""

    setter_id: str
    grade: str
    looks: tuple[SeenLook, ...] = ()
    sizes: SetUpSheet | None = None


def at_their_grade(session: Session, setter_id: str, grade: str) -> AtTheirGrade:
    """What is known before a look at this setter's work at this grade, by its id."""
    with opened(session, make=False) as book:
        setter = find_setter(book.ask(setter_records.setters), setter_id)
        course = course_of(book, setter)
        attempts = book.ask(select_attempts, Wanted(setter_id=setter_id))
        given = {
            look.inspection_id
            for look in book.ask(setter_records.inspections, setter_id)
            if look.inspector == session.signs_as
        }
    theirs = replace(session, setter_id=setter_id, setter_name=setter.name)
    looks = [one for one in from_others(theirs).looks if one.inspection_id in given]
    wanted = next((each for each in course.grades if each.id == grade), None)
    looks.sort(key=lambda one: one.inspection_id, reverse=True)
    return AtTheirGrade(
        setter_id, grade, tuple(looks[:MOST_LOOKS]), sizes_for_grade(wanted, attempts)
    )
