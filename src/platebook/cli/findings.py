"""`platebook findings`: what goes with failure."""

import click

from platebook.cli.options import json_option, logbook_option, print_json, setter_option


@click.command("findings")
@setter_option
@logbook_option
@json_option
@click.pass_context
def command(ctx: click.Context, *, setter: str | None, as_json: bool, logbook: str | None) -> None:  # noqa: ARG001 - the logbook is read from the context
    """What goes with failure: worth watching, well supported, and what could not be judged."""
    from platebook.cli.desks import at_desk
    from platebook.cli.pages import page
    from platebook.reports.findings_text import findings_lines
    from platebook.services.answers import findings

    with at_desk(ctx, setter=setter) as desk:
        answer = findings(desk)
    if as_json:
        print_json(answer.model_dump(mode="json", by_alias=True))
        return
    page(desk, findings_lines(answer))
