"""`platebook findings`, `progress` and `next`: the three answers."""

from datetime import datetime
from textwrap import wrap
from typing import TYPE_CHECKING

import click

from platebook.cli.options import (
    in_session,
    json_option,
    logbook_option,
    page,
    print_json,
    setter_option,
)

if TYPE_CHECKING:
    from platebook.analysis.findings.raw_values import RawValues
    from platebook.analysis.grades.calendar import By


@click.command("findings")
@setter_option
@logbook_option
@json_option
@click.option(
    "--since",
    type=click.DateTime(["%Y-%m-%d"]),
    help="Only attempts on or after this day (YYYY-MM-DD).",
)
@click.option(
    "--all",
    "everything",
    is_flag=True,
    help="All attempts, not only the latest 400 of the last twelve months.",
)
@click.option("--values", "with_values", is_flag=True, help="The measured values behind each, too.")
@click.pass_context
def findings_command(
    ctx: click.Context,
    *,
    setter: str | None,
    as_json: bool,
    with_values: bool,
    since: datetime | None,
    everything: bool,
) -> None:
    """What goes with failure: worth watching, well supported, and what could not be judged."""
    from platebook.reports.text.analysis_text import findings_lines
    from platebook.services.answers import findings, findings_with_values

    if since is not None and everything:
        raise click.UsageError("--since and --all are two different questions; ask one.")
    day = since.date() if since is not None else None
    with in_session(ctx, setter=setter) as session:
        if with_values:
            both = findings_with_values(session, since=day, everything=everything)
            answer, values = both.findings, both.values
        else:
            answer, values = findings(session, since=day, everything=everything), ()
    if as_json:
        keys = answer.model_dump(mode="json", by_alias=True)
        more = {"values": [None if raw is None else _keys(raw) for raw in values]}
        print_json(keys | (more if with_values else {}))
        return
    page(session, findings_lines(answer, values))


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


@click.command("progress")
@setter_option
@logbook_option
@json_option
@click.option(
    "--by",
    type=click.Choice(("evening", "month", "term", "year")),
    help="By the calendar too: each period with its share of good ones.",
)
@click.option("--since", metavar="DATE", help="From this year, month or day on: 2025-09.")
@click.option("--grade", metavar="GRADE", help="The calendar of one grade (its id); default: all.")
@click.pass_context
def progress_command(
    ctx: click.Context,
    *,
    setter: str | None,
    as_json: bool,
    by: "By | None",
    since: str | None,
    grade: str | None,
) -> None:
    """Where each grade stands: rate, share good now, points; and practice by the calendar."""
    from platebook.reports.text.analysis_text import progress_lines
    from platebook.reports.text.calendar_text import calendar_lines
    from platebook.services.answers import progress_by_calendar

    with in_session(ctx, setter=setter) as session:
        answer, periods = progress_by_calendar(session, by, since=since, grade=grade)
    if as_json:
        more = {"calendar": periods.model_dump(mode="json")} if periods is not None else {}
        print_json({**answer.model_dump(mode="json", by_alias=True), **more})
        return
    asked = () if periods is None else ("", *calendar_lines(periods))
    page(session, (*progress_lines(answer), *asked))


@click.command("next")
@setter_option
@logbook_option
@json_option
@click.pass_context
def next_command(
    ctx: click.Context,
    *,
    setter: str | None,
    as_json: bool,
) -> None:
    """What to practise next, why, what would change it, and the sizes to use."""
    from platebook.reports.text.sizes_text import next_lines
    from platebook.services.answers import next_with_sizes
    from platebook.services.seeing import seeing_view

    with in_session(ctx, setter=setter) as session:
        advice, sizes = next_with_sizes(session)
        seeing = seeing_view(session).sentence
    if as_json:
        sheet = sizes.model_dump(mode="json", by_alias=True) if sizes is not None else None
        print_json(
            {**advice.model_dump(mode="json", by_alias=True), "sizes": sheet, "seeing": seeing}
        )
        return
    page(session, (*next_lines(advice, sizes), *(("", *wrap(seeing, 78)) if seeing else ())))
