"""A group whose commands are imported only when they run, so that `--help` stays light."""

import importlib
from collections.abc import Mapping
from dataclasses import dataclass

import click


@dataclass(frozen=True)
class Entry:
    """Where a command lives and the line of help shown beside its name."""

    module: str
    help: str


class LazyGroup(click.Group):
    """A click group over a table of entries; each module's `command` is the command."""

    def __init__(self, *args: object, entries: Mapping[str, Entry], **kwargs: object) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]
        self.entries = entries

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        """Names in the order of the table, which follows the loop of practice."""
        return list(self.entries)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Import the module of this command and give its `command`."""
        entry = self.entries.get(cmd_name)
        if entry is None:
            return None
        found = importlib.import_module(entry.module).command
        assert isinstance(found, click.Command)
        return found

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """The table of commands, from the entries alone."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, entry.help) for name, entry in self.entries.items()])
