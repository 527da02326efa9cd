"""`platebook export FILE`: attempts to a CSV file."""

from pathlib import Path

import click

from platebook.cli.options import json_option, logbook_option, print_json, setter_option, tell


@click.command("export")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--everyone", is_flag=True, help="Of every setter in the logbook.")
@click.option("--words", default="", help="Only those in which all these words stand.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def command(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    *,
    file: Path,
    everyone: bool,
    words: str,
    setter: str | None,
    as_json: bool,
    logbook: str | None,  # noqa: ARG001 - read from the context
) -> None:
    """Write attempts to a CSV file that `platebook import` reads back as the same attempts."""
    from platebook.cli.desks import at_desk
    from platebook.services.importing import export_file

    with at_desk(ctx, setter=setter) as desk:
        count = export_file(desk, file, everyone=everyone, words=words)
    if as_json:
        print_json({"file": str(file), "attempts": count})
        return
    tell(f"{file}: {count} attempts.")
