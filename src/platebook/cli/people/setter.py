"""`platebook setter`: the people of a logbook."""

import sys
import textwrap
from typing import TYPE_CHECKING, Literal

import click

from platebook.cli.people.asking import ask_to_erase
from platebook.cli.terminal.completion import classes, people
from platebook.cli.terminal.groups import NearGroup
from platebook.cli.terminal.options import (
    answer,
    answer_list,
    course_option,
    in_session,
    json_option,
    logbook_option,
    page,
    print_json,
    refuse,
    say,
    setter_option,
    tell,
    wrapped,
)
from platebook.trade.phrases import count_of
from platebook.values import as_dict

if TYPE_CHECKING:
    from platebook.practice.records import Setter
    from platebook.services.people.doubles import Known

SEATS = click.Choice(["given", "own"])


@click.group("setter", cls=NearGroup)
def command() -> None:
    """The people who practise: add, list, edit, use, rules, merge, erase, erasures."""


@command.command("add")
@click.argument("name")
@course_option("The course to follow; platebook course list shows them.")
@click.option(
    "--group", default="", shell_complete=classes, help="The class or group they belong to."
)
@click.option("--seats", type=SEATS, help="Who prepares seats to practise in: somebody, or nobody.")
@logbook_option
@json_option
@click.pass_context
def add(
    ctx: click.Context,
    *,
    name: str,
    course: str | None,
    group: str,
    seats: Literal["given", "own"] | None,
    as_json: bool,
) -> None:
    """Add a setter; the first one is in use from then on."""
    from platebook.services.people.setters import add_setter

    with in_session(ctx) as session:
        setter = add_setter(session, name, course=course, group=group, seats=seats)
    answer(f"{setter.name}  {setter.setter_id}", setter.model_dump(mode="json"), as_json=as_json)


@command.command("list")
@logbook_option
@json_option
@click.pass_context
def list_(ctx: click.Context, *, as_json: bool) -> None:
    """List the setters with their attempts; * marks the one in use."""
    from platebook.services.people.setters import list_setters

    with in_session(ctx) as session:
        people = list_setters(session)
    rows = (
        {
            **p.setter.model_dump(mode="json"),
            "group": p.group,
            "classes": list(p.classes),
            "left": p.left,
            "attempts": p.attempts,
            "in_use": p.in_use,
        }
        for p in people
    )
    lines = (
        f"{'*' if p.in_use else ' '} {p.setter.name:<24} "
        f"{count_of(p.attempts, 'attempt'):>14}  "
        f"{p.where}".rstrip()
        for p in people
    )
    nothing = "Nobody yet: platebook setter add NAME"
    answer_list(session, "setters", rows, lines, nothing, as_json=as_json)


@command.command("use")
@click.argument("name", required=False, shell_complete=people)
@click.option("--nobody", is_flag=True, help="Nobody is in use from now on.")
@logbook_option
@json_option
@click.pass_context
def use(ctx: click.Context, *, name: str | None, nobody: bool, as_json: bool) -> None:
    """Make this setter (name or id) the one in use, or nobody."""
    from platebook.services.people.setters import use_nobody, use_setter

    if nobody == (name is not None):
        raise click.UsageError("give a NAME, or --nobody")
    with in_session(ctx) as session:
        setter = None if name is None else use_setter(session, name)
        if setter is None:
            use_nobody(session)
    words = "Nobody is in use." if setter is None else f"In use: {setter.name}"
    answer(words, _entry(setter), as_json=as_json)


def _entry(setter: "Setter | None") -> dict[str, object]:
    """A person as JSON names them; nothing for nobody."""
    return {
        "setter_id": setter.setter_id if setter else None,
        "name": setter.name if setter else None,
    }


@command.command("edit")
@click.argument("name", shell_complete=people)
@click.option("--name", "new_name", metavar="NAME", help="Another name.")
@click.option("--group", shell_complete=classes, help="The class or group they belong to.")
@click.option("--active/--away", default=None, help="Whether they still come.")
@click.option("--seats", type=SEATS, help="Who prepares seats to practise in: somebody, or nobody.")
@logbook_option
@json_option
@click.pass_context
def edit(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    *,
    name: str,
    new_name: str | None,
    group: str | None,
    active: bool | None,
    seats: Literal["given", "own"] | None,
    as_json: bool,
) -> None:
    """Correct what the roster says of a setter (name or id); undo takes it back."""
    from platebook.services.people.setters import change_setter

    with in_session(ctx) as session:
        setter = change_setter(
            session, name, name=new_name, group=group, active=active, seats=seats
        )
    in_group = f", {setter.group}" if setter.group else ""
    words = f"{setter.name}{in_group}{'' if setter.active else ', away'}{_seats(setter.seats)}"
    answer(words, setter.model_dump(mode="json"), as_json=as_json)


def _seats(seats: str | None) -> str:
    from platebook.services.people.setters import SEATS_IN_WORDS

    return f"; {SEATS_IN_WORDS[seats]}" if seats else ""


@command.command("merge")
@click.argument("keep", shell_complete=people)
@click.argument("gone", shell_complete=people)
@logbook_option
@json_option
@click.pass_context
def merge(ctx: click.Context, *, keep: str, gone: str, as_json: bool) -> None:
    """Make two entries of one person one: KEEP has it all, GONE is no more. Undo parts them."""
    from platebook.services.people.setters import merge_setters

    with in_session(ctx) as session:
        merged = merge_setters(session, keep, gone)
    both = {"kept": _entry(merged.kept), "gone": _entry(merged.gone)}
    answer(wrapped(merged.sentence), both, as_json=as_json)


