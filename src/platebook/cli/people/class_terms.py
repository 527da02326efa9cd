"""`platebook class new`, `list`, `edit`, `add`, `remove`, `end`: classes as things with dates."""

import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from platebook.cli.terminal.completion import classes, people, teachers
from platebook.cli.terminal.options import (
    DAY,
    FILE,
    FILE_NAME,
    Function,
    answer,
    answer_list,
    course_option,
    in_session,
    json_option,
    logbook_option,
    page,
    print_json,
    say,
)
from platebook.trade.phrases import count_of
from platebook.values import as_dict

if TYPE_CHECKING:
    from platebook.practice.records import Weekday
    from platebook.services.classes.enrolment import Details, Enrolled, ListedClass
    from platebook.services.classes.listed_names import Listed
    from platebook.services.session import Session

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


def _with_options(function: Function, *options: Callable[[Function], Function]) -> Function:
    for option in reversed(options):
        function = option(function)
    return function


def _details(function: Function) -> Function:
    """The options that say something of a class."""
    return _with_options(
        function,
        click.option("--begins", type=DAY, metavar="DAY", help="First day, as 2026-01-08."),
        click.option("--ends", type=DAY, metavar="DAY", help="Last day."),
        course_option("The course it follows; platebook course list shows them."),
        click.option(
            "--evening",
            type=click.Choice(WEEKDAYS, case_sensitive=False),
            help="The day of the week it meets on.",
        ),
        click.option("--note", help="Words about it."),
        click.option(
            "--teacher",
            "teachers",
            multiple=True,
            metavar="NAME",
            help="Who teaches it.",
            shell_complete=teachers,
        ),
    )


def _people(function: Function) -> Function:
    """The options that say who is meant by a list of names."""
    return _with_options(
        function,
        click.option(
            "--from",
            "source",
            type=FILE_NAME,
            metavar="FILE",
            help="A list of names: text, CSV or XLSX; - reads what is pasted.",
        ),
        click.option(
            "--is",
            "same",
            multiple=True,
            metavar="NAME=PERSON",
            help="This name of the list is that person of the logbook.",
        ),
        click.option(
            "--new", "others", multiple=True, metavar="NAME", help="This name is somebody new."
        ),
    )


def add_commands(group: click.Group) -> None:
    """Put these commands into `platebook class`."""
    for command in (new, list_, edit, add, remove, end, start, compare):
        group.add_command(command)


@click.command("new")
@click.argument("name")
@click.argument("members", nargs=-1, metavar="[MEMBER]...")
@_people
@_details
@logbook_option
@json_option
@click.pass_context
def new(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    /,
    *,
    name: str,
    members: tuple[str, ...],
    source: str | None,
    same: tuple[str, ...],
    others: tuple[str, ...],
    as_json: bool,
    **said: Any,
) -> None:
    """Make a class with its people: MEMBERs, a list (--from FILE), or names pasted (--from -).

    Who is in the logbook already is that person; everyone else is added. Without --begins today is
    its first day. Undone as one change.
    """
    from platebook.services.classes.enrolment import new_class

    with in_session(ctx) as session:
        listed = _listed(session, (*members, *_names(source)), same, others)
        done = new_class(session, name, listed, _details_from(**said))
    _tell(done, listed, as_json=as_json)


@click.command("add")
@click.argument("name", metavar="CLASS", shell_complete=classes)
@click.argument("members", nargs=-1, metavar="[MEMBER]...")
@_people
@click.option("--on", type=DAY, metavar="DAY", help="From which day on; default: today.")
@logbook_option
@json_option
@click.pass_context
def add(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    *,
    name: str,
    members: tuple[str, ...],
    source: str | None,
    same: tuple[str, ...],
    others: tuple[str, ...],
    on: datetime | None,
    as_json: bool,
) -> None:
    """Put people into a class: MEMBERs, a list, or names pasted; new ones are added."""
    from platebook.services.classes.enrolment import join_class

    with in_session(ctx) as session:
        listed = _listed(session, (*members, *_names(source)), same, others)
        if not listed.known and not listed.new:
            raise click.UsageError("nobody is named: give MEMBERs, or a list with --from")
        done = join_class(session, name, listed, on=None if on is None else on.date())
    _tell(done, listed, as_json=as_json)


