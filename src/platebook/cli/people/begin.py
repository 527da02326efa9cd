"""`platebook begin FILE`: begin as the person of a start file."""

from pathlib import Path

import click

from platebook.cli.terminal.options import (
    FILE,
    in_session,
    json_option,
    logbook_option,
    look_after_copies,
    print_json,
    tell,
    wrapped,
)


@click.command("begin")
@click.argument("file", type=FILE)
@logbook_option
@json_option
@click.pass_context
def command(ctx: click.Context, *, file: Path, as_json: bool) -> None:
    """Begin with the start file your teacher gave you: your name, class, course, where to share."""
    from platebook.services.sharing.start_files import begin_from

    with in_session(ctx) as session:
        begun = begin_from(session, file)
        look_after_copies(ctx, begun.session)
    if as_json:
        print_json(
            {
                **begun.setter.model_dump(mode="json"),
                "share": begun.share,
                "told": list(begun.sentences),
            }
        )
        return
    tell("\n".join(map(wrapped, begun.sentences)))
