"""`--since` and `--all`: which attempts are asked what goes with failure."""

from datetime import datetime
from typing import TYPE_CHECKING

import click

from platebook.cli.terminal.options import DAY, Function

if TYPE_CHECKING:
    from platebook.services.findings import Asked


def window_options(function: Function) -> Function:
    """Both options; the latest 400 attempts of the last twelve months without either."""
    every = click.option(
        "--all",
        "everything",
        is_flag=True,
        help="All attempts, not only the latest 400 of the last twelve months.",
    )
    since = click.option(
        "--since",
        type=DAY,
        help="Only attempts on or after this day (YYYY-MM-DD).",
    )
    return since(every(function))


def asked_for(since: datetime | None, *, everything: bool) -> "Asked":
    """What the options ask for; wrong usage where both are given."""
    from platebook.services.findings import Asked

    if since is not None and everything:
        raise click.UsageError("--since and --all are two different questions; ask one.")
    return Asked(since.date() if since is not None else None, everything)
