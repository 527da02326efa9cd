"""`platebook`: the app without a command, a command otherwise, imported only when it runs."""

import importlib
import io
import os
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

import click

from platebook import __version__
from platebook.cli.terminal.groups import NearGroup
from platebook.cli.terminal.options import in_terminal, logbook_option, safe
from platebook.cli.terminal.shells import complete_by_these
from platebook.values import Value


class CommandEntry(Value):
    """Where a command lives, as `module:name`, and the line of help shown beside its name."""

    place: str
    help: str


class LazyGroup(NearGroup):
    """A click group over a table of entries; each names its command and where it lives."""

    def __init__(
        self, *args: object, entries: Mapping[str, CommandEntry], **kwargs: object
    ) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]
        self.entries = entries

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        """Names in the order of the table, which follows the loop of practice."""
        return list(self.entries)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Import the module of this command, and give the command."""
        entry = self.entries.get(cmd_name)
        if entry is None:
            return None
        module, name = entry.place.split(":")
        command = getattr(importlib.import_module(module), name)
        assert isinstance(command, click.Command)
        return command

    def make_context(
        self,
        info_name: str | None,
        args: list[str],
        parent: click.Context | None = None,
        **extra: Any,
    ) -> click.Context:
        """As click does, with nothing in a complaint that a terminal would obey."""
        with _complaints_made_safe():
            return super().make_context(info_name, args, parent, **extra)

    def invoke(self, ctx: click.Context) -> Any:
        """As click does, with nothing in a complaint that a terminal would obey."""
        with _complaints_made_safe():
            return super().invoke(ctx)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """The table of commands, from the entries alone."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, entry.help) for name, entry in self.entries.items()])


