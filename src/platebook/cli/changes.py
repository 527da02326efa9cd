"""`platebook amend`, `look-again`, `undo` and `redo`: correct, judge again, take back, put back."""

from dataclasses import asdict

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


@click.command("amend")
@click.argument("attempt_id", metavar="ID")
@click.argument("pairs", metavar="FIELD=VALUE", nargs=-1)
@click.option("--hide", is_flag=True, help="Take it out of everything; undo brings it back.")
@logbook_option
@json_option
@click.pass_context
def amend_command(
    ctx: click.Context,
    *,
    attempt_id: str,
    pairs: tuple[str, ...],
    hide: bool,
    as_json: bool,
) -> None:
    """Correct fields of one attempt; an empty value empties the field.

    The attempt as it was stays in its history, and `platebook undo` takes the change back.
    """
    from platebook.services.attempts.log import attempt_with
    from platebook.services.attempts.recording import amend
    from platebook.services.attempts.recording import hide as hide_attempt

    values = values_from(pairs)
    if not values and not hide:
        raise click.UsageError("nothing to change: give FIELD=VALUE, or --hide")
    with in_session(ctx) as session:
        full_id = attempt_with(session, attempt_id).attempt_id or attempt_id
        if values:
            done = amend(session, full_id, values)
            if not done.stored:
                refuse([*done.problems, "Nothing was changed."])
            for notice in done.problems:
                say(f"note: {notice}")
        if hide:
            say(hide_attempt(session, full_id))
    if as_json:
        print_json({"ids": [full_id]})
        return
    tell(full_id)


@click.command("undo")
@logbook_option
@json_option
@click.pass_context
def undo_command(ctx: click.Context, *, as_json: bool) -> None:
    """Take your last change back; `platebook redo` puts it back."""
    from platebook.services.attempts.recording import undo

    with in_session(ctx) as session:
        done = undo(session)
    if as_json:
        print_json({"done": done})
        return
    tell(done)


@click.command("redo")
@logbook_option
@json_option
@click.pass_context
def redo_command(ctx: click.Context, *, as_json: bool) -> None:
    """Put back what `platebook undo` took back last."""
    from platebook.services.attempts.recording import redo

    with in_session(ctx) as session:
        done = redo(session)
    if as_json:
        print_json({"done": done})
        return
    tell(done)


@click.command("look-again")
@click.argument("attempt", required=False)
@click.argument("result", required=False)
@click.option("--severity", default="", help="1 slight, 2 clear, 3 lost, in the order of defects.")
@setter_option
@logbook_option
@json_option
@click.pass_context
def look_again_command(
    ctx: click.Context,
    *,
    attempt: str | None,
    result: str | None,
    severity: str,
    setter: str | None,
    as_json: bool,
) -> None:
    """Judge three positions of your last day again, drawn at random and without the first verdict.

    Without words it lists them; with ATTEMPT (its id or the end of it) and RESULT it takes the
    second verdict down, and only then tells the first.
    """
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
        again = second_look(session)
    if as_json:
        print_json({"rows": [asdict(row) for row in again.rows], "agreement": again.agreement})
        return
    for row in again.rows:
        where = f"plate {row.plate}, position {row.position}" if row.plate else "no plate noted"
        tell(f"{row.attempt_id[-6:]}  {where}, {row.grade}")
    if not again.rows:
        say("Nothing to judge again today: come back the day after you practised.")
    tell(again.agreement)
