"""`platebook record`: an attempt from options, or many as JSON."""

import json
import sys
from pathlib import Path
from typing import Literal

import click

from platebook.cli.options import (
    in_session,
    json_option,
    logbook_option,
    print_json,
    refuse,
    say,
    setter_option,
    tell,
    values_from,
)

SHORT = {
    "when": ("began", "When it began; now where left out."),
    "grade": ("grade", "The grade's id; proposed from stone and metal where left out."),
    "kind": ("kind", "whole, part or block."),
    "part": ("part", "For a part: which skill."),
    "diameter": ("stone_diameter_mm", "The stone's girdle, such as 1.98."),
    "depth": ("stone_depth_mm", "The stone from table to culet."),
    "metal": ("metal", "The sheet's metal."),
    "sheet": ("sheet_mm", "One layer, such as 20ga."),
    "pilot": ("pilot_mm", "The pilot drill."),
    "opening": ("opening_bur_mm", "The opening bur."),
    "bur": ("seat_bur_mm", "The seat bur."),
    "fit": ("fit", "1 will not enter ... 5 drops in and moves."),
    "trial-height": ("trial_height", "proud, flush, just under or deep."),
    "ledge": ("ledge", "even, slightly or clearly: wider on one side."),
    "result": ("result", "good, or defects joined by ;"),
    "severity": ("severity", "1 slight, 2 clear, 3 lost; in the order of the result."),
    "clock": ("clock", "1 to 12: where on the rim, the plate's notch is 12."),
    "first-seen": ("first_seen", "The step at which it was first seen."),
    "note": ("note", "Anything else."),
}


def _short_options(function: "click.decorators.FC") -> "click.decorators.FC":
    for name, (field, meaning) in reversed(SHORT.items()):
        function = click.option(f"--{name}", field, metavar="", help=meaning)(function)
    return function


@click.command("record")
@_short_options
@click.option("--set", "pairs", multiple=True, metavar="FIELD=VALUE", help="Any other field.")
@click.option("--from", "file", metavar="FILE.json", help="Many attempts; - for standard input.")
@click.option("--dates", type=click.Choice(["dmy", "mdy"]), help="How 3/2/2026 is meant.")
@click.option("--dry-run", is_flag=True, help="Check everything, store nothing.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def command(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    /,
    *,
    pairs: tuple[str, ...],
    file: str | None,
    dates: Literal["dmy", "mdy"] | None,
    dry_run: bool,
    setter: str | None,
    as_json: bool,
    **short: str | None,
) -> None:
    """Add an attempt from options, or many from a JSON file.

    The file holds one object or a list of objects with the field names of docs/fields.md. It is
    all or nothing: with a problem in any attempt nothing is stored.
    """
    from platebook.services.attempts.recording import record

    rows = _rows_from(file) if file else [_row_from(pairs, short)]
    with in_session(ctx, setter=setter) as session:
        done = record(session, rows, dates=dates, dry_run=dry_run)
    if any(problem.level == "problem" for problem in done.problems):
        refuse([*done.problems, "Nothing was stored."])
    for notice in done.problems:
        say(f"note: {notice}")
    if as_json:
        print_json({"ids": list(done.ids), "stored": done.stored})
        return
    if dry_run:
        say("Read without a problem; nothing stored (dry run).")
        return
    if not done.ids:
        say("No attempts in it; nothing was stored.")
        return
    tell("\n".join(done.ids))


def _row_from(pairs: tuple[str, ...], short: dict[str, str | None]) -> dict[str, object]:
    typed: dict[str, object] = {name: value for name, value in short.items() if value is not None}
    row = typed | values_from(pairs, "--set ")
    if not row:
        raise click.UsageError("nothing to record: give at least --result, or --from FILE.json")
    return row


def _rows_from(file: str) -> list[dict[str, object]]:
    try:
        data = sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()
        content = json.loads(data.decode("utf-8-sig"))
    except OSError as error:
        refuse([f"{file}: {error.strerror}"])
    except ValueError as error:
        refuse([f"{file}: not JSON in UTF-8: {error}"])
    except RecursionError:
        refuse([f"{file}: expected an object or a list of objects, read lists too deep to follow"])
    rows = content.get("attempts", [content]) if isinstance(content, dict) else content
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        refuse([f"{file}: expected an object or a list of objects, one an attempt"])
    return rows
