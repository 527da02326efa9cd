"""`platebook restore FILE`: a backup in the logbook's place."""

from pathlib import Path

import click

from platebook.cli.options import json_option, logbook_option, print_json, tell


@click.command("restore")
@click.argument("file", type=click.Path(path_type=Path))
@logbook_option
@json_option
@click.pass_context
def command(ctx: click.Context, *, file: Path, as_json: bool, logbook: str | None) -> None:  # noqa: ARG001 - the logbook is read from the context
    """Put the backup FILE in the logbook's place; the logbook that was there is kept beside it."""
    from platebook.cli.desks import at_desk
    from platebook.services.keeping import restore

    with at_desk(ctx, look=False) as desk:
        kept = restore(desk, file)
    if as_json:
        print_json({"logbook": str(desk.path), "kept": str(kept) if kept else None})
        return
    tell(f"{desk.path}: restored from {file}.")
    if kept is not None:
        tell(f"The logbook that was there is kept as {kept}.")
