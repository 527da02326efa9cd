"""`platebook log`: attempts, newest first."""

import click

from platebook.cli.options import json_option, logbook_option, print_json, say, setter_option, tell


@click.command("log")
@click.option("--last", type=click.IntRange(min=1), default=20, help="How many.")
@click.option("--all", "everything", is_flag=True, help="All of them, oldest first.")
@click.option("--everyone", is_flag=True, help="Of every setter in the logbook.")
@click.option("--words", default="", help="Only those in which all these words stand.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def command(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    *,
    last: int,
    everything: bool,
    everyone: bool,
    words: str,
    setter: str | None,
    as_json: bool,
    logbook: str | None,  # noqa: ARG001 - read from the context
) -> None:
    """List attempts."""
    from platebook.cli.desks import at_desk
    from platebook.practice.json_rows import json_row
    from platebook.reports.log_table import log_lines
    from platebook.services.log import attempts_of, two_versions_of

    with at_desk(ctx, setter=setter) as desk:
        found = attempts_of(desk, words=words, last=None if everything else last, everyone=everyone)
        clashing = two_versions_of(desk, found)
    if as_json:
        rows = [json_row(attempt) for attempt in found]
        print_json({"attempts": rows, "two_versions": list(clashing)})
        return
    if not found:
        say("No attempts yet. `platebook record --help` says how to add one.")
        return
    tell("\n".join(log_lines(found, with_setter=everyone, two_versions=clashing)))
