"""`platebook show ID`: one attempt with its history."""

import click

from platebook.cli.options import json_option, logbook_option, print_json, tell


@click.command("show")
@click.argument("attempt_id", metavar="ID")
@logbook_option
@json_option
@click.pass_context
def command(ctx: click.Context, *, attempt_id: str, as_json: bool, logbook: str | None) -> None:  # noqa: ARG001 - the logbook is read from the context
    """Show one attempt, what others saw of it, and every change made to it.

    An ID may be its last few letters.
    """
    from platebook.cli.desks import at_desk
    from platebook.practice.json_rows import json_row
    from platebook.reports.log_table import attempt_lines, inspection_lines
    from platebook.services.log import attempt_history, attempt_with, inspections_of

    with at_desk(ctx) as desk:
        attempt = attempt_with(desk, attempt_id)
        history = attempt_history(desk, attempt.attempt_id or attempt_id)
        looks = inspections_of(desk, attempt)
    if as_json:
        seen = [look.model_dump(mode="json") for look in looks]
        print_json({"attempt": json_row(attempt), "inspections": seen, "history": list(history)})
        return
    seen_lines = ("", "Inspections", *inspection_lines(looks)) if looks else ()
    tell("\n".join((*attempt_lines(attempt), *seen_lines, "", "History", *history)))
