"""`platebook`: the app without a command, a command otherwise, imported only when it runs."""

import importlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any, NamedTuple

import click

from platebook import __version__
from platebook.cli.start import SAYS_STOPPED, STOPPED, prepare
from platebook.cli.terminal.groups import NearGroup
from platebook.cli.terminal.options import (
    came_by_ctrl_c,
    in_terminal,
    logbook_option,
    refuse,
    safe,
)
from platebook.cli.terminal.shells import complete_by_these


class CommandEntry(NamedTuple):
    """Where a command lives, as `module:name`, and the line of help shown beside its name.

    No `Value`: what values are made with takes longer to load than all the rest of `--help`.
    """

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
        with _ended_by_ctrl_c(), _complaints_made_safe():
            return super().make_context(info_name, args, parent, **extra)

    def invoke(self, ctx: click.Context) -> Any:
        """As click does, with nothing in a complaint that a terminal would obey."""
        with _ended_by_ctrl_c(), _complaints_made_safe():
            return super().invoke(ctx)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """The table of commands, from the entries alone."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, entry.help) for name, entry in self.entries.items()])


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


@contextmanager
def _ended_by_ctrl_c() -> Iterator[None]:
    """Ctrl+C ends a command with the code that shells have for it; click has 1, as for a refusal.

    What was done and what was not is said by who did it (`long_work`).
    """
    try:
        yield
    except (KeyboardInterrupt, click.Abort) as stop:
        if not came_by_ctrl_c(stop):
            raise
        refuse([SAYS_STOPPED], STOPPED)


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
    prepare()
    if ctx.invoked_subcommand is None:
        from platebook.cli.app import open_app

        open_app(ctx)
