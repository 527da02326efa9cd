"""`platebook progress`: where each grade stands."""

import click

from platebook.cli.options import json_option, logbook_option, print_json, setter_option


@click.command("progress")
@setter_option
@logbook_option
@json_option
@click.pass_context
def command(ctx: click.Context, *, setter: str | None, as_json: bool, logbook: str | None) -> None:  # noqa: ARG001 - the logbook is read from the context
    """Where each grade stands: rate, interval, points, and how many good ones to go."""
    from platebook.cli.desks import at_desk
    from platebook.cli.pages import page
    from platebook.reports.progress_text import progress_lines
    from platebook.services.answers import progress

    with at_desk(ctx, setter=setter) as desk:
        answer = progress(desk)
    if as_json:
        print_json(answer.model_dump(mode="json", by_alias=True))
        return
    page(desk, progress_lines(answer))
