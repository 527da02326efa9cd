"""`platebook key`: the keys that sign what people do, and what came in without."""

import sys
from typing import TYPE_CHECKING

import click

from platebook.cli.share import left_out_keys
from platebook.cli.terminal.completion import those_who_sign
from platebook.cli.terminal.groups import NearGroup
from platebook.cli.terminal.options import (
    answer,
    answer_list,
    in_session,
    json_option,
    logbook_option,
    say,
    setter_option,
    tell,
    wrapped,
)
from platebook.trade.phrases import full_day
from platebook.values import as_dict

if TYPE_CHECKING:
    from platebook.services.people.keys import ListedKey


@click.group("key", cls=NearGroup)
def command() -> None:
    """The keys that sign what people do: list, paper, restore, hand-over, trust, waiting."""


@command.command("list")
@logbook_option
@json_option
@click.pass_context
def list_(ctx: click.Context, *, as_json: bool) -> None:
    """List the keys that are known here; * marks those that sign here."""
    from platebook.services.people.keys import keys_here

    with in_session(ctx) as session:
        known = keys_here(session)
    rows = ({**as_dict(key), "since": key.since.isoformat()} for key in known)
    nothing = "No key yet: the first thing you record makes yours."
    answer_list(session, "keys", rows, map(_line, known), nothing, as_json=as_json)


def _line(key: "ListedKey") -> str:
    mark = "*" if key.signs_here else " "
    may = ", may change your records" if key.may_change else ""
    return f"{mark} {key.fingerprint}  {key.name}, {key.how} on {full_day(key.since)}{may}"


@command.command("paper")
@setter_option
@logbook_option
@json_option
@click.pass_context
def paper(ctx: click.Context, *, setter: str | None, as_json: bool) -> None:
    """Print the code that brings your key back on another machine. Whoever has it signs as you."""
    from platebook.services.people.keys import own_paper_code

    with in_session(ctx, setter=setter) as session:
        code, letters = own_paper_code(session)
        name = session.author
    answer(code, {"name": name, "key": letters, "code": code}, as_json=as_json)
    say(
        wrapped(
            f"The code of {name}'s key {letters}. Write it down and keep it away from the machine: "
            "whoever has it can sign in this name. platebook key restore brings the key back."
        )
    )


@command.command("restore")
@setter_option
@logbook_option
@click.pass_context
def restore(ctx: click.Context, *, setter: str | None) -> None:
    """Bring your key back from its paper code, which is asked for (or read from stdin)."""
    from platebook.services.people.keys import put_back_key

    if sys.stdin.isatty():
        say("The code, seven groups of four; capitals and hyphens do not matter:")
    typed = sys.stdin.readline()
    with in_session(ctx, setter=setter) as session:
        done = put_back_key(session, typed)
    tell(wrapped(done))


@command.command("hand-over")
@click.argument("key")
@setter_option
@logbook_option
@click.pass_context
def hand_over(ctx: click.Context, *, key: str, setter: str | None) -> None:
    """Say, signed, that KEY of another machine is yours too. Others hear it when you share."""
    from platebook.services.people.keys import hand_over_to

    with in_session(ctx, setter=setter) as session:
        done = hand_over_to(session, key)
    tell(wrapped(done))


@command.command("trust")
@click.argument("name", shell_complete=those_who_sign)
@click.argument("key")
@logbook_option
@click.pass_context
def trust(ctx: click.Context, *, name: str, key: str) -> None:
    """Take KEY for NAME's from now on. Compare its letters with them first, not by mail."""
    from platebook.services.people.keys import trust as trust_key

    with in_session(ctx) as session:
        done = trust_key(session, name, key)
    tell(wrapped(done))


@command.command("forget")
@click.argument("name", shell_complete=those_who_sign)
@click.argument("key")
@logbook_option
@click.pass_context
def forget(ctx: click.Context, *, name: str, key: str) -> None:
    """Take KEY for NAME's no longer, as where a machine was stolen."""
    from platebook.services.people.keys import forget as forget_key

    with in_session(ctx) as session:
        done = forget_key(session, name, key)
    tell(wrapped(done))


@command.command("waiting")
@click.argument("name", required=False, shell_complete=those_who_sign)
@click.option("--take", is_flag=True, help="It comes in with the next share or import.")
@click.option("--always", is_flag=True, help="So does what the same key signs from now on.")
@click.option("--leave", is_flag=True, help="It stays out, and it is not asked again.")
@logbook_option
@json_option
@click.pass_context
def waiting(
    ctx: click.Context, *, name: str | None, take: bool, always: bool, leave: bool, as_json: bool
) -> None:
    """What was left out because its person did not sign it, and the answer (by NAME or id)."""
    from platebook.services.sharing.unsigned import (
        how_to_answer,
        leave_left_out,
        left_out_here,
        left_out_words,
        meant_by,
        take_left_out,
    )

    if (take or leave) != (name is not None) or (take and leave) or (always and not take):
        raise click.UsageError("say NAME with --take or --leave, or nothing to list them")
    with in_session(ctx) as session:
        if name is not None:
            for one in meant_by(session, name):
                done = (
                    take_left_out(session, one, always=always)
                    if take
                    else leave_left_out(session, one)
                )
                tell(wrapped(done))
            return
        left = left_out_here(session)
    lines = []
    for one in left:
        answered = {"take": "It comes in next.", "leave": "It stays out."}.get(one.answer)
        lines += [left_out_words(one), f"  {answered or how_to_answer(one)}"]
    rows = map(left_out_keys, left)
    answer_list(session, "left_out", rows, lines, "Nothing was left out.", as_json=as_json)
