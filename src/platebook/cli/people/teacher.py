"""`platebook teacher`: whoever teaches; they sign by name, and have no log of their own."""

from typing import TYPE_CHECKING

import click

from platebook.cli.people.asking import ask_to_erase
from platebook.cli.terminal.completion import teachers
from platebook.cli.terminal.groups import NearGroup
from platebook.cli.terminal.options import (
    answer,
    answer_list,
    in_session,
    json_option,
    logbook_option,
    wrapped,
)

if TYPE_CHECKING:
    from platebook.practice.records import Teacher
    from platebook.services.people.teachers import ListedTeacher


@click.group("teacher", cls=NearGroup)
def command() -> None:
    """Whoever teaches: add, list, use, edit, merge, erase."""


@command.command("add")
@click.argument("name")
@click.option("--also-sets", is_flag=True, help="They set as well: their own entry as a setter.")
@click.option("--note", default="", help="Words about them.")
@logbook_option
@json_option
@click.pass_context
def add(ctx: click.Context, *, name: str, also_sets: bool, note: str, as_json: bool) -> None:
    """Add somebody who teaches; the first one is in use from then on."""
    from platebook.services.people.teachers import add_teacher

    with in_session(ctx) as session:
        teacher = add_teacher(session, name, also_sets=also_sets, note=note)
    words = f"{teacher.name}  {teacher.teacher_id}"
    answer(words, teacher.model_dump(mode="json"), as_json=as_json)


@command.command("list")
@logbook_option
@json_option
@click.pass_context
def list_(ctx: click.Context, *, as_json: bool) -> None:
    """List those who teach with their classes; * marks the one in use."""
    from platebook.services.people.teachers import list_teachers

    with in_session(ctx) as session:
        people = list_teachers(session)
    nothing = "Nobody teaches yet: platebook teacher add NAME"
    answer_list(
        session, "teachers", map(_keys, people), map(_line, people), nothing, as_json=as_json
    )


def _keys(person: "ListedTeacher") -> dict[str, object]:
    return {
        **person.teacher.model_dump(mode="json"),
        "classes": list(person.classes),
        "sets_as": person.sets_as,
        "in_use": person.in_use,
    }


def _line(person: "ListedTeacher") -> str:
    about = [", ".join(person.classes)]
    about += [f"sets as {person.sets_as}"] if person.sets_as else []
    about += [] if person.teacher.active else ["away"]
    words = "; ".join(part for part in about if part)
    return f"{'*' if person.in_use else ' '} {person.teacher.name:<24} {words}".rstrip()


@command.command("use")
@click.argument("name", shell_complete=teachers)
@logbook_option
@json_option
@click.pass_context
def use(ctx: click.Context, *, name: str, as_json: bool) -> None:
    """Make this teacher (name or id) the one in use, in place of whoever was."""
    from platebook.services.people.teachers import use_teacher

    with in_session(ctx) as session:
        teacher = use_teacher(session, name)
    answer(f"In use: {teacher.name}, who teaches", _entry(teacher), as_json=as_json)


def _entry(teacher: "Teacher") -> dict[str, object]:
    """A teacher as JSON names them."""
    return {"teacher_id": teacher.teacher_id, "name": teacher.name}


@command.command("edit")
@click.argument("name", shell_complete=teachers)
@click.option("--name", "new_name", metavar="NAME", help="Another name.")
@click.option("--note", help="Words about them.")
@click.option("--active/--away", default=None, help="Whether they still teach here.")
@click.option("--also-sets/--only-teaches", default=None, help="Whether they set as well.")
@logbook_option
@json_option
@click.pass_context
def edit(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    *,
    name: str,
    new_name: str | None,
    note: str | None,
    active: bool | None,
    also_sets: bool | None,
    as_json: bool,
) -> None:
    """Correct what is said of a teacher (name or id); undo takes it back."""
    from platebook.services.people.teachers import change_teacher

    with in_session(ctx) as session:
        teacher = change_teacher(
            session, name, name=new_name, note=note, active=active, also_sets=also_sets
        )
    sets = ", sets as well" if teacher.setter_id else ""
    words = f"{teacher.name}{'' if teacher.active else ', away'}{sets}"
    answer(words, teacher.model_dump(mode="json"), as_json=as_json)


@command.command("erase")
@click.argument("name", shell_complete=teachers)
@click.option("--yes", is_flag=True, help="Do not ask.")
@logbook_option
@json_option
@click.pass_context
def erase(ctx: click.Context, *, name: str, yes: bool, as_json: bool) -> None:
    """Take a teacher out for good; what they signed stays, without their name."""
    from platebook.services.people.going import erase as erase_one
    from platebook.services.people.going import teacher_going

    with in_session(ctx) as session:
        going = teacher_going(session, name)
        if not yes:
            ask_to_erase(going)
        done = erase_one(session, going)
    answer(wrapped(done), {"done": done}, as_json=as_json)


@command.command("merge")
@click.argument("keep", shell_complete=teachers)
@click.argument("gone", shell_complete=teachers)
@logbook_option
@json_option
@click.pass_context
def merge(ctx: click.Context, *, keep: str, gone: str, as_json: bool) -> None:
    """Make two entries of one teacher one: KEEP has it all, GONE is no more. Undo parts them."""
    from platebook.services.people.teachers import merge_teachers

    with in_session(ctx) as session:
        merged = merge_teachers(session, keep, gone)
    both = {"kept": _entry(merged.kept), "gone": _entry(merged.gone)}
    answer(wrapped(merged.sentence), both, as_json=as_json)
