"""`platebook drawer`: the tools of the setter in use."""

from pathlib import Path
from typing import TYPE_CHECKING, TypedDict, Unpack

import click

from platebook.cli.terminal.completion import tools
from platebook.cli.terminal.groups import NearGroup
from platebook.cli.terminal.options import (
    FILE,
    answer,
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

if TYPE_CHECKING:
    from collections.abc import Mapping

    from platebook.services.drawer.tool_checks import Checked
    from platebook.trade.records import Tool


WIDTHS = (11, 26, 8, 29)
"""Of kind, name, size and what is known of it; with the blanks between them 80."""


class TypedTool(TypedDict):
    """What may be typed of a tool, under the names by which `tool_from` takes it."""

    kind: str
    size: str | None
    name: str
    shape: str | None
    angle_deg: float | None
    floor_deg: float | None
    seats_cut: int
    measuring_kind: str | None
    resolution: str | None
    mpe: str | None


class TypedCheck(TypedDict):
    """What may be typed of a check, under the names by which `check_tool` takes it."""

    known: str
    readings: tuple[str, ...]
    against: str
    uncertainty: str | None


@click.group("drawer", cls=NearGroup)
def command() -> None:
    """The tools a setter owns: add, list, take-out, check, study."""


@command.command("add")
@click.argument(
    "kind",
    type=click.Choice(
        ["twist drill", "bur", "pin", "burnisher", "punch", "measuring"], case_sensitive=False
    ),
)
@click.argument("size", required=False)
@click.option(
    "--name", default="", help="What you call it; made from shape and size where left out."
)
@click.option("--shape", help="For a bur: setting, hart, ball or flame.")
@click.option(
    "--angle",
    "angle_deg",
    type=float,
    help="Degrees: of a setting bur its tip's, of a hart bur its edge's.",
)
@click.option(
    "--floor",
    "floor_deg",
    type=float,
    help="Degrees: how steep a floor it cuts, as measured, instead of --angle.",
)
@click.option(
    "--kind",
    "measuring_kind",
    metavar="KIND",
    help="Of a measuring tool: caliper, micrometer, bore gauge, pins, depth gauge, ...",
)
@click.option("--resolution", metavar="LENGTH", help="Of a measuring tool: its finest step.")
@click.option("--mpe", metavar="LENGTH", help="Of a measuring tool: its maximum permissible error.")
@click.option(
    "--seats",
    "seats_cut",
    type=click.IntRange(0, 100_000),
    default=0,
    help="Seats it has cut so far.",
)
@setter_option
@logbook_option
@json_option
@click.pass_context
def add(
    ctx: click.Context,
    *,
    setter: str | None,
    as_json: bool,
    **typed: Unpack[TypedTool],
) -> None:
    """Put a tool into the drawer: KIND and SIZE as you would type it (1.9, 5/64in, #60)."""
    from platebook.services.drawer.drawer import tool_from
    from platebook.services.drawer.tool_names import tools_named
    from platebook.services.people.setters import add_tool, tools

    tool, problems = tool_from(**typed)
    if tool is None:
        refuse(problems)
    with in_session(ctx, setter=setter) as session:
        alike = tools_named(tools(session), tool.name)
        added = add_tool(session, tool)
    for notice in problems:
        say(f"note: {notice}")
    if alike:
        say(f"note: {added.name} lies in the drawer already; with --name they can be told apart.")
    answer(f"{added.name}  {added.tool_id}", added.model_dump(mode="json"), as_json=as_json)


@command.command("take-out")
@click.argument("tool", shell_complete=tools)
@setter_option
@logbook_option
@json_option
@click.pass_context
def take_out(
    ctx: click.Context,
    *,
    tool: str,
    setter: str | None,
    as_json: bool,
) -> None:
    """Take TOOL (name, id or an id's ending) out of the drawer; `platebook undo` puts it back."""
    from platebook.services.drawer.drawer import take_out_named

    with in_session(ctx, setter=setter) as session:
        done = take_out_named(session, tool)
    answer(done, {"done": done}, as_json=as_json)


@command.command("check")
@click.argument("tool", shell_complete=tools)
@click.option(
    "--against", "known", required=True, metavar="LENGTH", help="The known size, such as 2.00."
)
@click.option(
    "--reading",
    "readings",
    multiple=True,
    metavar="LENGTH",
    help="What the tool read; give it once a reading, five times or more.",
)
@click.option(
    "--what", "against", default="", help="What was read: plug gauge, drill shank, gauge block."
)
@click.option("--uncertainty", metavar="LENGTH", help="Standard uncertainty of the known size.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def check(
    ctx: click.Context,
    *,
    tool: str,
    setter: str | None,
    as_json: bool,
    **typed: Unpack[TypedCheck],
) -> None:
    """Check a measuring TOOL of the drawer against a known size; later readings are corrected."""
    from platebook.services.drawer.tool_checks import check_tool

    with in_session(ctx, setter=setter) as session:
        done = check_tool(session, tool, **typed)
    answer(
        "\n".join(done.sentences),
        {"tool": done.tool.name, "check_id": done.check.check_id, **_figures(done)},
        as_json=as_json,
    )


@command.command("study")
@click.argument("file", type=FILE)
@logbook_option
@json_option
@click.pass_context
def study(ctx: click.Context, *, file: Path, as_json: bool) -> None:
    """A gauge study: FILE.csv with the columns part, person, reading; several people, same stones.

    By the average and range method: what the gauge and its users make of the spread.
    """
    from platebook.services.drawer.gauge_studies import study_file, study_keys, study_lines

    with in_session(ctx, look=False):
        gauge = study_file(file)
    answer("\n".join(study_lines(gauge)), study_keys(gauge), as_json=as_json)


@command.command("list")
@setter_option
@logbook_option
@json_option
@click.pass_context
def list_(ctx: click.Context, *, setter: str | None, as_json: bool) -> None:
    """List the tools, with the seats each bur has cut and the last check of what measures."""
    from platebook.reports.text.figures import in_columns
    from platebook.services.drawer.tool_checks import last_checks
    from platebook.services.people.setters import tools

    with in_session(ctx, setter=setter) as session:
        drawer = tools(session)
        checks = last_checks(session) if drawer else {}
    if as_json:
        rows = []
        for tool in drawer:
            last = checks.get(tool.tool_id or "")
            rows.append({**tool.model_dump(mode="json"), "check": last and _figures(last)})
        print_json({"tools": rows})
        return
    if not drawer:
        say("The drawer is empty: platebook drawer add bur 1.9 --shape setting")
        return
    shown = (
        (t.kind, t.name, f"{t.size_mm:g} mm" if t.size_mm else "", _known_of(t, checks))
        for t in drawer
    )
    page(session, in_columns(shown, WIDTHS))


def _known_of(tool: "Tool", checks: "Mapping[str, Checked]") -> str:
    """What is known of a tool's use: seats of a bur, kind and check of what measures."""
    if tool.kind == "bur":
        return count_of(tool.seats_cut, "seat")
    if tool.kind != "measuring":
        return ""
    last, kind = checks.get(tool.tool_id or ""), tool.measuring_kind
    return f"{kind}, {_check_of(last)}" if kind else _check_of(last)


def _check_of(last: "Checked | None") -> str:
    from platebook.services.drawer.tool_checks import check_words

    if last is None:
        return check_words(last)
    several = last.repeatability_mm is not None and last.expanded_mm is not None
    good_to = f", good to ± {last.expanded_mm:.3f} mm" if several else ""
    return f"{check_words(last)}: reads {last.bias_mm:+.3f} mm{good_to}"


def _figures(done: "Checked") -> dict[str, object]:
    return {
        "known_mm": done.check.known_mm,
        "readings_mm": list(done.check.readings_mm),
        "checked": done.check.checked.isoformat() if done.check.checked else None,
        "bias_mm": done.bias_mm,
        "repeatability_mm": done.repeatability_mm,
        "expanded_mm": done.expanded_mm,
        "within_mpe": done.within_mpe,
        "settles_window": done.settles_window,
        "sentences": list(done.sentences),
    }
