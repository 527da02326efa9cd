"""`platebook report FILE.html`: one page to print and hand out."""

from pathlib import Path

import click

from platebook.cli.options import json_option, logbook_option, print_json, setter_option, tell


@click.command("report")
@click.argument("file", type=click.Path(path_type=Path))
@setter_option
@logbook_option
@json_option
@click.pass_context
def command(
    ctx: click.Context,
    *,
    file: Path,
    setter: str | None,
    as_json: bool,
    logbook: str | None,  # noqa: ARG001 - read from the context
) -> None:
    """Write a page about one setter: what next, the grades, what goes with failure, the last seats.

    The page stands alone, asks for nothing from anywhere, and prints on one side of A4 or Letter.
    """
    from platebook.cli.desks import at_desk
    from platebook.services.reporting import write_setter_page

    with at_desk(ctx, setter=setter) as desk:
        write_setter_page(desk, file)
    if as_json:
        print_json({"file": str(file)})
        return
    tell(f"{file}: written; open it in a browser to read or print it.")
