"""`platebook class register`: who came on each evening, and who has been missing."""

from typing import TYPE_CHECKING

import click

from platebook.cli.terminal.completion import classes
from platebook.cli.terminal.options import (
    WIDTH,
    in_session,
    json_option,
    logbook_option,
    page,
    print_json,
)
from platebook.values import as_dict

if TYPE_CHECKING:
    from platebook.services.classes.register import ClassRegister


@click.command("register")
@click.option(
    "--group",
    "name",
    metavar="CLASS",
    shell_complete=classes,
    help="Which class; default: the one in view.",
)
@logbook_option
@json_option
@click.pass_context
def register(ctx: click.Context, *, name: str | None, as_json: bool) -> None:
    """Who came on each evening of a class, and who has been missing for how long."""
    from platebook.reports.text.register_text import register_lines
    from platebook.services.classes.register import class_register

    with in_session(ctx) as session:
        kept = class_register(session, name)
    if as_json:
        print_json(_keys(kept))
        return
    page(session, [line.text for line in register_lines(kept.called, kept.register, WIDTH)])


def _keys(kept: "ClassRegister") -> dict[str, object]:
    setters = [
        {
            **as_dict(row),
            "signs": list(row.signs),
            "last_seen": row.last_seen and row.last_seen.isoformat(),
            "missing_since": row.missing_since and row.missing_since.isoformat(),
        }
        for row in kept.register.rows
    ]
    return {
        "class_id": kept.class_id,
        "name": kept.called,
        "evenings": [evening.isoformat() for evening in kept.register.evenings],
        "setters": setters,
    }
