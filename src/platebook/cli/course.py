"""`platebook course`: the courses there are, and one of your own."""

import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from platebook.cli.terminal.completion import courses, courses_and_files
from platebook.cli.terminal.groups import NearGroup
from platebook.cli.terminal.options import (
    FILE,
    FILE_NAME,
    answer,
    in_session,
    json_option,
    logbook_option,
    print_json,
    problem_keys,
    refuse,
    say,
    tell,
    wrapped,
)
from platebook.trade.phrases import count_of, moment_words
from platebook.values import as_dict

if TYPE_CHECKING:
    from platebook.practice.courses.course import Course
    from platebook.services.courses.waiting import CourseWaiting


@click.group("course", cls=NearGroup)
def command() -> None:
    """Courses: list, show, check, new, use, take, refuse, schema."""


@command.command("list")
@logbook_option
@json_option
@click.pass_context
def list_(ctx: click.Context, *, as_json: bool) -> None:
    """The courses there are, those of this logbook too, and what waits to be taken in."""
    from platebook.services.courses.shelf import listed_courses

    with in_session(ctx) as session:
        courses = listed_courses(session)
    if as_json:
        print_json(
            {
                "courses": [
                    {
                        "id": one.course.id,
                        "version": one.course.version,
                        "title": one.course.title,
                        "own": one.own,
                        "setters": one.setters,
                        "waiting": [waiting_keys(waiting) for waiting in one.waiting],
                    }
                    for one in courses
                ]
            }
        )
        return
    for one in courses:
        of_whom = ", your own" if one.own else ""
        used = f", {count_of(one.setters, 'setter')}" if one.setters else ""
        version = f"version {one.course.version}{of_whom}{used}"
        tell(f"{one.course.id:<18} {one.course.title} ({version})")
        for line in course_waiting_lines(one.waiting):
            tell(line)


def course_waiting_lines(courses: "Iterable[CourseWaiting]") -> list[str]:
    """What waits, each with the ways to answer it."""
    lines: list[str] = []
    for one in courses:
        lines.append(wrapped(f"  {one.sentence}"))
        lines.append(f"  Take it in: platebook course take {one.key}")
        lines.append(f"  Or refuse it: platebook course refuse {one.key}")
    return lines


def waiting_keys(one: "CourseWaiting") -> dict[str, object]:
    """The same as JSON has it."""
    return {
        "key": one.key,
        "course": one.course,
        "version": one.version,
        "by": list(one.by),
        "conflict": one.conflict,
        "setters": one.touch.setters,
        "attempts": one.touch.attempts,
        "sentence": one.sentence,
    }


@command.command("show")
@click.argument("course_id", metavar="ID", shell_complete=courses)
@click.option("--toml", "as_toml", is_flag=True, help="The course file, to change or to hand on.")
@logbook_option
@json_option
@click.pass_context
def show(ctx: click.Context, *, course_id: str, as_toml: bool, as_json: bool) -> None:
    """The grades and exercises of a course as it is in force here, and what was before."""
    from platebook.services.courses.shelf import course_shown

    with in_session(ctx) as session:
        shown = course_shown(session, course_id)
    course = shown.course
    if as_toml:
        tell(shown.text.rstrip("\n"))
        return
    if as_json:
        past = [as_dict(one) | {"when": one.when.isoformat()} for one in shown.history]
        print_json({**course.model_dump(mode="json"), "history": past})
        return
    tell(f"{course.title}\n{course.about}\n\nGrades")
    for grade in course.grades:
        after = f", after {grade.after}" if grade.after else ""
        was = f", was {', '.join(grade.was)}" if grade.was else ""
        tell(f"  {grade.id:<16} {grade.title} [{grade.track}{after}{was}]")
    tell("\nExercises")
    for exercise in course.exercises:
        row = f", {exercise.pass_at} of {exercise.row}" if exercise.row else ""
        tell(f"  {exercise.id:<20} {exercise.title}{row}")
    if shown.history:
        tell("\nIn force here")
    for past_version in shown.history:
        when, stands = moment_words(past_version.when), " *" if past_version.stands else ""
        what = f"version {past_version.version}, {past_version.what} by {past_version.author}"
        tell(f"  {when}  {what}{stands}")


@command.command("check")
@click.argument("file", type=FILE)
@logbook_option
@json_option
@click.pass_context
def check(ctx: click.Context, *, file: Path, as_json: bool) -> None:
    """Name each fault of a course file with its line, and say what its points and watch do.

    Where the logbook has the course, its attempts have to count on: a grade under another id says
    what it was.
    """
    from platebook.services.courses.in_force import look_at

    with in_session(ctx) as session:
        look = look_at(session, _text(file), file.name)
    course, problems = look.course, look.problems
    if as_json:
        rows = [problem_keys(p) for p in problems]
        lengths = _run_lengths(course) if course is not None else []
        touches = look.touch.sentence if look.touch is not None else ""
        print_json(
            {
                "sound": course is not None,
                "problems": rows,
                "touches": touches,
                "run_lengths": lengths,
            }
        )
    if course is None:
        refuse(problems)
    for notice in problems:
        say(f"note: {notice}")
    if not as_json:
        from platebook.reports.text.course_text import run_length_lines

        grades = count_of(len(course.grades), "grade")
        exercises = count_of(len(course.exercises), "exercise")
        tell(f"{file}: sound; {grades}, {exercises}.")
        if look.touch is not None and look.changes:
            tell(wrapped(f"Putting it in force touches {look.touch.sentence}."))
        for line in run_length_lines(course):
            tell(line)


