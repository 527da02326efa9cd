"""`man platebook` is the program's own help: every command, every option, and nothing older."""

import re
import tomllib

import click
from tests.documents.man_page import commands, man_page
from tests.documents.page import ROOT

from platebook.cli.main import main

PAGE = (ROOT / "man" / "platebook.1").read_text("utf-8")


def test_the_page_is_as_the_commands_are() -> None:
    """`make man` writes it; it was written since the last change of a command."""
    assert man_page() == PAGE


def test_every_command_and_option_is_on_it() -> None:
    """Each command has its heading, and each of its options a line below."""
    heads = re.compile(r"^\.SS platebook ([^\n]+)\n(.*?)(?=^\.S)", re.MULTILINE | re.DOTALL)
    found = dict(heads.findall(PAGE))
    sections = {name.replace(r"\-", "-"): body.replace(r"\-", "-") for name, body in found.items()}
    missing = [
        f"{name} {option}"
        for name, command, _ in commands(main, click.Context(main))
        for parameter in command.params
        for option in parameter.opts
        if option.startswith("-") and option not in sections[name]
    ]
    assert (len(sections) >= 70, missing) == (True, [])


def test_the_wheel_installs_it() -> None:
    """It lies where `man` looks, below the place that the program is installed to."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    shared = project["tool"]["hatch"]["build"]["targets"]["wheel"]["shared-data"]
    assert shared["man/platebook.1"] == "share/man/man1/platebook.1"
