"""`platebook demo`: an invented class in a logbook that is thrown away afterwards."""

import sys
import tempfile
from pathlib import Path

import click


@click.command("demo")
@click.option("--keep", metavar="FOLDER", help="Keep the invented logbook in this folder.")
def command(keep: str | None) -> None:
    """An invented evening class to look around in; nothing of yours is read or written.

    With a terminal it opens the app, without one it prints what goes with one setter's failures and
    what they practise next.
    """
    if keep is not None:
        folder = Path(keep)
        folder.mkdir(parents=True, exist_ok=True)
        sys.exit(_show(folder))
    with tempfile.TemporaryDirectory(prefix="platebook-demo-") as temporary:
        sys.exit(_show(Path(temporary)))


def _show(folder: Path) -> int:
    from platebook.cli.app import run_app, terminal_missing
    from platebook.cli.options import say
    from platebook.services.demo import demo_desk

    say("Making an invented evening class ...")
    desk = demo_desk(folder)
    if not terminal_missing():
        return run_app(lambda: desk, desk.path)
    from platebook.cli.pages import page
    from platebook.reports.findings_text import findings_lines
    from platebook.reports.next_text import next_lines
    from platebook.services.answers import findings, next_with_sizes

    advice, sizes = next_with_sizes(desk)
    lines = (
        f"{desk.setter_name}: what goes with failure",
        *findings_lines(findings(desk)),
        "",
        f"{desk.setter_name}: what next",
        *next_lines(advice, sizes),
    )
    page(desk, lines)
    return 0
