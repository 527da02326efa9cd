"""`platebook`: the app without a command, a command otherwise."""

import os

import click

from platebook import __version__
from platebook.cli.lazy import Entry, LazyGroup
from platebook.cli.options import logbook_option, remember_logbook

# The matrices here are small: threads inside the linear algebra cost four times the work, and they
# take the other core from whoever types. It has to be said before numpy is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

COMMANDS = {
    "sizes": Entry("platebook.cli.sizes", "Which drill, burs and sheet for one stone."),
    "record": Entry("platebook.cli.record", "Add an attempt from options, or many from a file."),
    "log": Entry("platebook.cli.log", "List attempts, newest first."),
    "show": Entry("platebook.cli.show", "Show one attempt with its history."),
    "amend": Entry("platebook.cli.amend", "Correct fields of one attempt."),
    "undo": Entry("platebook.cli.undo", "Take your last change back."),
    "redo": Entry("platebook.cli.redo", "Put back what was taken back."),
    "findings": Entry("platebook.cli.findings", "What goes with failure, with counts."),
    "progress": Entry("platebook.cli.progress", "Where each grade stands."),
    "next": Entry("platebook.cli.next", "What to practise next, and why."),
    "look-again": Entry("platebook.cli.look_again", "A second look of your own, a day later."),
    "setter": Entry("platebook.cli.setter", "The people: add, list, use, merge, erase."),
    "class": Entry("platebook.cli.class_", "The class: roster, inspect, progress, findings."),
    "drawer": Entry("platebook.cli.drawer", "The tools a setter owns: add, list."),
    "plate": Entry("platebook.cli.plate", "Practice plates: new, list, print at their size."),
    "course": Entry("platebook.cli.course", "Courses: list, show, check, new, use."),
    "import": Entry("platebook.cli.import_", "Bring in CSV, XLSX or a bundle, all or nothing."),
    "export": Entry("platebook.cli.export", "Write attempts as CSV, XLSX or a bundle."),
    "share": Entry("platebook.cli.share", "Exchange logbooks through any folder."),
    "report": Entry("platebook.cli.report", "A page to print and hand out."),
    "backup": Entry("platebook.cli.backup", "Copy the logbook to a file proven readable."),
    "restore": Entry("platebook.cli.restore", "Put a backup in the logbook's place."),
    "check": Entry("platebook.cli.check", "Look whether the logbook is whole."),
    "serve": Entry("platebook.cli.serve", "The app in a browser on this machine."),
    "demo": Entry("platebook.cli.demo", "An invented class to look around in."),
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
def main(ctx: click.Context, logbook: str | None) -> None:
    """A practice log for flush setting of small round stones.

    Without a command it opens the app. Each command that reads takes --json.
    """
    remember_logbook(ctx, logbook)
    if ctx.invoked_subcommand is None:
        from platebook.cli.app import open_app

        open_app(ctx)
