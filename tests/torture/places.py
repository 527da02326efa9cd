"""Places where a logbook cannot lie, and files that are no files: each is one sentence, at once."""

import os
from pathlib import Path

from click.testing import CliRunner
from tests.torture.outcome import Outcome

from platebook.cli.main import main

UNUSABLE = 3
SAYS_NO = 1


def odd_logbooks(folder: Path) -> dict[str, str]:
    """Names under which no logbook can be, by what is odd about each."""
    circle, pipe, empty = folder / "circle", folder / "pipe", folder / "empty.sqlite"
    circle.symlink_to(circle)
    os.mkfifo(pipe)
    empty.touch()
    text = folder / "text.sqlite"
    text.write_text("no logbook\n" * 20, encoding="utf-8")
    return {
        "a circle of links": str(circle),
        "a pipe": str(pipe),
        "a device": "/dev/null",
        "a folder": str(folder),
        "a name too long": str(folder / ("x" * 300)),
        "a home of nobody": "~nobody_such/book.sqlite",
        "an empty file": str(empty),
        "another file": str(text),
        "a file taken for a folder": str(text / "book.sqlite"),
    }


COMMANDS = (
    ("log",),
    ("record", "--result", "good"),
    ("next",),
    ("check",),
    ("where",),
    ("undo",),
    ("share", "."),
    ("backup", "copy.sqlite"),
    ("setter", "add", "Ada Quill"),
)

INPUTS: tuple[tuple[str, ...], ...] = (
    ("import", "{file}"),
    ("record", "--from", "{file}"),
    ("course", "check", "{file}"),
    ("course", "use", "{file}"),
    ("restore", "{file}"),
    ("begin", "{file}"),
    ("class", "new", "Thursday", "--from", "{file}"),
)


def torture(folder: Path) -> Outcome:
    """Every command at every odd place, and every door with a pipe, a device and a folder."""
    outcome = Outcome("places")
    folder.mkdir(parents=True)
    for what, place in odd_logbooks(folder).items():
        for words in COMMANDS:
            outcome.count("odd logbooks")
            _ask(outcome, what, ("--logbook", place, *words), UNUSABLE)
    good = folder / "book.sqlite"
    CliRunner().invoke(main, ["--logbook", str(good), "setter", "add", "Ada Quill"])
    pipes = {"a pipe": folder / "pipe", "nothing": folder / "none.csv", "a folder": folder}
    for what, file in pipes.items():
        for command in INPUTS:
            outcome.count("odd inputs")
            filled = [word.format(file=file) for word in command]
            _ask(outcome, what, ("--logbook", str(good), *filled), SAYS_NO)
    return outcome


def _ask(outcome: Outcome, what: str, words: tuple[str, ...], code: int) -> None:
    done = CliRunner().invoke(main, words)
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        outcome.found.append(f"{what}: {' '.join(words)[:120]}: {done.exception!r}")
    elif done.exit_code != code:
        said = " ".join(done.output.split())[:160]
        outcome.found.append(f"{what}: {' '.join(words)[:120]}: {done.exit_code}, {said}")
