"""How a command ends: 0 done, 1 the data says no, 2 wrong usage, 3 the logbook cannot be used."""

import sqlite3
from collections.abc import Iterator
from pathlib import Path

import click
import pytest
from tests.cli.shell import ADA, Shell

from platebook.cli.main import main
from platebook.cli.terminal.options import to_width
from platebook.logbook import open_logbook

LONG = "x" * 300
"""A longer name than any file system allows."""

DATA_SAYS_NO = [
    ("record", "--diameter", "forty"),
    ("record", "--result", "good;loose"),
    ("record", "--from", "nowhere.json"),
    ("show", "nosuchid"),
    ("amend", "nosuchid", "fit=2"),
    ("redo",),
    ("sizes", "40"),
    ("sizes", "-1"),
    ("sizes", "1.98", "--rule", "thumb"),
    ("sizes", "2.0", "--method", "glue in"),
    ("findings", "--setter", "Nobody Known"),
    ("setter", "use", "Nobody Known"),
    ("setter", "add", ADA),
    ("setter", "merge", ADA, "Nobody Known"),
    ("setter", "erase", "Nobody Known", "--yes"),
    ("drawer", "add", "bur", "wide"),
    ("course", "show", "nosuchcourse"),
    ("course", "check", "nowhere.toml"),
    ("course", "use", "nowhere.toml"),
    ("course", "new", "{logbook}"),
    ("course", "new", "mine.toml", "--like", "nosuchcourse"),
    ("import", "nowhere.csv"),
    ("import", "picture.png"),
    ("export", "{logbook}"),
    ("backup", "{logbook}"),
    ("import", "noending"),
    ("import", f"{LONG}.csv"),
    ("export", f"{LONG}.csv"),
    ("report", f"{LONG}.html"),
    ("backup", LONG),
    ("restore", LONG),
    ("share", LONG),
    ("share", "~nobody_such/x"),
    ("backup", "--keep-in", LONG),
    ("demo", "--keep", LONG),
    ("demo", "--keep", "{logbook}"),
]
WRONG_USAGE = [
    ("sizes",),
    ("sizes", "--rules"),
    ("sizes", "1.98", "--materal", "cz"),
    ("record",),
    ("record", "--set", "fit"),
    ("record", "--result", "good", "--dates", "ymd"),
    ("amend", "someid"),
    ("amend", "someid", "fit"),
    ("log", "--last", "0"),
    ("drawer", "add", "hammer", "1.9"),
    ("setter",),
    ("weave",),
    ("log", "--colour"),
]
USES_THE_LOGBOOK = [
    ("log",),
    ("show", "someid"),
    ("record", "--result", "good"),
    ("record", "--from", "-"),
    ("amend", "someid", "fit=2"),
    ("undo",),
    ("redo",),
    ("sizes", "2.0"),
    ("findings",),
    ("progress",),
    ("next",),
    ("setter", "add", ADA),
    ("setter", "list"),
    ("setter", "use", ADA),
    ("setter", "merge", "a", "b"),
    ("setter", "erase", ADA, "--yes"),
    ("drawer", "add", "bur", "1.9"),
    ("drawer", "list"),
    ("course", "use", "small-to-large"),
    ("export", "out.csv"),
    ("backup", "out.sqlite"),
    ("check",),
]


@pytest.mark.parametrize("words", DATA_SAYS_NO, ids=" ".join)
def test_a_refusal_says_why_on_stderr_and_changes_nothing(
    ada: Shell, words: tuple[str, ...]
) -> None:
    """Exit code 1: nothing on stdout, a sentence on stderr, the logbook as it was."""
    before = ada.logbook.read_bytes()
    done = ada.runs(*(w.format(logbook=ada.logbook) for w in words), code=1)
    assert (done.stdout, bool(done.stderr.strip())) == ("", True)
    assert ada.logbook.read_bytes() == before


@pytest.mark.parametrize("words", WRONG_USAGE, ids=" ".join)
def test_wrong_usage_is_code_2(ada: Shell, words: tuple[str, ...]) -> None:
    """A command that was typed wrong is told so, and the logbook stays as it was."""
    before = ada.logbook.read_bytes()
    done = ada.runs(*words, code=2)
    assert (done.stdout, "Usage" in done.stderr) == ("", True)
    assert ada.logbook.read_bytes() == before


def test_the_app_needs_a_terminal(shell: Shell) -> None:
    """Without one, the words say which commands do the same."""
    done = shell.runs(code=2)
    assert (done.stdout, "platebook record" in done.stderr) == ("", True)


