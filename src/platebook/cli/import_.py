"""`platebook import FILE`: attempts from CSV, XLSX or a bundle, all or nothing."""

from pathlib import Path
from typing import TYPE_CHECKING, Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import click

from platebook.cli.bar import storing
from platebook.cli.class_ready import make_ready
from platebook.cli.options import (
    json_option,
    logbook_option,
    print_json,
    problem_keys,
    refuse,
    say,
    setter_option,
    tell,
)

if TYPE_CHECKING:
    from platebook.services.importing import Imported


@click.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--map",
    "maps",
    multiple=True,
    metavar='"HEADING=FIELD"',
    help="What a heading of theirs means.",
)
@click.option("--dates", type=click.Choice(["dmy", "mdy"]), help="How 3/2/2026 is meant.")
@click.option("--zone", metavar="NAME", help="Local time of the file, such as Europe/Lisbon.")
@click.option("--all", "everyone", is_flag=True, help="Of a bundle: everyone, not one setter.")
@click.option("--dry-run", is_flag=True, help="Check everything, store nothing.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def command(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    *,
    file: Path,
    maps: tuple[str, ...],
    dates: Literal["dmy", "mdy"] | None,
    zone: str | None,
    everyone: bool,
    dry_run: bool,
    setter: str | None,
    as_json: bool,
    logbook: str | None,  # noqa: ARG001 - read from the context
) -> None:
    """Bring attempts in from a CSV or XLSX file. With a problem in any row nothing is stored.

    Commas or semicolons, decimal commas, units as people type them: docs/csv.md tells how,
    and docs/fields.md lists the fields.
    A FILE named *.platebook is a bundle of another logbook; docs/sharing.md says what is taken in.
    """
    from platebook.cli.bundle import is_bundle, take_in
    from platebook.cli.desks import at_desk
    from platebook.services.importing import import_file

    if is_bundle(file):
        if maps or dates or zone:
            raise click.UsageError("A bundle says all by itself: no --map, no --dates, no --zone.")
        with at_desk(ctx, setter=setter) as desk:
            take_in(desk, file, everyone=everyone, dry_run=dry_run, as_json=as_json)
        return
    if everyone:
        raise click.UsageError("--all is for a bundle; a table is taken in whole.")
    try:
        local = ZoneInfo(zone) if zone else None
    except (ZoneInfoNotFoundError, ValueError):
        refuse([f"--zone: read {zone!r}, expected a time zone such as Europe/Lisbon"])
    with at_desk(ctx, setter=setter) as desk, storing(desk, file) as work:
        done = import_file(
            desk, file, maps=maps, dates=dates, zone=local, dry_run=dry_run, watch=work
        )
    _say(done, dry_run=dry_run, as_json=as_json)
    if done.stored:
        make_ready(desk)


def _say(done: "Imported", *, dry_run: bool, as_json: bool) -> None:
    """What came of it; ends the command where a problem stopped it."""
    faults = [p for p in done.problems if p.level == "problem"]
    for notice in done.problems:
        if notice.level == "notice":
            say(f"note: {notice}")
    if as_json:
        told = [{"row": p.row, **problem_keys(p)} for p in done.problems]
        print_json({"attempts": done.attempts, "stored": done.stored, "problems": told})
    if faults:
        refuse([*faults, f"{len(faults)} problem(s); nothing was stored."])
    if not as_json:
        outcome = "read without a problem; nothing stored (dry run)" if dry_run else "stored"
        tell(f"{done.attempts} attempts {outcome}.")
