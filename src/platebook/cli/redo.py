"""`platebook redo`: put back what was taken back."""

import click

from platebook.cli.options import json_option, logbook_option, print_json, tell


@click.command("redo")
@logbook_option
@json_option
@click.pass_context
def command(ctx: click.Context, *, as_json: bool, logbook: str | None) -> None:  # noqa: ARG001 - the logbook is read from the context
    """Put back what `platebook undo` took back last."""
    from platebook.cli.desks import at_desk
    from platebook.services.recording import redo

    with at_desk(ctx) as desk:
        done = redo(desk)
    if as_json:
        print_json({"done": done})
        return
    tell(done)