def _open_closed_streams() -> None:
    """Give a program that was started without stdin, stdout or stderr an empty one in its place."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, mode, encoding="utf-8"))  # noqa: PTH123, SIM115 - open until the end


def _take_any_letter(environ: Mapping[str, str]) -> None:
    """Let names of any alphabet be written, whatever code page the system would take for a file.

    What is read as an answer or a code may be anything too: what is no letter is read as U+FFFD,
    and refused in words where it is asked for.
    """
    if isinstance(sys.stdin, io.TextIOWrapper):
        as_it_is = sys.stdin.isatty() or environ.get("PYTHONIOENCODING")
        sys.stdin.reconfigure(encoding=None if as_it_is else "utf-8", errors="replace")
    for stream in (sys.stdout, sys.stderr):
        if not isinstance(stream, io.TextIOWrapper) or stream.encoding.lower() == "utf-8":
            continue
        if stream.isatty() or environ.get("PYTHONIOENCODING"):
            stream.reconfigure(errors="backslashreplace")
        else:
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")


_ERROR = "Error: "
"""What click sets before a complaint."""


@contextmanager
def _complaints_made_safe() -> Iterator[None]:
    """What click says of the words that were typed repeats them, whatever was in them."""
    try:
        yield
    except click.ClickException as complaint:
        words = in_terminal(f"{_ERROR}{safe(complaint.format_message())}").removeprefix(_ERROR)
        complaint.format_message = lambda: words  # type: ignore[method-assign]
        raise


# The matrices here are small: threads inside the linear algebra cost four times the work, and they
# take the other core from whoever types. It has to be said before numpy is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# No plugin of another program checks what this one records, and to find that there is none the
# lists of everything that is installed are read. It has to be said before pydantic is loaded.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")

complete_by_these()

COMMANDS = {
    "sizes": CommandEntry(
        "platebook.cli.sizes:command", "Which drill, burs and sheet for one stone."
    ),
    "record": CommandEntry(
        "platebook.cli.attempts:record_command", "Add an attempt from options, or many from a file."
    ),
    "log": CommandEntry("platebook.cli.attempts:log_command", "List attempts, newest first."),
    "show": CommandEntry(
        "platebook.cli.attempts:show_command", "Show one attempt with its history."
    ),
    "amend": CommandEntry("platebook.cli.attempts:amend_command", "Correct fields of one attempt."),
    "undo": CommandEntry("platebook.cli.attempts:undo_command", "Take your last change back."),
    "redo": CommandEntry("platebook.cli.attempts:redo_command", "Put back what was taken back."),
    "findings": CommandEntry(
        "platebook.cli.answers:findings_command", "What goes with failure, with counts."
    ),
    "progress": CommandEntry("platebook.cli.answers:progress_command", "Where each grade stands."),
    "next": CommandEntry("platebook.cli.answers:next_command", "What to practise next, and why."),
    "look-again": CommandEntry(
        "platebook.cli.attempts:look_again_command", "A second look of your own, a day later."
    ),
    "seeing": CommandEntry(
        "platebook.cli.seeing:command", "A reference plate, judged blind: show, keep, judge."
    ),
    "glossary": CommandEntry(
        "platebook.cli.glossary:command", "What a word of the trade or the log means, drawn."
    ),
    "setter": CommandEntry(
        "platebook.cli.people.setter:command", "The people: add, list, use, merge, erase."
    ),
    "key": CommandEntry(
        "platebook.cli.people.key:command", "Keys that sign what people do, and what came without."
    ),
    "teacher": CommandEntry(
        "platebook.cli.people.teacher:command", "Whoever teaches: add, list, use, edit."
    ),
    "class": CommandEntry(
        "platebook.cli.people.class_:command",
        "Classes: new, list, add, inspect, progress, findings.",
    ),
    "message": CommandEntry(
        "platebook.cli.people.message:command", "A word to a student or a class; what others said."
    ),
    "drawer": CommandEntry("platebook.cli.drawer:command", "The tools a setter owns: add, list."),
    "plate": CommandEntry(
        "platebook.cli.plate:command", "Practice plates: new, list, print at their size."
    ),
    "course": CommandEntry("platebook.cli.course:command", "Courses: list, show, check, new, use."),
    "import": CommandEntry(
        "platebook.cli.exchange:import_command", "Bring in CSV, XLSX or a bundle, all or nothing."
    ),
    "export": CommandEntry(
        "platebook.cli.exchange:export_command", "Write attempts as CSV, XLSX or a bundle."
    ),
    "begin": CommandEntry(
        "platebook.cli.people.begin:command", "Begin with the start file your teacher gave you."
    ),
    "share": CommandEntry("platebook.cli.share:command", "Exchange logbooks through any folder."),
    "report": CommandEntry("platebook.cli.files:report_command", "A page to print and hand out."),
    "backup": CommandEntry(
        "platebook.cli.files:backup_command", "Copy the logbook to a file proven readable."
    ),
    "restore": CommandEntry(
        "platebook.cli.files:restore_command", "Put a copy in the logbook's place, or list them."
    ),
    "where": CommandEntry(
        "platebook.cli.files:where_command", "Where the logbook and its copies lie, how large."
    ),
    "check": CommandEntry(
        "platebook.cli.files:check_command", "Look whether the logbook is whole."
    ),
    "serve": CommandEntry(
        "platebook.cli.app:serve_command", "The app in a browser on this machine."
    ),
    "demo": CommandEntry("platebook.cli.app:demo_command", "An invented class to look around in."),
}


@click.group(
    cls=LazyGroup,
    entries=COMMANDS,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"]},
)
@logbook_option
@click.version_option(__version__, prog_name="platebook")
@click.pass_context
def main(ctx: click.Context) -> None:
    """A practice log for flush setting of small round stones.

    Without a command it opens the app. Each command that reads takes --json.
    """
    _open_closed_streams()
    _take_any_letter(os.environ)
    # Exports, drafts, answers and reports hold names and notes: nobody else on this machine reads
    # them unless their owner lets them.
    os.umask(0o077)
    if ctx.invoked_subcommand is None:
        from platebook.cli.app import open_app

        open_app(ctx)
