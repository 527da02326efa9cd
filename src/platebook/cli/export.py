"""`platebook export FILE`: attempts as CSV, XLSX or a bundle, by its suffix."""

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
    """Write attempts to a CSV or XLSX file that `platebook import` reads back as the same attempts.

    A FILE named *.platebook is a bundle: all that this logbook hands on, with its history, or with
    --setter all that it knows about one person.
    """
    from platebook.cli.bundle import hand_on, is_bundle
    from platebook.cli.desks import at_desk
    from platebook.services.importing import export_file

    if is_bundle(file):
        if words or everyone:
            raise click.UsageError(
                "A bundle holds all that is handed on: no --words, no --everyone."
            )
        with at_desk(ctx, setter=setter) as desk:
            hand_on(desk, file, setter=setter, as_json=as_json)
        return
    with at_desk(ctx, setter=setter) as desk:
        count = export_file(desk, file, everyone=everyone, words=words)
    if as_json:
        print_json({"file": str(file), "attempts": count})
        return
    tell(f"{file}: {count} attempts.")
