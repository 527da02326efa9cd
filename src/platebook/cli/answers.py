"""`platebook findings`, `progress` and `next`: the three answers."""

from datetime import datetime
from typing import TYPE_CHECKING

import click

from platebook.cli.terminal.completion import grades
from platebook.cli.terminal.options import (
    in_session,
    json_option,
    logbook_option,
    page,
    print_json,
    setter_option,
)
from platebook.cli.terminal.window_options import asked_for, window_options
from platebook.values import as_dict, json_dict

if TYPE_CHECKING:
    from platebook.analysis.findings.telling.raw_values import RawValues
    from platebook.analysis.periods.calendar import By
    from platebook.services.session import Session


@click.command("findings")
@setter_option
@logbook_option
@json_option
@window_options
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
    from platebook.reports.text.analysis_text import findings_lines, trial_lines
    from platebook.services.findings import findings, findings_with_values, trials_of

    asked = asked_for(since, everything=everything)
    with in_session(ctx, setter=setter) as session:
        trials = trials_of(session)
        if with_values:
            both = findings_with_values(session, asked=asked)
            answer, values = both.findings, both.values
        else:
            answer, values = findings(session, asked=asked), ()
    if as_json:
        keys = answer.model_dump(mode="json", by_alias=True)
        keys["trials"] = [trial.model_dump(mode="json") for trial in trials]
        more = {"values": [None if raw is None else _keys(raw) for raw in values]}
        print_json(keys | (more if with_values else {}))
        return
    page(session, (*findings_lines(answer, values), *trial_lines(trials)))


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
@click.option(
    "--grade",
    metavar="GRADE",
    shell_complete=grades,
    help="The calendar of one grade (its id); default: all.",
)
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
    from platebook.reports.text.received_text import received_lines
    from platebook.services.answers import progress_by_calendar
    from platebook.services.from_others import from_others

    with in_session(ctx, setter=setter) as session:
        answer, periods = progress_by_calendar(session, by, since=since, grade=grade)
        received = from_others(session)
    if as_json:
        more = {"calendar": json_dict(periods)} if periods is not None else {}
        print_json({**json_dict(answer), **more, **as_dict(received)})
        return
    asked = () if periods is None else ("", *calendar_lines(periods))
    said = ("", "From others", *received_lines(received)) if received.ids else ()
    page(session, (*progress_lines(answer), *asked, *said))


@click.command("next")
@click.option(
    "--grade",
    metavar="ID",
    shell_complete=grades,
    help="Practise this grade of the course from now on.",
)
@click.option("--exercise", metavar="ID", help="Practise this exercise of the course from now on.")
@click.option("--suggested", is_flag=True, help="Drop your own choice; practise what is suggested.")
@click.option(
    "--settle",
    metavar="VARIABLE",
    help="Lay out a block of eight that settles a lead about this variable (see findings).",
)
@click.option(
    "--defect", metavar="DEFECT", help="With --settle: about this defect; else the lead's own."
)
@setter_option
@logbook_option
@json_option
@click.pass_context
def next_command(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    *,
    grade: str | None,
    exercise: str | None,
    suggested: bool,
    settle: str | None,
    defect: str | None,
    setter: str | None,
    as_json: bool,
) -> None:
    """What to practise next, why, what would change it, and the sizes to use.

    The setter may choose: a grade or an exercise, or a block that settles a lead; the choice stands
    until --suggested. Said beside it: how today or the last time went, what comes next time, and
    what to mind by the findings.
    """
    from platebook.reports.text.sizes_text import next_lines
    from platebook.services.now.minding import mind_today
    from platebook.services.now.now_view import now

    wanted = {
        "--grade or --exercise": grade or exercise,
        "--suggested": suggested,
        "--settle": settle,
    }
    asked = [option for option, given in wanted.items() if given]
    if len(asked) > 1:
        raise click.UsageError(f"one choice at a time: {' or '.join(asked)}")
    if defect and not settle:
        raise click.UsageError("--defect goes with --settle")
    with in_session(ctx, setter=setter) as session:
        chosen = _choose(session, grade, exercise, settle, defect, suggested=suggested)
        view, minding = now(session), mind_today(session)
    advice, sizes = view.advice, view.sizes
    if as_json:
        print_json(
            {
                **as_dict(advice),
                "sizes": as_dict(sizes) if sizes else None,
                "chosen": list(chosen),
                "evening": view.evening,
                "next_time": view.next_time,
                "wants": list(view.wants),
                "seeing": view.seeing,
                **as_dict(minding),
            }
        )
        return
    beside = [*chosen, view.evening, *minding.lines]
    lines = [line for line in beside if line]
    wants = (*view.wants, *(differs.sentence for differs in view.differs))
    page(session, (*lines, *([""] if lines else []), *next_lines(advice, sizes, wants=wants)))
    if view.seeing:
        page(session, ("", view.seeing))
    if view.evening.startswith("Today"):
        page(session, ("", view.next_time))


def _choose(
    session: "Session",
    grade: str | None,
    exercise: str | None,
    settle: str | None,
    defect: str | None,
    *,
    suggested: bool,
) -> tuple[str, ...]:
    """Make the choice that was asked for, and say what it does; nothing where none was."""
    from platebook.services.now import choices

    if suggested:
        return (choices.as_suggested(session),)
    if settle is not None:
        about = defect or choices.defect_of_lead(session, settle)
        return choices.settle(session, settle, about).sentences
    if grade is not None or exercise is not None:
        return choices.practise(session, grade=grade, exercise=exercise).sentences
    return ()
