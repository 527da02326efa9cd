"""`platebook check`: whether the logbook is whole."""

import sys

import click

from platebook.cli.options import DATA_SAYS_NO, json_option, logbook_option, print_json, tell


@click.command("check")
@logbook_option
@json_option
@click.pass_context
def command(ctx: click.Context, *, as_json: bool, logbook: str | None) -> None:  # noqa: ARG001 - the logbook is read from the context
    """Look whether the logbook is whole: the file, its links, and that its history adds up."""
    from platebook.cli.desks import at_desk
    from platebook.services.keeping import check

    with at_desk(ctx) as desk:
        wrong = check(desk)
    if as_json:
        print_json({"whole": not wrong, "findings": list(wrong)})
    else:
        tell("\n".join(wrong) if wrong else f"{desk.path}: whole.")
    if wrong:
        sys.exit(DATA_SAYS_NO)
