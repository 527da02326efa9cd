"""What the shell completes: names, courses and results, from a logbook that is only looked into."""

import pytest
from tests.cli.shell import ADA, COURSE, Shell, with_ada

from platebook.cli.main import main


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Shell:
    """A logbook with something of each kind that has a name; tests only look into it."""
    shell = with_ada(tmp_path_factory.mktemp("filled"))
    shell.runs("plate", "new", "first", "--width", "50", "--height", "30")
    shell.runs("drawer", "add", "measuring", "--name", "my caliper")
    shell.runs("teacher", "add", "Tom Vale")
    shell.runs("class", "new", "Thursday", ADA)
    return shell


def offered(shell: Shell, line: str, how: str = "zsh") -> list[str]:
    """What is offered for the last word of the line."""
    words = {
        "COMP_WORDS": f"platebook {line}",
        "COMP_CWORD": str(len(line.split(" "))),
        "_PLATEBOOK_COMPLETE": f"{how}_complete",
        "PLATEBOOK_LOGBOOK": str(shell.logbook),
    }
    said = shell.runner.invoke(main, prog_name="platebook", env=words).stdout.splitlines()
    if how == "bash":
        return [one.partition(",")[2] for one in said]
    return said[1::3]


@pytest.mark.parametrize(
    "line", ["log --setter ada", "setter use Qui", "setter merge Ad", "setter erase ADA"]
)
def test_people_are_completed_from_the_logbook(ada: Shell, line: str) -> None:
    """By any word of the name, in any case."""
    ada.runs("setter", "add", "Bram Osk")
    assert offered(ada, line) == [ADA]


def test_the_logbook_named_in_the_line_is_looked_into(ada: Shell) -> None:
    """Before the command, as after it."""
    ada.runs("setter", "add", "Bram Osk", "--logbook", "other.sqlite")
    other = ada.folder / "other.sqlite"
    assert offered(ada, f"--logbook {other} log --setter B") == ["Bram Osk"]
    assert offered(ada, f"log --logbook {other} --setter B") == ["Bram Osk"]


def test_bash_gets_a_blank_it_can_keep(ada: Shell) -> None:
    """Marked, but not inside quotes that were opened."""
    assert offered(ada, "log --setter Ad", "bash") == ["Ada\\\\ Quill"]
    assert offered(ada, 'log --setter "Ad', "bash") == [ADA]


def test_courses_are_completed_and_files_where_none_begins_so(ada: Shell) -> None:
    """Those that ship and those of the logbook."""
    ada.runs("course", "new", "mine.toml", "--id", "smaller")
    ada.runs("course", "use", "mine.toml")
    assert offered(ada, "course show small") == [COURSE, "smaller"]
    assert offered(ada, "setter add X --course small") == [COURSE, "smaller"]
    assert offered(ada, "course use mine.t") == ["mine.t"]


def test_results_are_completed_one_after_the_other(ada: Shell) -> None:
    """Good first; after a semicolon the next defect."""
    assert offered(ada, "record --result go") == ["good"]
    assert offered(ada, "record --result l") == ["loose", "low"]
    assert offered(ada, "record --result loose;lo") == ["loose;loose", "loose;low"]


def test_words_of_the_glossary_are_completed(shell: Shell) -> None:
    """By the beginning of any of their words."""
    assert offered(shell, "glossary tilt") == [
        "enters tilted and snaps",
        "spindle tilt",
        "table tilt",
        "tilted",
    ]


def test_without_a_logbook_nothing_is_offered_or_made(shell: Shell) -> None:
    """Nor where the file is none; no complaint stands in the line."""
    assert offered(shell, "log --setter A") == []
    assert list(shell.folder.iterdir()) == []
    shell.logbook.write_bytes(b"no logbook " * 99)
    assert offered(shell, "log --setter A") == []
    assert COURSE in offered(shell, "course show s")
    assert list(shell.folder.iterdir()) == [shell.logbook]


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("teacher use to", ["Tom Vale"]),
        ("class end th", ["Thursday"]),
        ("report page.html --group th", ["Thursday"]),
        ("class inspect --by to", ["Tom Vale"]),
        ("key trust ada", [ADA]),
        ("plate print fi", ["first"]),
        ("drawer check my", ["my caliper"]),
        ("next --grade copper-1", ["copper-1.5"]),
        ("log --logbook boo", ["boo"]),
    ],
)
def test_whatever_the_logbook_has_a_name_for_is_completed(
    filled: Shell, line: str, expected: list[str]
) -> None:
    """Classes, teachers, plates, tools and grades; a file is left to the shell."""
    assert offered(filled, line) == expected