@command.command("doubles")
@logbook_option
@json_option
@click.pass_context
def doubles(ctx: click.Context, *, as_json: bool) -> None:
    """List people who may be one: names the same, one letter off, or sounding alike."""
    from platebook.services.people.doubles import doubles as find_doubles
    from platebook.services.people.doubles import merge_command, teacher_doubles

    with in_session(ctx) as session:
        pairs, teachers = find_doubles(session), teacher_doubles(session)
    if as_json:
        print_json(
            {
                "pairs": [{"keep": _known(p.keep), "gone": _known(p.gone)} for p in pairs],
                "teachers": [{"keep": as_dict(p.keep), "gone": as_dict(p.gone)} for p in teachers],
            }
        )
        return
    if not pairs and not teachers:
        say("No two people of the logbook have names alike.")
        return
    for pair in pairs:
        tell(wrapped(f"{pair.gone.sentence} may be {pair.keep.sentence}. If so:"))
        tell(f"  {merge_command(pair.keep.setter_id, pair.gone.setter_id)}")
    for two in teachers:
        tell(wrapped(f"{two.gone.sentence} may be {two.keep.sentence}. If so:"))
        tell(f"  {merge_command(two.keep.teacher_id, two.gone.teacher_id, 'teacher')}")


def _known(person: "Known") -> dict[str, object]:
    days = {"first": person.first, "last": person.last}
    return {**as_dict(person), **{name: day and day.isoformat() for name, day in days.items()}}


@command.command("erase")
@click.argument("name", shell_complete=people)
@click.option("--yes", is_flag=True, help="Do not ask.")
@logbook_option
@json_option
@click.pass_context
def erase(ctx: click.Context, *, name: str, yes: bool, as_json: bool) -> None:
    """Take a person out for good with all their attempts. It cannot be taken back."""
    from platebook.services.people.going import setter_going
    from platebook.services.people.setters import erase_setter

    with in_session(ctx) as session:
        going = setter_going(session, name)
        if not yes:
            ask_to_erase(going)
        erased = erase_setter(session, going.person_id)
    keys = {
        **_entry(erased.setter),
        "attempts": erased.attempts,
        "own_copies": erased.own_copies,
        "copies": list(erased.copies),
        "cleared": erased.cleared,
        "cleared_copies": erased.cleared_copies,
    }
    answer(wrapped(erased.sentence), keys, as_json=as_json)


@command.command("erasures")
@click.argument("name", required=False, shell_complete=people)
@click.option("--obey", is_flag=True, help="Erase them here too; it cannot be taken back.")
@click.option("--keep", is_flag=True, help="They stay here, and it is not asked again.")
@click.option("--yes", is_flag=True, help="Do not ask.")
@logbook_option
@json_option
@click.pass_context
def erasures(
    ctx: click.Context, *, name: str | None, obey: bool, keep: bool, yes: bool, as_json: bool
) -> None:
    """Whom others ask to erase, and the answer: obey, or keep (by NAME or id)."""
    from platebook.cli.share import erasing_keys
    from platebook.services.sharing.erasings import (
        answer_words,
        asked_words,
        erasings,
        keep_erasing,
        obey_erasing,
    )

    if (obey or keep) != (name is not None) or (obey and keep):
        raise click.UsageError("say NAME with --obey or --keep, or nothing to list them")
    with in_session(ctx) as session:
        if name is not None and obey:
            if not yes:
                if not sys.stdin.isatty():
                    refuse(["It cannot be taken back. Nothing was changed: say --yes to do it."])
                click.confirm(f"Erase {name} here too, for good?", abort=True)
            tell(wrapped(obey_erasing(session, name)))
            return
        if name is not None:
            tell(wrapped(keep_erasing(session, name)))
            return
        asked = erasings(session)
    lines = []
    for one in asked:
        lines.append(f"{asked_words(one)}{' Kept.' if one.kept else ''}")
        lines += [] if one.kept else [f"  {answer_words(one)}"]
    rows = map(erasing_keys, asked)
    answer_list(session, "erasings", rows, lines, "Nobody is asked about.", as_json=as_json)


@command.command("rules")
@click.argument("chosen", nargs=-1, metavar="[ID...]")
@click.option("--custom", is_flag=True, help="Choose none: the course's rules, then custom.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def rules(
    ctx: click.Context,
    *,
    chosen: tuple[str, ...],
    custom: bool,
    setter: str | None,
    as_json: bool,
) -> None:
    """List the rules of thumb that sizes come from, or choose some by their IDs.

    Customs conflict, so a setter may go by others than the course. * marks those gone by.
    """
    from platebook.services.sizes import choose_rules, rule_choices

    if chosen and custom:
        raise click.UsageError("--custom chooses none: give it alone")
    with in_session(ctx, setter=setter) as session:
        if chosen or custom:
            choose_rules(session, chosen)
        choices = rule_choices(session)
    if as_json:
        print_json(
            {
                "rules": [
                    {
                        "id": choice.rule.id,
                        "purpose": choice.rule.purpose,
                        "method": choice.rule.method,
                        "kind": choice.rule.kind,
                        "source": choice.rule.source,
                        "say": choice.rule.say,
                        "in_use": choice.in_use,
                        "chosen_by": choice.chosen_by,
                    }
                    for choice in choices
                ]
            }
        )
        return
    lines = []
    for choice in choices:
        method = f" ({choice.rule.method})" if choice.rule.method else ""
        by = f", chosen by {choice.chosen_by}" if choice.chosen_by else ""
        lines.append(
            f"{'*' if choice.in_use else ' '} {choice.rule.id}: {choice.rule.purpose}{method}{by}"
        )
        lines += textwrap.wrap(
            f"{choice.rule.say} [{choice.rule.cited}]",
            76,
            initial_indent="    ",
            subsequent_indent="    ",
        )
    page(session, lines)
