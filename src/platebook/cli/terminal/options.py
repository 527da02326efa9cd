"""Options that many commands share, the session they work in, and how they print and end."""

import contextlib
import json
import os
import re
import sys
import textwrap
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn, TypeVar

import click

from platebook.cli.terminal.completion import courses, files, people
from platebook.cli.terminal.groups import letters_of, logbook_of

if TYPE_CHECKING:
    from platebook.practice.problem import Problem
    from platebook.services.session import Session


Function = TypeVar("Function", bound=Callable[..., object])

DATA_SAYS_NO = 1
LOGBOOK_UNUSABLE = 3
JSON_SCHEMA = 1

FILE = click.Path(path_type=Path, readable=False)
"""A file or folder as it is named; what is wrong with it is said where it is read or written."""

FILE_NAME = click.types.StringParamType()
"""The same where words may stand for it too, such as an address: it stays as the system has it."""

DAY = click.DateTime(formats=["%Y-%m-%d"])
"""A day as an option takes it."""

_NOT_ASCII = re.compile(r"[^\n\x20-\x7e]")


def _keep_logbook(ctx: click.Context, _: click.Parameter, logbook: str | None) -> None:
    """Keep the logbook named; the one named after the command comes later, and stays."""
    if logbook:
        ctx.find_root().obj = logbook


logbook_option = click.option(
    "--logbook",
    type=FILE_NAME,
    metavar="FILE",
    expose_value=False,
    callback=_keep_logbook,
    shell_complete=files,
    help="The logbook to use (default: the one in your data folder, or PLATEBOOK_LOGBOOK).",
)


def setter_option(function: Function) -> Function:
    """`--setter NAME`: whose attempts, where it is not the setter in use."""
    return click.option(
        "--setter",
        metavar="NAME",
        shell_complete=people,
        help="Whose (name or id); default: the setter in use.",
    )(function)


def course_option(words: str) -> Callable[[Function], Function]:
    """`--course ID`, with what it is for in `words`; the shell completes it."""
    return click.option("--course", shell_complete=courses, help=words)


def json_option(function: Function) -> Function:
    """`--json`: the documented data instead of text for people."""
    return click.option("--json", "as_json", is_flag=True, help="Print JSON (docs/json.md).")(
        function
    )


def print_json(payload: Mapping[str, object]) -> None:
    """One JSON object on stdout, with the schema number first."""
    text = json.dumps({"schema": JSON_SCHEMA, **payload}, ensure_ascii=False, indent=2)
    _out(_NOT_ASCII.sub(_escaped, text))


def answer(words: str, keys: Mapping[str, object], *, as_json: bool) -> None:
    """What a command did, once: in words, or the `keys` as JSON where that is asked for."""
    if as_json:
        print_json(keys)
    else:
        tell(words)


def answer_list(
    session: "Session",
    called: str,
    rows: Iterable[Mapping[str, object]],
    lines: Iterable[str],
    nothing: str,
    *,
    as_json: bool,
) -> None:
    """What there is of one kind: its `rows` as JSON under `called`, or its `lines` for people.

    Where there are no lines `nothing` says so, and how to begin.
    """
    if as_json:
        print_json({called: list(rows)})
        return
    shown = tuple(lines)
    if shown:
        page(session, shown)
    else:
        say(nothing)


def tell(words: str) -> None:
    """Data for people, on stdout, with nothing in it that a terminal would obey."""
    _out(safe(words))


def _out(text: str) -> None:
    """Write to stdout; who stops reading, as `head` does, changes nothing of what is done."""
    try:
        click.echo(text)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def say(words: str) -> None:
    """Words about the data, on stderr; data itself goes to stdout.

    In a terminal they are folded to its width; what is read by a program is left in one line.
    """
    click.echo(in_terminal(safe(words)), err=True)


def in_terminal(words: str) -> str:
    """The words folded to the width of the terminal that stderr is; as they are for a file."""
    try:
        columns = os.get_terminal_size(sys.stderr.fileno()).columns
    except (OSError, ValueError):
        return words
    return to_width(words, columns) if columns else words


def to_width(words: str, columns: int) -> str:
    """Each line that is longer than so many columns, folded under its own text."""
    return "\n".join(wrapped(line, columns) for line in words.split("\n"))


def can_ask() -> bool:
    """Whether somebody sits there to be asked, and sees the question."""
    return sys.stdin.isatty() and sys.stderr.isatty()


