"""`platebook serve`: the app in a browser on this machine."""

import errno
import sys

import click

from platebook.cli.options import logbook_of, logbook_option, say

WRONG_USE = 2
MISSING = (
    "The browser page needs the extra `serve` of this program: "
    "install platebook[serve] the way you installed platebook."
)
TAKEN = "port: read {port}, which {reason}. Expected a free one, such as --port {other}."
OPEN = (
    "The app is at {address} until Ctrl+C.\n"
    "It answers to browsers of this machine only, and asks for no password: "
    "whoever sits here can use the logbook."
)


@click.command("serve")
@click.option(
    "--port", type=click.IntRange(1024, 65535), default=8765, show_default=True, help="The port."
)
@logbook_option
@click.pass_context
def command(ctx: click.Context, *, port: int, logbook: str | None) -> None:  # noqa: ARG001 - the logbook is read from the context
    """Open the app in a browser, for a tablet or screen at the bench; this machine only."""
    try:
        from platebook.serving.server import BenchServer
    except ModuleNotFoundError:
        say(MISSING)
        sys.exit(WRONG_USE)
    named = logbook_of(ctx)
    arguments = ("--logbook", named) if named is not None else ()
    server = BenchServer(arguments, port=port, tell=lambda at: say(OPEN.format(address=at)))
    try:
        server.run()
    except OSError as error:
        in_use = error.errno == errno.EADDRINUSE
        reason = "another program uses" if in_use else "this machine does not give out"
        say(TAKEN.format(port=port, reason=reason, other=port + 1))
        sys.exit(WRONG_USE)
