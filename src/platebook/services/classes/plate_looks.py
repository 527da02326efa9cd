"""A whole plate of one setter's, judged position by position and blind.

Each verdict is a look of its own (`inspections.inspect`), in the logbook as soon as it is given,
and a change of its own: undo takes them back one by one, the last one first. What was drawn at
random is kept before the plate is shown, so judging all of it chooses nobody's sample.
"""

from platebook.logbook import records, setter_records
from platebook.logbook.attempts.attempt_queries import select_attempts
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course
from platebook.practice.defects import comment_of
from platebook.practice.records import Inspection
from platebook.practice.results import Outcome, failed_in, outcome_of
from platebook.practice.seeing import SEEING
from platebook.practice.text import clean
from platebook.services.classes.inspections import draws_of
from platebook.services.courses.followed import course_of
from platebook.services.plates import plate_named
from platebook.services.session import Refused, Session, find_setter, opened
from platebook.values import Value


class LookGiven(Value):
    """What this session's own look said of a position, and only then what its setter had said.

    `outcome` is how the look counts in the setter's course.
    """

    inspection_id: str
    result: tuple[str, ...]
    severity: tuple[int, ...]
    comment: str
    own_result: tuple[str, ...]
    own_severity: tuple[int, ...]
    outcome: Outcome = ""


class PositionToJudge(Value):
    """One position: its attempt ("" where none was made), and the look at it once it is given.

    `grade` is in words, `drawn` says that it was drawn at random, `part` that it is a part
    exercise, and `exercise` which, in words; empty for a whole setting.
    """

    position: str
    attempt_id: str = ""
    grade: str = ""
    drawn: bool = False
    part: bool = False
    exercise: str = ""
    given: LookGiven | None = None


class PlateToJudge(Value):
    """A plate with its positions, `across` of them in a row; `plates` are all, the newest first."""

    setter: str
    setter_id: str
    plate: str
    across: int | None
    positions: tuple[PositionToJudge, ...]
    plates: tuple[str, ...]


def plate_to_judge(session: Session, setter_id: str, plate: str = "") -> PlateToJudge:
    """The setter's newest plate, or the one named, every position blind until it is judged.

    Refused where none of their attempts names a plate.
    """
    with opened(session, make=False) as book:
        setter = find_setter(book.ask(setter_records.setters), setter_id)
    there = _as_judged(session, setter_id, plate, draws_of(session, setter))
    if there is None:
        raise Refused(f"plate: {setter.name} has named none; q shows the attempts one by one")
    return there


def plate_as_judged(session: Session, setter_id: str, plate: str = "") -> PlateToJudge | None:
    """The same to look at only: nothing is drawn for it, and None where they have named no plate.

    No position says whether it was drawn.
    """
    return _as_judged(session, setter_id, plate, frozenset())


def _as_judged(
    session: Session, setter_id: str, plate: str, drawn: frozenset[str]
) -> PlateToJudge | None:
    with opened(session, make=False) as book:
        setter = find_setter(book.ask(setter_records.setters), setter_id)
        log = book.ask(select_attempts, Wanted(setter_id=setter_id))
        attempts = [a for a in log if a.part != SEEING]
        laid_out = book.ask(setter_records.plates, setter_id)
        course = course_of(book, setter)
        looks = [
            look
            for look in book.ask(setter_records.inspections, setter_id)
            if look.inspector == session.signs_as
        ]
    titles = {grade.id: grade.title for grade in course.grades}
    names = tuple(dict.fromkeys(a.plate for a in reversed(attempts) if a.plate))
    wanted = plate if plate in names else next(iter(names), "")
    view = plate_named(attempts, laid_out, wanted) if wanted else None
    if view is None:
        return None
    made = {a.attempt_id: a for a in attempts}
    given = {look.attempt_id: look for look in looks}
    positions = []
    for cell in view.cells:
        attempt = made.get(cell.attempt_id)
        if attempt is None:
            positions.append(PositionToJudge(cell.position))
            continue
        look = given.get(cell.attempt_id)
        positions.append(
            PositionToJudge(
                position=cell.position,
                attempt_id=cell.attempt_id,
                grade=titles.get(attempt.grade or "", attempt.grade or ""),
                drawn=cell.attempt_id in drawn,
                part=attempt.kind == "part",
                exercise=_exercise(course, attempt) if attempt.kind == "part" else "",
                given=look_given(course, attempt, look) if look else None,
            )
        )
    return PlateToJudge(setter.name, setter_id, view.name, view.across, tuple(positions), names)


def _exercise(course: Course, attempt: Attempt) -> str:
    """The part exercise in the course's words, else as it was logged."""
    known = course.exercise(attempt.exercise) if attempt.exercise else None
    return known.title if known is not None else attempt.part or attempt.exercise or ""


def look_given(course: Course, attempt: Attempt, look: Inspection) -> LookGiven:
    """A look that is recorded, with the setter's own beside it."""
    looked_at = attempt.with_values(result=look.result, severity=look.severity, rescued=None)
    return LookGiven(
        inspection_id=look.inspection_id or "",
        result=look.result or (),
        severity=look.severity or (),
        comment=look.comment,
        own_result=attempt.result or (),
        own_severity=attempt.severity or (),
        outcome=outcome_of(looked_at, failed=failed_in(course, looked_at)),
    )


def comment_on(session: Session, inspection_id: str, comment: str) -> str:
    """Put a comment to a look that was given, in place of the one before; gives its words.

    A digit picks a stock comment on its result. Refused for somebody else's look.
    """
    with opened(session, make=False) as book:
        look = next(
            (i for i in book.ask(setter_records.inspections) if i.inspection_id == inspection_id),
            None,
        )
        if look is None or look.inspector != session.signs_as:
            raise Refused("comment: a comment goes with a look of your own")
        words, wanted = comment_of(look.result or (), clean(comment))
        if words is None:
            raise Refused(f"comment: read {clean(comment)!r}, expected {wanted}")
        said = look.model_copy(update={"comment": words})
        book.tell(records.amend, "inspection", inspection_id, said, session.stamp(book, "comment"))
    return words