def _unusable(kind: str, path: Path) -> Path:
    """A file that no logbook can be read from, for the reason of that name."""
    if kind == "empty":
        path.write_bytes(b"")
        return path
    if kind == "other":
        path.write_text("Tuesday: two loose, one chipped.\n" * 400, encoding="utf-8")
        return path
    with open_logbook(path):
        pass
    data = bytearray(path.read_bytes())
    if kind == "damaged":
        data[4096 : 4096 * 3] = b"\xff" * 8192
    else:
        data[60:64] = (9999).to_bytes(4, "big")
    path.write_bytes(data)
    return path


@pytest.mark.parametrize(
    ("kind", "why"),
    [
        ("empty", "is empty"),
        ("other", "not a logbook"),
        ("damaged", "damaged"),
        ("newer", "newer platebook"),
    ],
)
def test_a_logbook_that_cannot_be_used_is_left_byte_for_byte(
    shell: Shell, kind: str, why: str
) -> None:
    """Exit code 3 from every command with the reason, and the file is what it was.

    The schema of a logbook stands in SQLite's user version, bytes 60 to 63 of the file
    (sqlite.org, "Database File Format", section 1.3).
    """
    file = _unusable(kind, shell.logbook)
    before = file.read_bytes()
    told = {}
    for words in USES_THE_LOGBOOK:
        done = shell.runs(*words, stdin="[]", code=3)
        told[words] = (done.stdout, why in done.stderr)
        assert file.read_bytes() == before, words
    assert set(told.values()) == {("", True)}


def test_a_folder_is_no_logbook(shell: Shell) -> None:
    """Naming the folder in place of the file is code 3."""
    done = shell.runs("log", "--logbook", str(shell.folder), code=3)
    assert "folder" in done.stderr


def test_a_damaged_logbook_can_still_be_replaced_by_a_backup(ada: Shell) -> None:
    """Restoring works where nothing else does, and keeps the damaged file."""
    copy = ada.folder / "copy.sqlite"
    ada.runs("backup", str(copy))
    _unusable("empty", ada.logbook)
    ada.runs("check", code=3)
    ada.runs("restore", str(copy))
    assert [s["name"] for s in ada.answers("setter", "list")["setters"]] == [ADA]


def test_what_is_damaged_is_listed_whoever_it_is(ada: Shell) -> None:
    """The row of whoever is in use too, which other commands read first."""
    made = ada.runs("record", "--result", "good").stdout.strip()
    db = sqlite3.connect(ada.logbook)
    with db:
        db.execute("UPDATE setter SET seats = '%%', course = CAST(x'ff' AS TEXT)")
        db.execute("UPDATE attempt SET note = 'not mine'")
        (whose,) = db.execute("SELECT setter_id FROM setter").fetchone()
    db.close()
    assert "is damaged" in ada.runs("log", code=3).stderr
    told = " ".join(ada.runs("check", code=1).stdout.split())
    for named in (f"The setter {whose} (%%, saved", f"The attempt {made} (%%, saved"):
        assert named.replace("%%", "Ada Quill") in told
    assert told.count("is not what its revisions make it.") == 2
    assert "Copies made by the program" in ada.runs("where").stdout
    ada.logbook.write_text("no logbook at all\n" * 9, encoding="utf-8")
    told = ada.runs("where").stdout
    assert told.splitlines()[1] == "  cannot be read"


def test_a_mistyped_command_is_told_with_the_one_meant(shell: Shell) -> None:
    """Wrong usage, and the word that was nearest."""
    done = shell.runs("fidings", code=2)
    assert "No such command 'fidings'. Did you mean findings?" in done.stderr


def _commands(command: click.Command, ctx: click.Context) -> Iterator[click.Command]:
    yield command
    if isinstance(command, click.Group):
        for name in command.list_commands(ctx):
            inner = command.get_command(ctx, name)
            assert inner is not None
            yield from _commands(inner, click.Context(inner, parent=ctx))


def test_a_file_is_not_judged_before_it_is_read() -> None:
    """One that may not be read is refused by the command, in its own words, and never wrong use."""
    judged = [
        (command.name, parameter.name)
        for command in _commands(main, click.Context(main))
        for parameter in command.params
        if isinstance(parameter.type, click.Path) and parameter.type.readable
    ]
    assert judged == []


def test_a_number_without_end_is_told_in_plain_words(ada: Shell) -> None:
    """Python's own limit is no word for somebody who logs stones."""
    (ada.folder / "long.json").write_text(f'[{{"diameter": {"9" * 5000}}}]', encoding="utf-8")
    said = ada.runs("record", "--from", "long.json", code=1).stderr
    assert said == (
        "long.json: not JSON in UTF-8: a number in it has more digits than anything that is "
        "measured\n"
    )


def test_words_about_the_data_are_folded_to_the_terminal() -> None:
    """Each line under its own text, words whole; what fits stays as it is."""
    words = "The logbook cannot be read.\n  What was saved is kept beside it, in a folder."
    assert to_width(words, 30).split("\n") == [
        "The logbook cannot be read.",
        "  What was saved is kept",
        "  beside it, in a folder.",
    ]
