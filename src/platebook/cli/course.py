"""`platebook course`: the courses there are, and one of your own."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from platebook.cli.options import (
    in_session,
    json_option,
    logbook_option,
    print_json,
    problem_keys,
    refuse,
    say,
    tell,
)

if TYPE_CHECKING:
    from platebook.practice.course import Course


@click.group("course")
def command() -> None:
    """Courses: list, show, check, new, use."""


@command.command("list")
@json_option
def list_(*, as_json: bool) -> None:
    """The courses that come with platebook; the first is offered first."""
    from platebook.services.session import shipped

    courses = shipped()
    if as_json:
        rows = [{"id": c.id, "version": c.version, "title": c.title} for c in courses]
        print_json({"courses": rows})
        return
    for course in courses:
        tell(f"{course.id:<18} {course.title} (version {course.version})")


@command.command("show")
@click.argument("course_id", metavar="ID")
@json_option
def show(*, course_id: str, as_json: bool) -> None:
    """The grades and exercises of a course."""
    from platebook.services.session import shipped

    course = next((c for c in shipped() if c.id == course_id), None)
    if course is None:
        refuse([f"id: read {course_id!r}, expected one of: {', '.join(c.id for c in shipped())}"])
    if as_json:
        print_json(course.model_dump(mode="json"))
        return
    tell(f"{course.title}\n{course.about}\n\nGrades")
    for grade in course.grades:
        after = f", after {grade.after}" if grade.after else ""
        tell(f"  {grade.id:<16} {grade.title} [{grade.track}{after}]")
    tell("\nExercises")
    for exercise in course.exercises:
        row = f", {exercise.pass_at} of {exercise.row}" if exercise.row else ""
        tell(f"  {exercise.id:<20} {exercise.title}{row}")


@command.command("check")
@click.argument("file", type=click.Path(path_type=Path))
@json_option
def check(*, file: Path, as_json: bool) -> None:
    """Name each fault of a course file with its line, and say what its points and watch do."""
    from platebook.practice.course_file import read_course

    course, problems = read_course(_text(file), name=file.name)
    if as_json:
        rows = [problem_keys(p) for p in problems]
        lengths = _run_lengths(course) if course is not None else []
        print_json({"sound": course is not None, "problems": rows, "run_lengths": lengths})
    if course is None:
        refuse(problems)
    for notice in problems:
        say(f"note: {notice}")
    if not as_json:
        from platebook.reports.text.course_text import run_length_lines

        tell(f"{file}: sound; {len(course.grades)} grades, {len(course.exercises)} exercises.")
        for line in run_length_lines(course):
            tell(line)


def _run_lengths(course: "Course") -> list[dict[str, object]]:
    """What the course's points and watch do, each with the grades it holds for."""
    from platebook.reports.text.course_text import run_lengths_of

    return [
        {"grades": [grade.id for grade in grades]} | lengths.model_dump()
        for lengths, grades in run_lengths_of(course).items()
    ]


@command.command("new")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--like", default="small-to-large", help="The course to start from.")
@click.option("--id", "course_id", metavar="ID", help="Its id, which no other course has.")
def new(*, file: Path, like: str, course_id: str | None) -> None:
    """Write a course file of your own to change, from one that ships."""
    from platebook.services.files import write_new_course
    from platebook.services.session import Refused

    if course_id is None and sys.stdin.isatty():
        course_id = click.prompt("An id of its own, which stands in every attempt", file.stem)
    if course_id is None:
        refuse([f"--id: read nothing, expected an id of your own, such as --id {file.stem}"])
    try:
        write_new_course(file, like, course_id)
    except Refused as error:
        refuse([error.sentence])
    tell(f"{file}: written. Change it, then: platebook course check {file}")


@command.command("schema")
def schema() -> None:
    """The course file as a JSON Schema, for an editor that completes and checks while you type."""
    from platebook.practice.course_schema import course_schema

    print_json(course_schema())


@command.command("use")
@click.argument("course", metavar="ID_OR_FILE")
@logbook_option
@click.pass_context
def use(ctx: click.Context, *, course: str) -> None:
    """Let the setter in use follow a course, by its id or from a file of your own."""
    from platebook.services.setters import follow_course

    course_id, text = _own_course(Path(course)) if _is_file(course) else (course, None)
    with in_session(ctx) as session:
        setter = follow_course(session, course_id, text)
    tell(f"{setter.name} follows {setter.course}.")


def _is_file(named: str) -> bool:
    return named.endswith(".toml") or Path(named).is_file()


def _own_course(file: Path) -> tuple[str, str]:
    """The id and the text of a course file; its faults are told where it cannot be followed."""
    from platebook.practice.course_file import read_course

    text = _text(file)
    course, problems = read_course(text, name=file.name)
    if course is None:
        refuse(problems)
    return course.id, text


def _text(file: Path) -> str:
    from platebook.services.files import read_whole
    from platebook.services.session import Refused

    try:
        text = read_whole(file).decode("utf-8")
    except Refused as error:
        refuse([error.sentence])
    except UnicodeDecodeError:
        refuse([f"{file}: not UTF-8 text"])
    return text.replace("\r\n", "\n").replace("\r", "\n")
