"""Signing a grade off: an instructor's word that it is passed, where the course asks for one."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from platebook.practice.course import Course, Grade
from platebook.practice.setter import Setter, name_key
from platebook.practice.sign_off import SignOff
from platebook.practice.text import clean
from platebook.services.courses import course_of
from platebook.services.desk import Desk, today_at
from platebook.services.faults import Refused, opened
from platebook.services.people import find_setter

if TYPE_CHECKING:
    from platebook.analysis.progress import GradeProgress


@dataclass(frozen=True)
class Signed:
    """A sign-off that was recorded, and what was done in a sentence."""

    sign_off: SignOff
    setter: str
    sentence: str


def sign_off(desk: Desk, wanted: str, grade: str, *, by: str = "", comment: str = "") -> Signed:
    """Sign a grade off for a setter; it can be taken back.

    Refused, with the reason, where the course asks for none, where points are missing, where it is
    passed already, and where the setter would sign for themselves.
    """
    from platebook.analysis.progress import progress
    from platebook.analysis.whole_settings import whole_settings
    from platebook.logbook import belongings
    from platebook.logbook.adding import add_sign_off
    from platebook.logbook.attempts import select_attempts
    from platebook.logbook.wanted import Wanted

    with opened(desk, make=False) as book:
        setter = find_setter(book.ask(belongings.setters), wanted)
        setter_id = setter.setter_id or ""
        course = course_of(book, setter)
        attempts = book.ask(select_attempts, Wanted(setter_id=setter_id))
        given = book.ask(belongings.sign_offs, setter_id)
    meant = _grade(course, grade)
    standing = progress(course, attempts, today=today_at(desk), sign_offs=given).grade(meant.id)
    signer = clean(by) or desk.setter_id or desk.author
    wrong = _why_not(course, meant, standing)
    if name_key(signer) in {name_key(setter_id), name_key(setter.name)}:
        wrong = "by: nobody signs a grade off for themselves; say who does with --by"
    if wrong:
        raise Refused(wrong)
    settings = whole_settings(course, attempts)
    now = desk.clock()
    made = SignOff(
        setter_id=setter_id,
        course=course.id,
        grade=meant.id,
        signed_by=signer,
        attempt_id=(settings[-1].attempt.attempt_id or "") if settings else "",
        comment=clean(comment),
        signed=now.astimezone(desk.zone),
    )
    with opened(desk, make=False) as book:
        kept = book.tell(add_sign_off, made, book.stamp(desk.author, now, "add"))
    return Signed(kept, setter.name, _sentence(setter, meant))


def _sentence(setter: Setter, grade: Grade) -> str:
    return f"{grade.title} is signed off for {setter.name}; undo takes it back."


def _grade(course: Course, wanted: str) -> Grade:
    """The grade of this id or title; Refused, with those there are, for another one."""
    for grade in course.grades:
        if name_key(wanted) in {name_key(grade.id), name_key(grade.title)}:
            return grade
    known = ", ".join(grade.id for grade in course.grades)
    raise Refused(f"grade: read {clean(wanted)!r}, expected one of: {known}")


def _why_not(course: Course, grade: Grade, standing: "GradeProgress | None") -> str:
    """Why this grade cannot be signed off now; empty where it can."""
    if not course.asks_sign_off(grade.id):
        return f"grade: {grade.title} asks for no sign-off; {course.title} passes it by its points"
    if standing is None or standing.state == "waiting":
        return ""
    if standing.state == "passed":
        return f"grade: {grade.title} is signed off already"
    ones = "one good one" if standing.good_to_go == 1 else f"{standing.good_to_go} good ones"
    points = f"{standing.points} of {standing.promote_at} points"
    return f"grade: {grade.title} has {points}, {ones} to go; it can be signed off then"
