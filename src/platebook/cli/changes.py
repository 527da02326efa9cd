"""`platebook amend`, `undo` and `redo`: correct an attempt, take back, put back."""

import click

from platebook.cli.options import (
    json_option,
    logbook_option,
    print_json,
    refuse,
    say,
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
    logbook: str | None,  # noqa: ARG001 - read from the context
) -> None:
    """Correct fields of one attempt; an empty value empties the field.

    The attempt as it was stays in its history, and `platebook undo` takes the change back.
    """
    from platebook.cli.options import in_session
    from platebook.services.attempts.log import attempt_with
    from platebook.services.attempts.recording import amend
    from platebook.services.attempts.recording import hide as hide_attempt

    values = values_from(pairs)
    if not values and not hide:
        raise click.UsageError("nothing to change: give FIELD=VALUE, or --hide")
    with in_session(ctx) as session:
        found = attempt_with(session, attempt_id).attempt_id or attempt_id
        if values:
            done = amend(session, found, values)
            if not done.stored:
                refuse([*done.problems, "Nothing was changed."])
            for notice in done.problems:
                say(f"note: {notice}")
        if hide:
            say(hide_attempt(session, found))
    if as_json:
        print_json({"ids": [found]})
        return
    tell(found)


@click.command("undo")
@logbook_option
@json_option
@click.pass_context
def undo_command(ctx: click.Context, *, as_json: bool, logbook: str | None) -> None:  # noqa: ARG001 - the logbook is read from the context
    """Take your last change back; `platebook redo` puts it back."""
    from platebook.cli.options import in_session
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
def redo_command(ctx: click.Context, *, as_json: bool, logbook: str | None) -> None:  # noqa: ARG001 - the logbook is read from the context
    """Put back what `platebook undo` took back last."""
    from platebook.cli.options import in_session
    from platebook.services.attempts.recording import redo

    with in_session(ctx) as session:
        done = redo(session)
    if as_json:
        print_json({"done": done})
        return
    tell(done)
