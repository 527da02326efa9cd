"""`platebook next`: what to practise next, and why."""

import click

from platebook.cli.options import json_option, logbook_option, print_json, setter_option


@click.command("next")
@setter_option
@logbook_option
@json_option
@click.pass_context
def command(ctx: click.Context, *, setter: str | None, as_json: bool, logbook: str | None) -> None:  # noqa: ARG001 - the logbook is read from the context
    """What to practise next, why, what would change it, and the sizes to use."""
    from platebook.cli.desks import at_desk
    from platebook.cli.pages import page
    from platebook.reports.next_text import next_lines
    from platebook.services.answers import next_with_sizes

    with at_desk(ctx, setter=setter) as desk:
        advice, sizes = next_with_sizes(desk)
    if as_json:
        told = sizes.model_dump(mode="json", by_alias=True) if sizes is not None else None
        print_json({**advice.model_dump(mode="json", by_alias=True), "sizes": told})
        return
    page(desk, next_lines(advice, sizes))
