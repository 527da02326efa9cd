"""`platebook plate`: practice plates, laid out and printed at their size."""

from pathlib import Path

import click

from platebook.cli.terminal.completion import plates
from platebook.cli.terminal.groups import NearGroup
from platebook.cli.terminal.options import (
    FILE,
    answer,
    answer_list,
    in_session,
    json_option,
    logbook_option,
    page,
    print_json,
    refuse,
    say,
    setter_option,
)
from platebook.trade.phrases import count_of
from platebook.values import as_dict


@click.group("plate", cls=NearGroup)
def command() -> None:
    """Practice plates: new, list, show, print; paper to fill in."""


@command.command("new")
@click.argument("name")
@click.option("--width", help="How wide the metal is, such as 50.")
@click.option("--height", help="How high it is, such as 30.")
@click.option(
    "--stones",
    default="2.0",
    show_default=True,
    help="Stone sizes, such as 1.5,2.0; a row each in turn.",
)
@click.option("--edge", help="From the outermost centres to the edge; by the rule if left out.")
@click.option("--pitch", help="From centre to centre; by the rule if left out.")
@click.option("--metal", help="The plate's metal, such as copper.")
@click.option("--sheet", help="Its thickness, such as 20ga.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def new(
    ctx: click.Context,
    /,
    *,
    setter: str | None,
    as_json: bool,
    **typed: str | None,
) -> None:
    """Lay out a plate NAME with as many numbered positions as fit, for the setter in use."""
    from platebook.services.plates import new_plate, plate_from

    plate, problems = plate_from(typed)
    if plate is None:
        refuse(problems)
    with in_session(ctx, setter=setter) as session:
        made = new_plate(session, plate)
    rows = -(-len(made.positions) // made.across)
    answer(
        f"{made.name}: {count_of(len(made.positions), 'position')}, {rows} by {made.across}",
        made.model_dump(mode="json"),
        as_json=as_json,
    )


@command.command("list")
@setter_option
@logbook_option
@json_option
@click.pass_context
def list_(ctx: click.Context, *, setter: str | None, as_json: bool) -> None:
    """List the plates, with how many positions are taken."""
    from platebook.services.plates import plates_of

    with in_session(ctx, setter=setter) as session:
        plates_used = plates_of(session)
    rows = ({**p.plate.model_dump(mode="json"), "taken": p.taken} for p in plates_used)
    lines = (
        f"{p.plate.name:<24} {p.taken:>3} of {len(p.plate.positions):<4} "
        f"{p.plate.metal or ''}".rstrip()
        for p in plates_used
    )
    nothing = "No plate yet: platebook plate new NAME --width 50 --height 30"
    answer_list(session, "plates", rows, lines, nothing, as_json=as_json)


@command.command("show")
@click.argument("name", shell_complete=plates)
@setter_option
@logbook_option
@json_option
@click.pass_context
def show(
    ctx: click.Context,
    *,
    name: str,
    setter: str | None,
    as_json: bool,
) -> None:
    """Show the positions of a plate, each with what came of it and its attempt."""
    from platebook.services.plates import plate_positions

    with in_session(ctx, setter=setter) as session:
        view = plate_positions(session, name)
    if as_json:
        print_json({"plate": view.name, "positions": [as_dict(cell) for cell in view.cells]})
        return
    page(
        session,
        (
            f"{cell.position:<6} {cell.sign or '.'}  {cell.result or 'free':<28} "
            f"{cell.attempt_id[-6:]}".rstrip()
            for cell in view.cells
        ),
    )


@command.command("print")
@click.argument("name", shell_complete=plates)
@click.argument("file", type=FILE)
@click.option(
    "--cards",
    is_flag=True,
    help="Instead of the plate the cards for its stones: tools, depths, sections, cautions.",
)
@click.option(
    "--each-page",
    type=click.IntRange(1, 100),
    default=1,
    show_default=True,
    help="So many copies on a page, such as 12 for a class, each with a line for a name.",
)
@click.option("--method", default="snap in", help="For the cards: drop in, push in or snap in.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def print_(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    *,
    name: str,
    file: Path,
    cards: bool,
    each_page: int,
    method: str,
    setter: str | None,
    as_json: bool,
) -> None:
    """Write the plate NAME (or its id) to a new SVG file at 1:1, with a bar to check it by."""
    from platebook.services.files import write_new
    from platebook.services.pages.plate_prints import plate_cards, plate_print

    if cards and each_page > 1:
        raise click.UsageError("--each-page is for plates; the cards are as many as its stones.")
    with in_session(ctx, setter=setter) as session:
        print_out = (
            plate_cards(session, name, method) if cards else plate_print(session, name, each_page)
        )
        write_new(file, print_out.svg)
    if print_out.larger:
        say(f"note: {print_out.larger}")
    bar = "" if cards else "; the bar must measure 50 mm"
    answer(
        f"{file}: print it at 100 %{bar}.",
        {"file": str(file), "larger_than_paper": print_out.larger},
        as_json=as_json,
    )


@command.command("paper")
@click.argument("file", type=FILE)
@click.option(
    "--plate",
    "name",
    shell_complete=plates,
    help="Its free positions; the plate of the moment if left out.",
)
@click.option("--rows", type=click.IntRange(1, 100), help="So many places instead of a plate's.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def paper(
    ctx: click.Context,
    *,
    file: Path,
    name: str | None,
    rows: int | None,
    setter: str | None,
    as_json: bool,
) -> None:
    """Write a sheet to fill in by pencil to a new SVG or HTML file: the next exercise's form.

    Afterwards the plate grid of the app takes it down column by column: w on Now, then d for an
    earlier day.
    """
    from platebook.services.pages.paper import write_paper

    with in_session(ctx, setter=setter) as session:
        count = write_paper(session, file, plate=name, rows=rows)
    answer(
        f"{file}: {count_of(count, 'place')}; print it on A4 across.",
        {"file": str(file), "places": count},
        as_json=as_json,
    )
