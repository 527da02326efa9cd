"""`platebook findings`: what goes with failure."""

from typing import TYPE_CHECKING

import click

from platebook.cli.options import json_option, logbook_option, print_json, setter_option

if TYPE_CHECKING:
    from platebook.analysis.raw_values import RawValues


@click.command("findings")
@setter_option
@logbook_option
@json_option
@click.option("--values", "with_values", is_flag=True, help="The measured values behind each, too.")
@click.pass_context
def command(
    ctx: click.Context,
    *,
    setter: str | None,
    as_json: bool,
    with_values: bool,
    logbook: str | None,  # noqa: ARG001 - the logbook is read from the context
) -> None:
    """What goes with failure: worth watching, well supported, and what could not be judged."""
    from platebook.cli.desks import at_desk
    from platebook.cli.pages import page
    from platebook.reports.findings_text import findings_lines
    from platebook.services.answers import findings
    from platebook.services.finding_values import findings_with_values

    with at_desk(ctx, setter=setter) as desk:
        if with_values:
            both = findings_with_values(desk)
            answer, values = both.found, both.values
        else:
            answer, values = findings(desk), ()
    if as_json:
        keys = answer.model_dump(mode="json", by_alias=True)
        more = {"values": [None if one is None else _keys(one) for one in values]}
        print_json(keys | (more if with_values else {}))
        return
    page(desk, findings_lines(answer, values))


def _keys(values: "RawValues") -> dict[str, object]:
    names = dict(values.names)
    return {
        "variable": values.variable,
        "defect": values.defect,
        "unit": values.unit,
        "showed": [names.get(value, value) for value in values.showed],
        "others": [names.get(value, value) for value in values.others],
        "unmeasured": values.unmeasured,
        "cuts": [] if names else list(values.cuts),
    }
