"""The course of the setter in use as a page: its grades with where they stand, its exercises.

A teacher, who has no log, sees the course that the class in view follows.
"""

from platebook.advice.suggestion import slight_of
from platebook.analysis.grades.exercise_rows import ExerciseRow, exercise_rows
from platebook.analysis.grades.progress import GradeProgress, Progress, progress
from platebook.analysis.grades.run_lengths import run_lengths
from platebook.logbook import defaults
from platebook.practice.courses.course import Course, Exercise, Grade
from platebook.reports.text.course_text import passing_words, watch_words
from platebook.services.answers import basis_of
from platebook.services.classes.terms import IN_VIEW, roll_of
from platebook.services.courses.followed import course_of
from platebook.services.courses.in_force import in_force
from platebook.services.courses.waiting import CourseWaiting, waiting_courses
from platebook.services.session import Session, opened, today_at
from platebook.trade.phrases import count_of
from platebook.values import Value

GRADES = "Grades"
GROUPS = {"whole": "Stones, rows and patterns", "block": "Blocks", "part": "Parts by themselves"}
"""What the exercises of each kind are called together."""


class CourseRow(Value):
    """One grade or exercise: its title, a short word on the right, and sentences about it.

    The word is a grade's state or what an exercise trains; `practised` says that the work is at it.
    `odds` says how likely its points pass somebody, and its watch sees them slip.
    `grade` or `exercise` is its id, the other None; `group` is what it is among its like.
    """

    title: str
    right: str
    about: tuple[str, ...]
    practised: bool = False
    grade: str | None = None
    exercise: str | None = None
    odds: tuple[str, ...] = ()
    group: str = GRADES


class StandsAt(Value):
    """Where one stands in a course: at which of its grades, the easiest first, and what is to come.

    `place` counts from 1, `passed` is how many of the `of` are passed, and `good_to_go` how many
    good ones in a row pass this one. `next_title` and `next_asks` are of the grade after it, empty
    at the last.
    """

    title: str
    place: int
    of: int
    passed: int
    good_to_go: int
    next_title: str = ""
    next_asks: str = ""


class CourseView(Value):
    """A course: what it is, its grades easiest first, and its exercises.

    `stands` is None for a teacher. `waiting` are course texts from elsewhere that wait for an
    answer, this course's first.
    """

    title: str
    about: str
    grades: tuple[CourseRow, ...]
    exercises: tuple[CourseRow, ...]
    waiting: tuple[CourseWaiting, ...] = ()
    stands: StandsAt | None = None


def course_view(session: Session) -> CourseView:
    """The course that the setter in use follows, or the class of the teacher who is."""
    if session.teacher_id is not None:
        course = course_taught(session)
        return CourseView(
            title=course.title,
            about=course.about,
            grades=tuple(_grade(course, grade, None) for grade in course.grades),
            exercises=tuple(
                _exercise(e, None, slight_of(course, e.kind)) for e in course.exercises
            ),
            waiting=_waiting(session, course),
        )
    basis = basis_of(session)
    standing = progress(
        basis.course,
        basis.attempts,
        today=today_at(session),
        sign_offs=basis.sign_offs,
        curves=False,
    )
    rows = {row.exercise: row for row in exercise_rows(basis.course, basis.attempts)}
    return CourseView(
        title=basis.course.title,
        about=basis.course.about,
        grades=tuple(
            _grade(basis.course, grade, standing.grade(grade.id)) for grade in basis.course.grades
        ),
        exercises=tuple(
            _exercise(e, rows.get(e.id), slight_of(basis.course, e.kind))
            for e in basis.course.exercises
        ),
        waiting=_waiting(session, basis.course),
        stands=_stands(basis.course, standing),
    )


def course_taught(session: Session) -> Course:
    """The course of the class in view; of a class that names none the one offered first."""
    with opened(session, make=False) as book:
        roll = roll_of(book, today_at(session))
        in_view = book.ask(defaults.default, IN_VIEW)
        named = next((t.course for t in roll.terms if t.class_id == in_view), None)
        course = in_force(book, named) if named else None
        return course if course is not None else course_of(book, None)


def _waiting(session: Session, course: Course) -> tuple[CourseWaiting, ...]:
    return tuple(sorted(waiting_courses(session), key=lambda one: one.course != course.id))


def _stands(course: Course, standing: Progress) -> StandsAt | None:
    """At the grade practised, of several tracks the hardest one begun; None where none is."""
    here = [n for n, grade in enumerate(standing.grades) if grade.practised]
    if not here:
        return None
    place = here[-1]
    after = course.grades[place + 1] if place + 1 < len(course.grades) else None
    return StandsAt(
        title=course.grades[place].title,
        place=place + 1,
        of=len(course.grades),
        passed=sum(grade.state == "passed" for grade in standing.grades),
        good_to_go=standing.grades[place].good_to_go,
        next_title=after.title if after is not None else "",
        next_asks=_asks(after) if after is not None else "",
    )


def _asks(grade: Grade) -> str:
    stones = ", ".join(f"{size:g}" for size in grade.stones_mm)
    cut = "hand-cut " if grade.hand_cut else ""
    return f"Stones of {stones} mm, {cut}{grade.stone_material}; {grade.method}."


def _grade(course: Course, grade: Grade, standing: GradeProgress | None) -> CourseRow:
    layers = f", {grade.layers} layers" if grade.layers > 1 else ""
    back = "the back encloses the point" if grade.culet == "enclosed" else "the point may stand out"
    points = grade.points
    curved = f", a {grade.curve} of {grade.curve_radius_mm:g} mm radius" if grade.curved else ""
    about = [
        _asks(grade),
        f"{grade.metal[:1].upper()}{grade.metal[1:]}, sheet {grade.sheet}{layers}{curved}; {back}.",
        f"Points: good +{points.good}, failure {points.failure}, passed at {points.up_at}.",
    ]
    if course.asks_sign_off(grade.id):
        about.append("Points do not pass it alone: an instructor signs it off.")
    before = course.grade(grade.after) if grade.after else None
    if before is not None:
        about.append(f"Opens after {before.title}.")
    if grade.optional:
        about.append("Optional: the course goes on without it.")
    lengths = run_lengths(points)
    odds = passing_words(lengths), watch_words(lengths)
    right = ""
    if standing is not None:
        right = standing.state
        if standing.practised and standing.state != "practised":
            about.insert(0, "It is what you practise now.")
        if standing.attempts:
            whole = count_of(standing.attempts, "whole setting")
            about.insert(0, f"{standing.good} of {whole} good.")
    practised = standing is not None and standing.practised
    return CourseRow(grade.title, right, tuple(about), practised, grade=grade.id, odds=odds)


def _exercise(exercise: Exercise, row: ExerciseRow | None, slight: str) -> CourseRow:
    """An exercise with when it is good; `slight` is how a slight fault counts in it."""
    about = [exercise.task, f"Good when: {exercise.criterion}", slight]
    if exercise.row and exercise.pass_at:
        about.append(f"In rows of {exercise.row}; {exercise.pass_at} good ones pass.")
    right = exercise.part or exercise.kind
    if row is not None:
        about.insert(0, row.sentence.removeprefix(f"{exercise.title}: ").capitalize())
        right = f"{row.good} of {row.of}" if row.of is not None else right
    return CourseRow(
        exercise.title,
        right,
        tuple(filter(None, about)),
        exercise=exercise.id,
        group=GROUPS[exercise.kind],
    )
