"""Groups of commands: a word that none of them has is told with those that are near it."""

import difflib

import click


class NearGroup(click.Group):
    """A group that answers a misspelt command in one form, with the commands near it."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that was typed; a word that none has is told with those that are near it."""
        names = self.list_commands(ctx)
        near = difflib.get_close_matches(args[0], names, n=3) if args else []
        if near and args[0] not in names:
            ctx.fail(f"No such command {args[0]!r}. Did you mean {' or '.join(near)}?")
        return super().resolve_command(ctx, args)
