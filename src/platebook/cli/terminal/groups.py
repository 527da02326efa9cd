"""Groups of commands: a misspelt one is told with those near it, typed words are read as text.

The logbook that is named for a command stands with the outermost group.
"""

import difflib

import click


class TypedText(click.types.StringParamType):
    """A word of a command: text in UTF-8, also where the system's locale reads no such letters.

    Python keeps each byte that it could not read as half of a pair. Where they are UTF-8 together
    they are read so, else the word is refused: left as it is, the letter would be dropped later.
    """

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> str:
        """The word as text; click's own complaint where its bytes are none."""
        text: str = super().convert(value, param, ctx)
        letters = letters_of(text)
        if NO_LETTER in letters and NO_LETTER not in text:
            self.fail(f"read {letters!r}, in which a letter is not in UTF-8.", param, ctx)
        return letters


TYPED = TypedText()
NO_LETTER = "\N{REPLACEMENT CHARACTER}"


def letters_of(text: str) -> str:
    """A word of the command line or a file's name as text; U+FFFD for what is no UTF-8."""
    if text.isascii():
        return text
    try:
        return text.encode("utf-8", "surrogateescape").decode("utf-8", "replace")
    except UnicodeEncodeError:  # half of a pair that stands for no byte, as Windows knows them
        return text


def logbook_of(ctx: click.Context) -> str | None:
    """The logbook named before or after the command; None means the default place."""
    named = ctx.find_root().obj
    return named if isinstance(named, str) else None


class NearGroup(click.Group):
    """A group whose commands take words as text, and that answers a misspelt one with those near.

    What is a file's name has a type of its own (`FILE`, `FILE_NAME`) and stays as the system has
    it.
    """

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that was typed; a word that none has is told with those that are near it."""
        names = self.list_commands(ctx)
        near = difflib.get_close_matches(args[0], names, n=3) if args else []
        if near and args[0] not in names:
            ctx.fail(f"No such command {args[0]!r}. Did you mean {' or '.join(near)}?")
        name, command, rest = super().resolve_command(ctx, args)
        for param in command.params if command is not None else ():
            if param.type is click.STRING:
                param.type = TYPED
        return name, command, rest
