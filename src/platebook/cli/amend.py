"""`platebook amend ID FIELD=VALUE ...`: correct an attempt."""

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
def command(
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
    from platebook.cli.desks import at_desk
    from platebook.services.log import attempt_with
    from platebook.services.recording import amend
    from platebook.services.recording import hide as hide_attempt

    values = values_from(pairs)
    if not values and not hide:
        raise click.UsageError("nothing to change: give FIELD=VALUE, or --hide")
    with at_desk(ctx) as desk:
        found = attempt_with(desk, attempt_id).attempt_id or attempt_id
        if values:
            done = amend(desk, found, values)
            if not done.stored:
                refuse([*done.problems, "Nothing was changed."])
            for notice in done.problems:
                say(f"note: {notice}")
        if hide:
            say(hide_attempt(desk, found))
    if as_json:
        print_json({"ids": [found]})
        return
    tell(found)