@click.command("remove")
@click.argument("name", metavar="CLASS", shell_complete=classes)
@click.argument("members", nargs=-1, required=True, metavar="MEMBER...", shell_complete=people)
@click.option("--on", type=DAY, metavar="DAY", help="Their last day; default: yesterday.")
@logbook_option
@json_option
@click.pass_context
def remove(
    ctx: click.Context,
    *,
    name: str,
    members: tuple[str, ...],
    on: datetime | None,
    as_json: bool,
) -> None:
    """Let people leave a class; they and what they logged stay in the logbook."""
    from platebook.services.classes.enrolment import leave_class

    with in_session(ctx) as session:
        done = leave_class(session, name, members, on=None if on is None else on.date())
    _tell(done, None, as_json=as_json)


@click.command("edit")
@click.argument("name", metavar="CLASS", shell_complete=classes)
@click.option("--name", "new_name", metavar="NAME", help="Another name.")
@_details
@logbook_option
@json_option
@click.pass_context
def edit(
    ctx: click.Context, /, *, name: str, new_name: str | None, as_json: bool, **said: Any
) -> None:
    """Correct what is said of a class; undo takes it back."""
    from platebook.services.classes.enrolment import change_class

    with in_session(ctx) as session:
        done = change_class(session, name, _details_from(**said), name=new_name)
    _tell(done, None, as_json=as_json)


@click.command("end")
@click.argument("name", metavar="CLASS", shell_complete=classes)
@click.option("--on", type=DAY, metavar="DAY", help="Its last day; default: today.")
@logbook_option
@json_option
@click.pass_context
def end(ctx: click.Context, *, name: str, on: datetime | None, as_json: bool) -> None:
    """End a class; who was in it and how it went stays, to be compared with the next term."""
    from platebook.services.classes.enrolment import end_class

    with in_session(ctx) as session:
        done = end_class(session, name, on=None if on is None else on.date())
    _tell(done, None, as_json=as_json)


@click.command("start")
@click.argument("folder", type=FILE)
@click.option(
    "--group",
    "name",
    required=True,
    metavar="CLASS",
    shell_complete=classes,
    help="For whom: a class.",
)
@click.option(
    "--share",
    type=FILE_NAME,
    metavar="PLACE",
    default="",
    help="Where they share, as they reach it.",
)
@logbook_option
@json_option
@click.pass_context
def start(ctx: click.Context, *, folder: Path, name: str, share: str, as_json: bool) -> None:
    """Write a start file into FOLDER for each member of a class; they open it to begin."""
    from platebook.services.sharing.start_files import share_there_too, write_start_files

    with in_session(ctx) as session:
        written = write_start_files(session, name, folder, share)
        here_too = share_there_too(session, share)
    files = count_of(len(written), "start file")
    rows = [
        {"file": str(each.file), "setter_id": each.setter_id, "name": each.name} for each in written
    ]
    words = f"{files} in {folder}. Each student opens theirs: platebook begin FILE"
    if here_too:
        words += "\nThis logbook shares there too: platebook share."
    answer(words, {"files": rows}, as_json=as_json)


@click.command("compare")
@click.argument("name", required=False, metavar="[CLASS]", shell_complete=classes)
@click.argument("other", required=False, metavar="[OTHER]", shell_complete=classes)
@click.option("--weeks", type=int, help="After how many weeks; default: as many as it has run.")
@logbook_option
@json_option
@click.pass_context
def compare(
    ctx: click.Context, *, name: str | None, other: str | None, weeks: int | None, as_json: bool
) -> None:
    """This term of a class beside the ones before, or beside OTHER, after as many weeks."""
    from platebook.services.classes.compare import compare_terms

    with in_session(ctx) as session:
        compared = compare_terms(session, name, other, weeks)
    if as_json:
        terms = [
            {
                "class_id": term.class_id,
                "name": term.name,
                "begins": term.begins.isoformat(),
                "ends": term.ends and term.ends.isoformat(),
                **as_dict(term.so_far),
            }
            for term in compared.terms
        ]
        print_json({"name": compared.name, "weeks": compared.weeks, "terms": terms})
        return
    page(session, compared.sentences)


