"""Where the logbook is: named outright, by PLATEBOOK_LOGBOOK, or in the user's data folder."""

import os
from collections.abc import Mapping
from pathlib import Path

import platformdirs

VARIABLE = "PLATEBOOK_LOGBOOK"
FILE_NAME = "logbook.sqlite"


def logbook_path(
    named: str | Path | None = None, *, environ: Mapping[str, str] | None = None
) -> Path:
    """The path of the logbook to use: the one named, else the variable's, else the usual one.

    An empty name or variable counts as not given. `~` is the home folder. Nothing is made here.
    """
    variables = os.environ if environ is None else environ
    wanted = named or variables.get(VARIABLE)
    if wanted:
        return Path(wanted).expanduser().absolute()
    return platformdirs.user_data_path("platebook", appauthor=False) / FILE_NAME


def answers_folder(logbook: Path) -> Path:
    """Where the answers of this logbook are kept: beside it, so that they go where it goes."""
    return logbook.with_name(f"{logbook.name}-answers")


def first_sight_file(logbook: Path) -> Path:
    """Where the words that Now last showed are kept."""
    return answers_folder(logbook) / "first-sight.json"
