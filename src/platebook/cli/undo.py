"""`platebook undo`: take your last change back."""

import click

from platebook.cli.options import json_option, logbook_option, print_json, tell


@click.command("undo")
@logbook_option
@json_option
@click.pass_context
def command(ctx: click.Context, *, as_json: bool, logbook: str | None) -> None:  # noqa: ARG001 - the logbook is read from the context
    """Take your last change back; `platebook redo` puts it back."""
    from platebook.cli.desks import at_desk
    from platebook.services.recording import undo

    with at_desk(ctx) as desk:
        done = undo(desk)
    if as_json:
        print_json({"done": done})
        return
    tell(done)
