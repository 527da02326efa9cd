"""`platebook message`: a word to one student or to a class, and what was written to oneself."""

import click

from platebook.cli.terminal.completion import classes, people, those_who_sign
from platebook.cli.terminal.options import (
    answer,
    in_session,
    json_option,
    logbook_option,
    page,
    print_json,
    setter_option,
)
from platebook.values import as_dict


@click.command("message")
@click.argument("text", required=False)
@click.option(
    "--to",
    "name",
    default="",
    metavar="NAME",
    shell_complete=people,
    help="To one student, by name or id.",
)
@click.option(
    "--class",
    "whole_class",
    default="",
    metavar="NAME",
    shell_complete=classes,
    help="To everyone in a class.",
)
@click.option(
    "--by",
    default="",
    shell_complete=those_who_sign,
    help="Who writes, where it is not the one in use.",
)
@setter_option
@logbook_option
@json_option
@click.pass_context
def command(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    *,
    text: str | None,
    name: str,
    whole_class: str,
    by: str,
    setter: str | None,
    as_json: bool,
) -> None:
    """Write TEXT to a student or a class; without TEXT, read what others wrote and saw.

    It reaches them as a look does, with the next `share`; undo takes it back. What is read here is
    read: Now tells of it no more.
    """
    from platebook.reports.text.received_text import received_lines
    from platebook.services.classes.messages import write_to
    from platebook.services.from_others import read_news

    if text is None and (name or whole_class):
        raise click.UsageError("TEXT is missing: the words of the message")
    with in_session(ctx, setter=setter) as session:
        if text is not None:
            done = write_to(session, text, setter=name, whole_class=whole_class, by=by)
            keys = {"message": done.message.model_dump(mode="json"), "to": done.to}
            answer(done.sentence, keys, as_json=as_json)
            return
        received = read_news(session)
    if as_json:
        print_json(as_dict(received))
        return
    page(session, received_lines(received))
