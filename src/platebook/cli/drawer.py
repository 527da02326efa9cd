"""`platebook drawer`: the tools of the setter in use."""

import click

from platebook.cli.options import (
    json_option,
    logbook_option,
    print_json,
    refuse,
    say,
    setter_option,
    tell,
)


@click.group("drawer")
def command() -> None:
    """The tools a setter owns: add, list."""


@command.command("add")
@click.argument(
    "kind", type=click.Choice(["twist drill", "bur", "pin", "burnisher", "punch", "measuring"])
)
@click.argument("size", required=False)
@click.option(
    "--name", default="", help="What you call it; made from shape and size where left out."
)
@click.option("--shape", help="For a bur: setting, hart, ball or flame.")
@click.option("--angle", type=float, help="Included angle of the cone, in degrees.")
@click.option("--seats", type=click.IntRange(min=0), default=0, help="Seats it has cut so far.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def add(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    *,
    kind: str,
    size: str | None,
    name: str,
    shape: str | None,
    angle: float | None,
    seats: int,
    setter: str | None,
    as_json: bool,
    logbook: str | None,  # noqa: ARG001 - read from the context
) -> None:
    """Put a tool into the drawer: KIND and SIZE as you would type it (1.9, 5/64in, #60)."""
    from platebook.cli.desks import at_desk
    from platebook.services.roster import add_tool
    from platebook.services.tools import tool_from

    tool, problems = tool_from(
        kind=kind, size=size, name=name, shape=shape, angle_deg=angle, seats_cut=seats
    )
    if tool is None:
        refuse(problems)
    with at_desk(ctx, setter=setter) as desk:
        added = add_tool(desk, tool)
    if as_json:
        print_json(added.model_dump(mode="json"))
        return
    tell(f"{added.name}  {added.tool_id}")


@command.command("list")
@setter_option
@logbook_option
@json_option
@click.pass_context
def list_(ctx: click.Context, *, setter: str | None, as_json: bool, logbook: str | None) -> None:  # noqa: ARG001 - the logbook is read from the context
    """List the tools, with the seats each bur has cut."""
    from platebook.cli.desks import at_desk
    from platebook.cli.pages import page
    from platebook.services.roster import tools

    with at_desk(ctx, setter=setter) as desk:
        found = tools(desk)
    if as_json:
        print_json({"tools": [tool.model_dump(mode="json") for tool in found]})
        return
    if not found:
        say("The drawer is empty: platebook drawer add bur 1.9 --shape setting")
        return
    page(
        desk,
        (
            f"{t.kind:<12} {t.name:<28} {f'{t.size_mm:g} mm' if t.size_mm else '':<9}"
            f"{f'{t.seats_cut} seats' if t.kind == 'bur' else ''}".rstrip()
            for t in found
        ),
    )