@click.command("list")
@logbook_option
@json_option
@click.pass_context
def list_(ctx: click.Context, *, as_json: bool) -> None:
    """List the classes with dates, people and who teaches; * marks those that run."""
    from platebook.services.classes.enrolment import list_classes

    with in_session(ctx) as session:
        classes = list_classes(session)
    answer_list(
        session,
        "classes",
        map(_class_keys, classes),
        map(_class_line, classes),
        "No class yet: platebook class new NAME --from list.csv",
        as_json=as_json,
    )


def _class_keys(each: "ListedClass") -> dict[str, object]:
    return {
        **each.term.model_dump(mode="json"),
        "teachers": list(each.teachers),
        "members": each.members,
        "ever": each.ever,
        "runs": each.runs,
        "recorded": each.recorded,
    }


def _class_line(each: "ListedClass") -> str:
    from platebook.services.classes.enrolment import class_in_words

    people = count_of(each.members, "person", "people")
    teachers = f"; {', '.join(each.teachers)}" if each.teachers else ""
    about = class_in_words(each.term)
    return f"{'*' if each.runs else ' '} {each.term.name}: {people}; {about}{teachers}"


def _names(source: str | None) -> tuple[str, ...]:
    """The names of a list in a file, or of what is pasted."""
    from platebook.services.classes.listed_names import names_from, pasted_names

    if source is None:
        return ()
    if source == "-":
        if sys.stdin.isatty():
            say("Paste the names, one a line; Ctrl-D ends.")
        return pasted_names(sys.stdin.buffer.read())
    return names_from(Path(source))


def _listed(
    session: "Session", names: tuple[str, ...], same: tuple[str, ...], others: tuple[str, ...]
) -> "Listed":
    """Who is meant by these names; on a terminal it is asked where a name may be two people's."""
    from platebook.cli.terminal.options import values_from
    from platebook.services.classes.listed_names import SOMEBODY_NEW, read_names

    answers = {name: str(person) for name, person in values_from(same, "--is ").items()}
    answers |= dict.fromkeys(others, SOMEBODY_NEW)
    listed = read_names(session, names, answers)
    if listed.doubles and sys.stdin.isatty():
        for double in listed.doubles:
            for number, known in enumerate(double.candidates, 1):
                say(f"{number} {known.sentence}")
            choices = [str(number) for number in range(len(double.candidates) + 1)]
            chosen = click.prompt(
                f"{double.typed}: which of these? 0 for somebody new",
                type=click.Choice(choices),
                err=True,
            )
            place = int(chosen)
            answers[double.typed] = (
                double.candidates[place - 1].setter_id if place else SOMEBODY_NEW
            )
        listed = read_names(session, names, answers)
    return listed


def _details_from(
    *,
    begins: datetime | None,
    ends: datetime | None,
    course: str | None,
    evening: "Weekday | None",
    note: str | None,
    teachers: tuple[str, ...],
) -> "Details":
    """What the options of `_details` say of a class."""
    from platebook.services.classes.enrolment import Details

    return Details(
        begins=begins and begins.date(),
        ends=ends and ends.date(),
        course=course,
        evening=evening,
        note=note,
        teachers=teachers,
    )


def _tell(done: "Enrolled", listed: "Listed | None", *, as_json: bool) -> None:
    """What was done, in words or as JSON."""
    for name in listed.twice if listed is not None else ():
        say(f"note: {name} stands in the list twice, and was taken once.")
    new = {person.setter_id for person in done.new}
    members = [
        {"setter_id": person.setter_id, "name": person.name, "new": person.setter_id in new}
        for person in done.members
    ]
    keys = {**done.term.model_dump(mode="json"), "members": members}
    answer(done.sentence, keys, as_json=as_json)
