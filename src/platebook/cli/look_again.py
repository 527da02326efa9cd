"""`platebook look-again`: one's own second look, for those without a second eye."""

from dataclasses import asdict

import click

from platebook.cli.options import json_option, logbook_option, print_json, say, setter_option, tell


@click.command("look-again")
@click.argument("attempt", required=False)
@click.argument("result", required=False)
@click.option("--severity", default="", help="1 slight, 2 clear, 3 lost, in the order of defects.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def command(  # noqa: PLR0913 - click hands every option over by name
    ctx: click.Context,
    *,
    attempt: str | None,
    result: str | None,
    severity: str,
    setter: str | None,
    as_json: bool,
    logbook: str | None,  # noqa: ARG001 - read from the context
) -> None:
    """Judge three positions of your last day again, drawn at random and without the first verdict.

    Without words it lists them; with ATTEMPT (its id or the end of it) and RESULT it takes the
    second verdict down, and only then tells the first.
    """
    from platebook.cli.options import in_session
    from platebook.reports.text.class_text import inspected_lines
    from platebook.services.attempts.log import attempt_with
    from platebook.services.classes.second_look import judge_again, second_look

    if attempt is not None and result is None:
        raise click.UsageError("RESULT is missing: 0 for good, or the defects you see")
    with in_session(ctx, setter=setter) as session:
        if attempt is not None and result is not None:
            named = attempt_with(session, attempt).attempt_id or attempt
            done = judge_again(session, named, result, severity)
            if as_json:
                print_json({"setter": done.setter, "first_result": list(done.own_result)})
                return
            tell("\n".join(inspected_lines(done.inspection, "First look", done.own_result)[:1]))
            return
        found = second_look(session)
    if as_json:
        print_json({"rows": [asdict(row) for row in found.rows], "agreement": found.agreement})
        return
    for row in found.rows:
        where = f"plate {row.plate}, position {row.position}" if row.plate else "no plate noted"
        tell(f"{row.attempt_id[-6:]}  {where}, {row.grade}")
    if not found.rows:
        say("Nothing to judge again today: come back the day after you practised.")
    tell(found.agreement)