def shows_dots() -> bool:
    """Whether stdout is a terminal that can write braille dots."""
    if not sys.stdout.isatty():
        return False
    try:
        "\u28ff".encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return False
    return True


def refuse(lines: Iterable[object], code: int = DATA_SAYS_NO) -> NoReturn:
    """End with exit code 1: the data says no, nothing was changed; or with another `code`."""
    for line in lines:
        say(str(line))
    sys.exit(code)


def came_by_ctrl_c(stop: BaseException) -> bool:
    """Whether this is Ctrl+C, or what click makes of one where something was asked."""
    return isinstance(stop, KeyboardInterrupt) or isinstance(stop.__context__, KeyboardInterrupt)


def _escaped(match: re.Match[str]) -> str:
    """A character that does not show as itself is written as JSON's escape: it reads back whole."""
    return match[0] if match[0].isprintable() else json.dumps(match[0])[1:-1]


def safe(words: str) -> str:
    """Every line as `clean` leaves it, with the blanks it begins with."""
    from platebook.practice.text import clean

    lines = (line.rstrip() for line in letters_of(words).split("\n"))
    return "\n".join(line[: len(line) - len(line.lstrip(" "))] + clean(line) for line in lines)


def values_from(pairs: Iterable[str], option: str = "") -> dict[str, object]:
    """Values by field from FIELD=VALUE words; a complaint names `option` too."""
    values: dict[str, object] = {}
    for pair in pairs:
        name, mark, value = pair.partition("=")
        if not mark:
            raise click.UsageError(f"{option}{pair}: expected FIELD=VALUE")
        values[name.strip()] = value
    return values


def problem_keys(problem: "Problem") -> dict[str, object]:
    """A problem as JSON has it; a course file has lines and no rows."""
    return {
        "line": problem.line,
        "field": problem.field,
        "read": problem.read,
        "expected": problem.expected,
        "level": problem.level,
    }


def look_after_copies(ctx: click.Context, session: "Session") -> None:
    """When the command has answered: the copy of the day where it is due, and what to say of it."""

    def aside() -> None:
        from platebook.services.backups import look_after

        with contextlib.suppress(KeyboardInterrupt):
            for sentence in look_after(session):
                say(wrapped(f"note: {sentence}"))

    ctx.call_on_close(aside)


THE_REQUEST = frozenset({"duplicate", "exists", "refused", "unknown", "value"})
"""Causes that lie in what was asked for; with any other the logbook cannot be used."""


@contextmanager
def faults_told() -> Iterator[None]:
    """What cannot be done is told in one sentence, and sets the exit code."""
    from platebook.services.session import LogbookUnusable, Refused

    try:
        yield
    except LogbookUnusable as error:
        say(error.sentence)
        sys.exit(DATA_SAYS_NO if error.cause in THE_REQUEST else LOGBOOK_UNUSABLE)
    except Refused as error:
        say(error.sentence)
        sys.exit(DATA_SAYS_NO)
    except OSError as error:
        # A place that somebody named can be wrong in ways that only the system knows.
        if error.filename is None:
            raise
        from platebook.logbook.file.place import shown_name

        say(f"{shown_name(Path(os.fsdecode(error.filename)))}: {error.strerror}")
        sys.exit(DATA_SAYS_NO)


@contextmanager
def in_session(
    ctx: click.Context, *, setter: str | None = None, look: bool = True
) -> "Iterator[Session]":
    """The session for this command; an error is told in one sentence and sets the exit code.

    With `look` False the logbook is not looked into: it may be damaged, as before a restore.
    """
    from platebook.services.session import session_at

    with faults_told():
        yield session_at(logbook_of(ctx), setter=setter, look=look)


WIDTH = 80
INVENTED = "INVENTED: these people and attempts are made up."


def page(session: "Session", lines: Iterable[str]) -> None:
    """Print the lines; a long one is wrapped with its continuation under its first word."""
    if session.invented:
        tell(INVENTED)
    for line in lines:
        tell(wrapped(line))


def wrapped(line: str, width: int = WIDTH) -> str:
    """One line folded to the width, continued under its text and not under its sign."""
    if len(line) <= width:
        return line
    body = line.lstrip(" >*!-")
    return textwrap.fill(
        body,
        width,
        initial_indent=line[: len(line) - len(body)],
        subsequent_indent=" " * (len(line) - len(body)),
        break_long_words=False,
        break_on_hyphens=False,
    )
