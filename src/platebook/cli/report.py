"""`platebook report FILE.html`: one page to print and hand out."""

from functools import partial
from pathlib import Path

import click

from platebook.cli.options import json_option, logbook_option, print_json, setter_option, tell
from platebook.cli.progress_bar import long_work, new_file_left


@click.command("report")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--class", "whole_class", is_flag=True, help="About the class instead of one setter.")
@click.option("--group", help="One group of the logbook; it means --class.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def command(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    *,
    file: Path,
    whole_class: bool,
    group: str | None,
    setter: str | None,
    as_json: bool,
    logbook: str | None,  # noqa: ARG001 - read from the context
) -> None:
    """Write a page about one setter: what next, the grades, what goes with failure, the last seats.

    With --class a page about everyone: a line a setter, one topic for all, room for initials.

    The page stands alone, asks for nothing from anywhere, and prints on one side of A4 or Letter.
    """
    from platebook.cli.options import in_session
    from platebook.services.report_pages import write_class_page, write_setter_page

    if (whole_class or group) and setter:
        raise click.UsageError("A page is about one setter or about a class: not both.")
    with in_session(ctx, setter=setter) as session:
        if whole_class or group:
            with long_work("Reading the class", partial(new_file_left, file)) as work:
                write_class_page(session, file, group, watch=work)
        else:
            write_setter_page(session, file)
    if as_json:
        print_json({"file": str(file)})
        return
    tell(f"{file}: written; open it in a browser to read or print it.")
