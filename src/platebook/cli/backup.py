"""`platebook backup FILE`: a copy that is proven readable."""

from functools import partial
from pathlib import Path

import click

from platebook.cli.bar import long_work, new_file_left
from platebook.cli.options import json_option, logbook_option, print_json, tell


@click.command("backup")
@click.argument("file", type=click.Path(path_type=Path))
@logbook_option
@json_option
@click.pass_context
def command(ctx: click.Context, *, file: Path, as_json: bool, logbook: str | None) -> None:  # noqa: ARG001 - the logbook is read from the context
    """Copy the logbook to FILE; it is read back and compared before it gets that name."""
    from platebook.cli.desks import at_desk
    from platebook.services.keeping import backup

    left = partial(new_file_left, file)
    with at_desk(ctx) as desk, long_work("Copying the logbook", left):
        backup(desk, file)
    if as_json:
        print_json({"file": str(file)})
        return
    tell(f"{file}: written, read back and compared.")
