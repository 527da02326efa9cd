"""The course of the setter in use as a page: its grades with where they stand, its exercises."""

from dataclasses import dataclass

from platebook.advice.suggestion import slight_of
from platebook.analysis.grades.exercise_rows import ExerciseRow, exercise_rows
from platebook.analysis.grades.progress import GradeProgress, progress
from platebook.analysis.grades.run_lengths import run_lengths
from platebook.practice.courses.course import Course, Exercise, Grade
from platebook.reports.text.course_text import passing_words, watch_words
from platebook.services.answers import basis_of
from platebook.services.courses.waiting import CourseWaiting, waiting_courses
from platebook.services.session import Session, today_at


@dataclass(frozen=True)
class CourseRow:
    """One grade or exercise: its title, a short word on the right, and sentences about it.

    The word is a grade's state or what an exercise trains; `practised` says that the work is at it.
    `grade` or `exercise` is its id, the other None.
    """

    title: str
    right: str
    about: tuple[str, ...]
    practised: bool = False
    grade: str | None = None
    exercise: str | None = None


@dataclass(frozen=True)
class CourseView:
    """A course: what it is, its grades easiest first, and its exercises.

    `waiting` are course texts from elsewhere that wait for an answer, this course's first.
    """

    title: str
    about: str
    grades: tuple[CourseRow, ...]
    exercises: tuple[CourseRow, ...]
    waiting: tuple[CourseWaiting, ...] = ()


def course_view(session: Session) -> CourseView:
    """The course that the setter in use follows."""
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
        waiting=tuple(
            sorted(waiting_courses(session), key=lambda one: one.course != basis.course.id)
        ),
    )


def _grade(course: Course, grade: Grade, standing: GradeProgress | None) -> CourseRow:
    stones = ", ".join(f"{size:g}" for size in grade.stones_mm)
    layers = f", {grade.layers} layers" if grade.layers > 1 else ""
    back = "the back encloses the point" if grade.culet == "enclosed" else "the point may stand out"
    points = grade.points
    cut = "hand-cut " if grade.hand_cut else ""
    curved = f", a {grade.curve} of {grade.curve_radius_mm:g} mm radius" if grade.curved else ""
    about = [
        f"Stones of {stones} mm, {cut}{grade.stone_material}; {grade.method}.",
        f"{grade.metal}, sheet {grade.sheet}{layers}{curved}; {back}.",
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
    about += [passing_words(lengths), watch_words(lengths)]
    right = ""
    if standing is not None:
        right = standing.state
        if standing.practised and standing.state != "practised":
            about.insert(0, "It is what you practise now.")
        if standing.attempts:
            about.insert(0, f"{standing.good} of {standing.attempts} good so far.")
    practised = standing is not None and standing.practised
    return CourseRow(grade.title, right, tuple(about), practised, grade=grade.id)


def _exercise(exercise: Exercise, row: ExerciseRow | None, slight: str) -> CourseRow:
    """An exercise with when it is good; `slight` is how a slight fault counts in it."""
    about = [exercise.task, f"Good when: {exercise.criterion}", slight]
    if exercise.row and exercise.pass_at:
        about.append(f"In rows of {exercise.row}; {exercise.pass_at} good ones pass.")
    right = exercise.part or exercise.kind
    if row is not None:
        about.insert(0, row.sentence.removeprefix(f"{exercise.title}: ").capitalize())
        right = f"{row.good} of {row.of}" if row.of is not None else right
    return CourseRow(exercise.title, right, tuple(filter(None, about)), exercise=exercise.id)
