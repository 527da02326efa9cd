"""The man page, made from the commands: `python -m tests.documents.man_page man/platebook.1`."""

import inspect
import re
import sys
from collections.abc import Iterator
from pathlib import Path

import click

from platebook import __version__
from platebook.cli.main import main

EXIT_CODES = {
    "0": "done",
    "1": "the data says no: what is wrong was printed, and nothing was changed",
    "2": "wrong usage, or no terminal for the app",
    "3": "the logbook cannot be used; it was left as it is",
    "130": "Ctrl-C ended it",
}
VARIABLES = {
    "PLATEBOOK_LOGBOOK": "The logbook to use where no --logbook names one.",
    "NO_COLOR": "Where it is set, nothing is said by colour.",
}


def man_page() -> str:
    """The page in roff: what the program is, each command with its options, codes, variables."""
    ctx = click.Context(main, info_name="platebook", **main.context_settings)
    lines = [f'.TH PLATEBOOK 1 "" "platebook {__version__}" "Practice log for flush setting"']
    lines += [".SH NAME", r"platebook \- a practice log for flush setting of small round stones"]
    lines += [".SH SYNOPSIS", r".B platebook", "[OPTIONS] [COMMAND [ARGS]...]"]
    lines += [".SH DESCRIPTION", *_paragraphs(main), ".SH OPTIONS", *_options(main, ctx)]
    lines += [".SH COMMANDS"]
    for name, command, inner in commands(main, ctx):
        usage = " ".join(command.collect_usage_pieces(inner))
        lines += [f".SS platebook {_safe(name)}", _safe(usage), *_paragraphs(command)]
        lines += _options(command, inner)
    lines += [".SH EXIT STATUS", *_terms(EXIT_CODES), ".SH ENVIRONMENT", *_terms(VARIABLES)]
    return "\n".join(lines) + "\n"


def commands(
    group: click.Group, ctx: click.Context, before: str = ""
) -> Iterator[tuple[str, click.Command, click.Context]]:
    """Each command that does something, by the words that call it, with its context."""
    for name in group.list_commands(ctx):
        command = group.get_command(ctx, name)
        assert command is not None
        inner, words = click.Context(command, parent=ctx, info_name=name), f"{before}{name}"
        if isinstance(command, click.Group):
            yield from commands(command, inner, f"{words} ")
        else:
            yield words, command, inner


def _paragraphs(command: click.Command) -> list[str]:
    """What the command's own help says, a paragraph each."""
    text = inspect.cleandoc(command.help or "").partition("\f")[0].replace("\b\n", "")
    return [
        line
        for paragraph in re.split(r"\n\s*\n", text)
        for line in (".PP", _safe(" ".join(paragraph.split())))
    ]


def _options(command: click.Command, ctx: click.Context) -> list[str]:
    asked = command.get_params(ctx) if command is main else command.params
    records = (parameter.get_help_record(ctx) for parameter in asked)
    return _terms({term: says for term, says in filter(None, records) if says})


def _terms(meaning: dict[str, str]) -> list[str]:
    return [
        line
        for term, says in meaning.items()
        for line in (".TP", rf"\fB{_safe(term)}\fR", _safe(" ".join(says.split())))
    ]


def _safe(text: str) -> str:
    r"""Text that roff takes as it stands: no backslash, dot or quote of it is obeyed."""
    escaped = text.replace("\\", r"\e").replace("-", r"\-")
    return rf"\&{escaped}" if escaped.startswith((".", "'")) else escaped


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(man_page(), encoding="utf-8")
