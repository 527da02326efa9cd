"""Options that many commands share, and the two ways a command ends other than well."""

import json
import sys
from collections.abc import Callable, Iterable
from typing import NoReturn, TypeVar

import click

Function = TypeVar("Function", bound=Callable[..., object])

DATA_SAYS_NO = 1
LOGBOOK_UNUSABLE = 3
JSON_SCHEMA = 1

logbook_option = click.option(
    "--logbook",
    metavar="FILE",
    help="The logbook to use (default: the one in your data folder, or PLATEBOOK_LOGBOOK).",
)


def remember_logbook(ctx: click.Context, logbook: str | None) -> None:
    """Keep the logbook named before the command for the command to use."""
    if logbook is not None:
        ctx.find_root().obj = logbook


def logbook_of(ctx: click.Context) -> str | None:
    """The logbook named before or after the command; None means the default place."""
    named = ctx.params.get("logbook") or ctx.find_root().obj
    return named if isinstance(named, str) else None


def setter_option(function: Function) -> Function:
    """`--setter NAME`: whose attempts, where it is not the setter in use."""
    return click.option(
        "--setter", metavar="NAME", help="Whose (name or id); default: the setter in use."
    )(function)


def json_option(function: Function) -> Function:
    """`--json`: the documented data instead of text for people."""
    return click.option("--json", "as_json", is_flag=True, help="Print JSON (docs/json.md).")(
        function
    )


def print_json(payload: dict[str, object]) -> None:
    """One JSON object on stdout, with the schema number first."""
    click.echo(json.dumps({"schema": JSON_SCHEMA, **payload}, ensure_ascii=False, indent=2))


def say(words: str) -> None:
    """Words about the data, on stderr; data itself goes to stdout."""
    click.echo(words, err=True)


def refuse(lines: Iterable[object]) -> NoReturn:
    """End with exit code 1: the data says no, nothing was changed."""
    for line in lines:
        say(str(line))
    sys.exit(DATA_SAYS_NO)
