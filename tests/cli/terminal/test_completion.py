"""What the shell completes: names, courses and results, from a logbook that is only looked into."""

import os
import shutil
import subprocess
from pathlib import Path

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
    last = len(line.split(" "))
    words = {
        "COMP_WORDS": f"platebook {line}",
        "COMP_CWORD": line.rsplit(" ", maxsplit=1)[-1] if how == "fish" else str(last),
        "_PLATEBOOK_COMPLETE": f"{how}_complete",
        "PLATEBOOK_LOGBOOK": str(shell.logbook),
    }
    said = shell.runner.invoke(main, prog_name="platebook", env=words).stdout.splitlines()
    if how == "bash":
        return [one.partition(",")[2] for one in said]
    if how == "fish":
        return [one.partition(",")[2].partition("\t")[0] for one in said]
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


@pytest.mark.skipif(shutil.which("bash") is None, reason="needs bash")
@pytest.mark.parametrize("begun", ["", '"', "'"])
def test_bash_reads_the_name_that_was_meant(ada: Shell, tmp_path: Path, begun: str) -> None:
    """And obeys nothing in it, whoever made it up: within quotes of either kind too."""
    odd = [
        "O'Neil Bo",
        'Kit "Six"',
        "Zoë $HOME `id`",
        "Jo;touch made & ls|wc",
        "a\\b *[x]#~",
        "x=y",
    ]
    for name in odd:
        ada.runs("setter", "add", name)
    said = tmp_path / "said"
    values = offered(ada, f"log --setter {begun}", "bash")
    said.write_text("".join(f"plain,{value}\n" for value in values), "utf-8")
    script = """
        while IFS=',' read type value; do
            eval "set -- $begun$value$begun"
            printf '%s\\n' "$@"
        done < said
    """
    done = subprocess.run(
        ["bash", "-c", script],
        cwd=tmp_path,
        env={"PATH": os.environ["PATH"], "HOME": "/nowhere", "begun": begun},
        stdout=subprocess.PIPE,
        encoding="utf-8",
        check=True,
    )
    assert sorted(done.stdout.splitlines()) == sorted([ADA, *odd])
    assert not (tmp_path / "made").exists()


@pytest.mark.parametrize("how", ["zsh", "fish"])
def test_an_option_stays_before_what_is_given_to_it(ada: Shell, how: str) -> None:
    """To these shells both are one word, which is replaced as one."""
    assert offered(ada, "log --setter=Ad", how) == [f"--setter={ADA}"]


def test_bash_has_three_words_of_an_option_with_what_is_given_to_it(ada: Shell) -> None:
    """And replaces the last one."""
    assert offered(ada, "log --setter = Ad", "bash") == ["Ada\\\\ Quill"]


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
