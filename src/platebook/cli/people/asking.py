"""The question before somebody is erased, the same for setters and teachers."""

from typing import TYPE_CHECKING

import click

from platebook.cli.terminal.options import refuse, say, wrapped

if TYPE_CHECKING:
    from platebook.services.people.going import Going


def ask_to_erase(going: "Going") -> None:
    """Say what would go, and ask: for the name where it is much, else yes or no.

    Ends the command where the answer is another one; nothing was erased then.
    """
    say(wrapped(going.sentence))
    if not going.much:
        click.confirm(f"Erase {going.name} for good?", abort=True, err=True)
        return
    typed = click.prompt("Type the name of whoever is to be erased", err=True)
    if not going.is_named(typed):
        refuse([f"That is not {going.name}. Nobody was erased."])
