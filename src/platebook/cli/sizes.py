"""`platebook sizes DIAMETER`: the set-up sheet for one stone."""

import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from platebook.cli.terminal.completion import tools
from platebook.cli.terminal.options import (
    FILE,
    answer,
    in_session,
    json_option,
    logbook_option,
    refuse,
    say,
    setter_option,
    shows_dots,
)

if TYPE_CHECKING:
    from platebook.trade.setup_sheet import SetUpSheet

BELOW_ZERO = re.compile(r"-[.,]?\d")


class SizesCommand(click.Command):
    """A command that takes a size below zero for a size, though it begins like an option."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Any other word that begins like an option and is none is refused as such."""
        ctx.ignore_unknown_options = any(BELOW_ZERO.match(arg) for arg in args)
        return super().parse_args(ctx, args)


@click.command("sizes", cls=SizesCommand)
@click.argument("diameter")
@click.option("--depth", help="Table to culet, such as 1.20; without it the named cut's is taken.")
@click.option("--sheet", help="One layer, such as 20ga or 0.8; without it the customary gauge.")
@click.option("--layers", default="1", help="How many layers of that sheet.")
@click.option("--material", help="The stone, such as cz.")
@click.option("--metal", help="The sheet's metal, such as copper.")
@click.option("--method", default="snap in", help="drop in, push in or snap in.")
@click.option("--hole", help="The smallest gauged hole an uneven stone enters, such as 2.04.")
@click.option("--girdle", help="Its thinnest and thickest girdle, such as 0.03-0.07.")
@click.option("--table-off", help="How much higher one side of its table lies, such as 0.04.")
@click.option("--hand-cut", is_flag=True, flag_value="yes", default="", help="A hand-cut stone.")
@click.option("--curve", help="Curved metal and its outer radius: ring 9, dome 12, ring 9 off 0.2.")
@click.option("--pitch", help="From this stone's centre to the next one's, such as 2.6.")
@click.option(
    "--rule",
    "rules",
    multiple=True,
    metavar="ID",
    help="Go by this rule of thumb for once; platebook setter rules lists them.",
)
@click.option(
    "--measured-with",
    shell_complete=tools,
    metavar="TOOL",
    help="What read the diameter; left out: the one checked in the drawer; none: no correction.",
)
@click.option(
    "--svg",
    type=FILE,
    metavar="FILE",
    help="Write the seat in section to a new SVG file, for paper; of curved metal two.",
)
@click.option(
    "--card",
    type=FILE,
    metavar="FILE",
    help="Write the card for the bench to a new SVG file: tools, depth, section, cautions.",
)
@click.option("--plain", is_flag=True, help="Words alone, without the seat drawn (as in a pipe).")
@setter_option
@logbook_option
@json_option
@click.pass_context
def command(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    /,
    *,
    as_json: bool,
    setter: str | None,
    svg: Path | None,
    card: Path | None,
    plain: bool,
    rules: tuple[str, ...],
    measured_with: str | None,
    **typed: str,
) -> None:
    """Which drill, burs and sheet for a stone of this DIAMETER.

    Lengths as people type them: 1.98, 1,98, .078in, 5/64in, 20ga, #60; a stone out of round as its
    smallest and largest diameter, 1.95-2.01. What lies in the drawer of the setter in use is
    offered first, with what to buy where nothing there is near enough. A diameter read with the
    one checked caliper or micrometer of the drawer is corrected by its check, and that is said.
    """
    from platebook.reports.text.sizes_text import sizes_card
    from platebook.services.answers import rules_at, tools_and_hand
    from platebook.services.sizes import sizes_for, stone_tool
    from platebook.trade.rules import chosen_over
    from platebook.values import as_dict

    with in_session(ctx, setter=setter) as session:
        drawer, hand = tools_and_hand(session)
        chosen = chosen_over(rules, rules_at(session))
        read_with = stone_tool(session, measured_with)
    sized = sizes_for(typed, drawer=drawer, hand=hand, rules=chosen, read_with=read_with)
    if sized.sizes is None:
        refuse(f"{p.field}: read {p.read!r}, expected {p.expected}" for p in sized.problems)
    for notice in sized.problems:
        say(f"note: {notice.field}: read {notice.read!r}, expected {notice.expected}")
    if svg is not None:
        _draw(ctx, sized.sizes, svg)
    if card is not None:
        _write_card(ctx, sized.sizes, card)
    lines = sizes_card(sized.sizes, picture=not plain and shows_dots())
    keys = as_dict(sized.sizes)
    answer("\n".join(lines), keys, as_json=as_json)


def _draw(ctx: click.Context, sizes: "SetUpSheet", file: Path) -> None:
    from platebook.reports.drawings.section_svg import section_svg
    from platebook.services.files import write_new

    with in_session(ctx, look=False):
        write_new(file, section_svg(sizes))
        say(f"{file}: written.")
        if sizes.curve is not None:
            along = file.with_stem(f"{file.stem}-along")
            write_new(along, section_svg(sizes, cut="along"))
            say(f"{along}: written, cut along the {sizes.curve.kind}.")


def _write_card(ctx: click.Context, sizes: "SetUpSheet", file: Path) -> None:
    from platebook.reports.drawings.bench_card import card_svg
    from platebook.services.files import write_new

    with in_session(ctx, look=False):
        write_new(file, card_svg(sizes))
    say(f"{file}: written.")