def _run_lengths(course: "Course") -> list[dict[str, object]]:
    """What the course's points and watch do, each with the grades it holds for."""
    from platebook.reports.text.course_text import run_lengths_of

    return [
        {"grades": [grade.id for grade in grades]} | as_dict(lengths)
        for lengths, grades in run_lengths_of(course).items()
    ]


@command.command("new")
@click.argument("file", type=FILE)
@click.option(
    "--like",
    default="small-to-large",
    shell_complete=courses,
    help="The course to start from; one of this logbook's own too.",
)
@click.option("--id", "course_id", metavar="ID", help="Its id, which no other course has.")
@logbook_option
@json_option
@click.pass_context
def new(ctx: click.Context, *, file: Path, like: str, course_id: str | None, as_json: bool) -> None:
    """Write a course file of your own to change, from one there is."""
    from platebook.services.courses.shelf import write_new_course

    if course_id is None and sys.stdin.isatty():
        question = "An id of its own, which stands in every attempt"
        course_id = click.prompt(question, file.stem, err=True)
    if course_id is None:
        refuse([f"--id: read nothing, expected an id of your own, such as --id {file.stem}"])
    with in_session(ctx) as session:
        write_new_course(session, file, like, course_id)
    words = f"{file}: written. Change it, then: platebook course check {file}"
    answer(words, {"file": str(file), "course": course_id, "like": like}, as_json=as_json)


@command.command("schema")
def schema() -> None:
    """The course file as a JSON Schema, for an editor that completes and checks while you type."""
    from platebook.practice.courses.course_schema import course_schema

    print_json(course_schema())


@command.command("use")
@click.argument("course", type=FILE_NAME, metavar="ID_OR_FILE", shell_complete=courses_and_files)
@click.option("--yes", is_flag=True, help="Do not ask where it touches others.")
@logbook_option
@json_option
@click.pass_context
def use(ctx: click.Context, *, course: str, yes: bool, as_json: bool) -> None:
    """Let the setter in use follow a course, by its id or from a file of your own.

    With a teacher in use it puts the file in force, for a class to follow.

    Another text of a course that is in force says first whom it touches. It is one change: undo
    takes it back.
    """
    from platebook.services.courses.in_force import bring_course, look_at, use_course
    from platebook.services.courses.shelf import course_shown

    text = _text(Path(course)) if _is_file(course) else None
    with in_session(ctx) as session:
        if text is not None:
            look = look_at(session, text, Path(course).name)
            if look.course is None:
                refuse(look.problems)
            for notice in look.problems:
                say(f"note: {notice}")
            if look.changes and look.touch is not None and look.touch.setters and not yes:
                _ask(f"This text touches {look.touch.sentence}.", "Put it in force?")
        if session.teacher_id is not None:
            brought = bring_course(session, text)
            nobodys = {"setter_id": None, "name": session.author, "track": None}
            words = f"{brought.title} is in force: class new NAME --course {brought.id}"
            answer(words, {**nobodys, "course": brought.id}, as_json=as_json)
            return
        setter = use_course(session, course, text)
        title = course_shown(session, setter.course or "").course.title
    followed = {"setter_id": setter.setter_id, "name": setter.name, "course": setter.course}
    words = f"{setter.name} follows the course {title}."
    answer(words, {**followed, "track": setter.track}, as_json=as_json)


@command.command("take")
@click.argument("wanted", metavar="KEY")
@click.option("--yes", is_flag=True, help="Do not ask.")
@logbook_option
@json_option
@click.pass_context
def take(ctx: click.Context, *, wanted: str, yes: bool, as_json: bool) -> None:
    """Take in a course text that waits, by its KEY or the course's id; undo takes it back."""
    from platebook.services.courses.waiting import take_course, waiting_courses

    with in_session(ctx) as session:
        meant = [one for one in waiting_courses(session) if wanted in {one.key, one.course}]
        if len(meant) == 1 and not yes:
            _ask(meant[0].sentence, "Take it in?")
        done = take_course(session, wanted)
    answer(wrapped(done), {"done": done}, as_json=as_json)


@command.command("refuse")
@click.argument("wanted", metavar="KEY")
@logbook_option
@json_option
@click.pass_context
def refuse_(ctx: click.Context, *, wanted: str, as_json: bool) -> None:
    """Refuse a course text that waits; what is in force stays, and undo asks again."""
    from platebook.services.courses.waiting import refuse_course

    with in_session(ctx) as session:
        done = refuse_course(session, wanted)
    answer(wrapped(done), {"done": done}, as_json=as_json)


def _ask(sentence: str, question: str) -> None:
    """Say what it touches and ask on a terminal; refused elsewhere, with the same words."""
    if not sys.stdin.isatty():
        refuse([wrapped(sentence), "Nothing was changed: say --yes to do it."])
    say(wrapped(sentence))
    click.confirm(question, abort=True, err=True)


def _is_file(named: str) -> bool:
    return named.endswith(".toml") or Path(named).is_file()


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
