"""Opening the app: in this terminal, on an invented class, or in a browser of this machine.

Where it cannot be opened the command says so plainly.
"""

import errno
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import click

from platebook.cli.start import open_at, run_in_terminal, terminal_missing
from platebook.cli.terminal.completion import classes
from platebook.cli.terminal.groups import logbook_of
from platebook.cli.terminal.options import (
    FILE_NAME,
    faults_told,
    in_session,
    logbook_option,
    page,
    say,
)

if TYPE_CHECKING:
    from platebook.serving.projector import ProjectorServer
    from platebook.serving.server import BenchServer

WRONG_USE = 2
PLAIN = (
    "The app needs a terminal that can place text anywhere; this is {what}. "
    "Every screen is a command too: platebook next, platebook record, platebook log, "
    "platebook findings, platebook progress (--help lists all)."
)
MISSING = (
    "The browser page needs the extra `serve` of this program: "
    "install platebook[serve] the way you installed platebook."
)
TAKEN = "port: read {port}, which {reason}. Expected a free one, such as --port {other}."
OPEN = (
    "The app is at {address} until Ctrl+C.\n"
    "The address lets one browser of this machine in, once. Whoever it lets in can use the logbook."
)
OPEN_TO_THE_ROOM = (
    "The app is at {address} until Ctrl+C.\n"
    "The address lets one browser in, once. Whoever it lets in can use the logbook. "
    "What travels is not encrypted: others on this network can read it, so use it only among "
    "people you trust with the logbook."
)
PROJECTED = (
    "The class is at {address} until Ctrl+C; nothing can be changed there.\n"
    "The address lets one browser {where}in, once.{heard}"
)
HEARD = " What travels is not encrypted: others on this network can read it."
NEXT = "That address was used. The next browser comes in by {address}"


def open_app(ctx: click.Context) -> None:
    """Open the app at the logbook named, and end with its code; 2 where no terminal can show it."""
    missing = terminal_missing()
    if missing:
        say(PLAIN.format(what=missing))
        sys.exit(WRONG_USE)
    sys.exit(open_at(logbook_of(ctx)))


@click.command("demo")
@click.option(
    "--keep", type=FILE_NAME, metavar="FOLDER", help="Keep the invented logbook in this folder."
)
def demo_command(keep: str | None) -> None:
    """An invented evening class to look around in; nothing of yours is read or written.

    With a terminal it opens the app, without one it prints what goes with one setter's failures and
    what they practise next. A class that was kept in FOLDER before is opened as it was left.
    """
    if keep is not None:
        folder = Path(keep)
        with faults_told():
            folder.mkdir(parents=True, exist_ok=True)
            sys.exit(_show(folder))
    with faults_told(), tempfile.TemporaryDirectory(prefix="platebook-demo-") as temporary:
        sys.exit(_show(Path(temporary)))


def _show(folder: Path) -> int:
    from platebook.services.demo import FILE_NAME, demo_session

    kept = (folder / FILE_NAME).exists()
    say(f"{'Opening the' if kept else 'Making an'} invented evening class ...")
    session = demo_session(folder)
    if not terminal_missing():
        return run_in_terminal(lambda: session, session.path)
    from platebook.reports.text.analysis_text import findings_lines
    from platebook.reports.text.sizes_text import next_lines
    from platebook.services.findings import findings
    from platebook.services.now.next_up import next_with_sizes

    advice, sizes = next_with_sizes(session)
    lines = (
        f"{session.setter_name}: what goes with failure",
        *findings_lines(findings(session)),
        "",
        f"{session.setter_name}: what next",
        *next_lines(advice, sizes),
    )
    page(session, lines)
    return 0


@click.command("serve")
@click.option(
    "--port", type=click.IntRange(1024, 65535), default=8765, show_default=True, help="The port."
)
@click.option(
    "--visits",
    type=click.IntRange(1, 64),
    default=4,
    show_default=True,
    help="How many may be open at once; each is a program of some 60 MB.",
)
@click.option("--network", is_flag=True, help="Let others on this network in who have the key.")
@click.option("--projector", is_flag=True, help="The class page, large; it can only be read.")
@click.option(
    "--group",
    metavar="CLASS",
    shell_complete=classes,
    help="With --projector: one class; default: everyone.",
)
@click.option("--no-names", is_flag=True, help="With --projector: a number for each setter.")
@logbook_option
@click.pass_context
def serve_command(  # noqa: PLR0913 - an option each
    ctx: click.Context,
    *,
    port: int,
    visits: int,
    network: bool,
    projector: bool,
    group: str | None,
    no_names: bool,
) -> None:
    """Open the app in a browser, for a tablet or screen at the bench.

    The address that it says lets one browser in. Only this machine is reached, unless --network.

    With --projector it is the class page in letters for the back of the room, which follows the
    logbook by itself and tells of nobody why they are looked at.
    """
    if not projector and (group is not None or no_names):
        raise click.UsageError("--group and --no-names go with --projector.")
    try:
        from platebook.serving.server import BenchServer
    except ModuleNotFoundError:
        say(MISSING)
        sys.exit(WRONG_USE)
    if projector:
        _project(ctx, port=port, network=network, group=group, names=not no_names)
        return
    named = logbook_of(ctx)
    arguments = ("--logbook", named) if named is not None else ()
    opening = iter((OPEN_TO_THE_ROOM if network else OPEN,))
    server = BenchServer(
        arguments,
        port=port,
        tell=lambda address: say(next(opening, NEXT).format(address=address)),
        visits=visits,
        network=network,
    )
    _run(server, port)


def _project(
    ctx: click.Context, *, port: int, network: bool, group: str | None, names: bool
) -> None:
    """Serve the class page for a projector."""
    import random

    from platebook.cli.terminal.progress_bar import long_work
    from platebook.services.pages.projector import ClassOnWall
    from platebook.serving.projector import ProjectorServer

    where, heard = ("", HEARD) if network else ("of this machine ", "")
    opening = iter((PROJECTED,))
    with in_session(ctx) as session:
        wall = ClassOnWall(session, group, rng=None if names else random.SystemRandom())
        server = ProjectorServer(
            wall,
            port=port,
            tell=lambda address: say(
                next(opening, NEXT).format(address=address, where=where, heard=heard)
            ),
            network=network,
        )
        with long_work("Reading the class", lambda _: "nothing is shown.") as work:
            server.begin(work)
        _run(server, port)


def _run(server: "BenchServer | ProjectorServer", port: int) -> None:
    """Serve until Ctrl+C; a port that cannot be had is said, and is wrong use."""
    try:
        server.run()
    except OSError as error:
        in_use = error.errno == errno.EADDRINUSE
        reason = "another program uses" if in_use else "this machine does not give out"
        say(TAKEN.format(port=port, reason=reason, other=port + 1))
        sys.exit(WRONG_USE)
