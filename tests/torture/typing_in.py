"""A bench with one of everything, and the ways of handing something to a command there."""

import contextlib
import json
import re
import sqlite3
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from click.testing import CliRunner
from tests.torture.kills import ADA

from platebook.cli.main import main

DATA = Path(__file__).parents[1] / "data"
LARGEST_LINE = 100_000
"""Characters of words that are typed: a system takes no more in one of them."""

LONGEST_TOLD, LONGEST_TRACE = 160, 4000
"""Characters of what was raised, and of its trace: what is not seen again is seen here."""

BRAM, DOT = "Bram Osk", "Dot Fenn"
TEACHER = "March"
PLATE = "Plate"
FIRST_ATTEMPT = b"FIRST-ATTEMPT"
"""Stands in words that are typed for the id of an attempt of that bench."""

CALIPER = "caliper"
EXIT_CODES = frozenset({0, 1, 2, 3})

TYPED: Mapping[str, tuple[str, str]] = {
    "sizes": (
        "sizes {0} --depth {1} --sheet {2} --layers {3} --curve {4}",
        "2.0\n1.20\n20ga\n1\nring 9 off 0.2",
    ),
    "uneven": (
        "sizes {0} --hole {1} --girdle {2} --table-off {3} --pitch {4}",
        "1,98\n2.04\n0.03-0.07\n0.04\n2.6",
    ),
    "material": ("sizes 5/64in --material {0} --metal {1} --method {2}", "cz\ncopper\nsnap in"),
    "plate": ("plate new {0} --width {1} --height {2} --edge {3} --pitch {4}", "C\n50\n30\n4\n6.5"),
    "set-up": (
        (
            "record --when {0} --diameter {1} --depth {2} --metal {3} --sheet {4} --pilot {5}"
            " --opening {6} --bur {7}"
        ),
        "2026-02-03 18:30\n1,98\n1.20\ncopper\n20ga\n#70\n1.8\n1.9",
    ),
    "looked": (
        (
            "record --fit {0} --trial-height {1} --ledge {2} --result {3} --severity {4}"
            " --clock {5} --first-seen {6} --note {7}"
        ),
        "3\njust under\neven\nloose;high\n1;2\n3\nburnish\nslow",
    ),
    "words": ("glossary {0}", "girdle"),
    "tool": ("drawer add {0} {1} --shape {2} --name {3}", "bur\n2.1\nhart\nb"),
    "measuring": (
        "drawer add measuring --name {0} --resolution {1} --mpe {2}",
        "slide\n0.01\n0.02 mm",
    ),
    "readings": (
        "drawer check caliper --against {0} --reading {1} --reading {2} --uncertainty {3}",
        "2.00\n1.98\n1,99\n0.001",
    ),
    "since": ("progress --since {0} --grade {1}", "2025-09\ncopper-2.0"),
    "findings": ("findings --since {0} --json", "2025-09-01"),
    "next": ("next --grade {0} --exercise {1}", "copper-2.0\nburnishing"),
    "amend": ("amend {0} {1} {2}", "FIRST-ATTEMPT\nnote=a\nresult=loose"),
    "show": ("show {0}", "FIRST-ATTEMPT"),
    "again": ("look-again {0} {1} --severity {2}", "FIRST-ATTEMPT\nloose;high\n1;2"),
    "look": (
        "class inspect {0} {1} --severity {2} --comment {3} --by {4}",
        "FIRST-ATTEMPT\nloose\n2\n1\nMarch",
    ),
    "sign": ("class sign-off {0} {1} --by {2}", "Ada Quill\ncopper-2.0\nMarch"),
    "class": (
        "class edit Thursday --name {0} --begins {1} --ends {2} --note {3}",
        "Friday\n2026-01-08\n2026-04-01\nn",
    ),
    "member": ("class add Thursday {0} --on {1} --new {2}", "Bram Osk\n2099-02-05\nBram Osk"),
    "merge": ("setter merge {0} {1}", "Ada Quill\nDot Fenn"),
    "message": ("message {0} --to {1} --by {2}", "Well held.\nAda Quill\nMarch"),
    "seeing": (
        "seeing keep {0} {1} {2} {3} {4}",
        "S\n1=good\n2=tilted 2; gap 1\n3=loose\n4=good",
    ),
    "judge": (
        (
            "seeing judge Plate {0} {1} {2} 4=good 5=good 6=good 7=good 8=good 9=good 10=good"
            " 11=good 12=good"
        ),
        "1=good\n2=loose 2\n3=tilted 2; gap 1",
    ),
    "hand-over": ("key hand-over {0}", "A" * 43),
    "trust": ("key trust {0} {1}", "Ada Quill\n" + "B" * 43),
    "setter": ("setter edit {0} --name {1} --group {2}", "Ada Quill\nAda\nThursday"),
    "map": ("import {sheet} --dry-run --map {0}", "Fit=leave out"),
    "encoding": ("import {letters} --dry-run --encoding {0}", "cp1252"),
    "course": ("course show {0}", "small-to-large"),
    "new": ("course new given.toml --like {0} --id {1}", "small-to-large\nevenings"),
    "sought": ("export given.csv --words {0} --setter {1}", "loose 1.98\nAda Quill"),
}
"""Commands whose words are bent, and a line for each, by what stands on the file's first line."""

SHEETS = {
    "{sheet}": str(DATA / "practice-sheet.csv"),
    "{letters}": str(DATA / "buch-der-fassungen.csv"),
}


class WrongAnswerError(Exception):
    """A door answered, and not as it should."""


@dataclass(frozen=True)
class Bench:
    """A logbook in a folder of its own, and a shell that types into it."""

    folder: Path
    codes: list[int] = field(default_factory=list)
    """The exit codes of what was typed so far."""

    @property
    def logbook(self) -> Path:
        """The logbook's file."""
        return self.folder / "logbook.sqlite"

    def types(self, *words: str, stdin: str | bytes | None = None) -> str:
        """Run a command; its answer. What it raises is raised, and so is what is wrong with it."""
        command = ["--logbook", str(self.logbook), *words]
        done = CliRunner().invoke(main, command, input=stdin)
        if done.exception is not None and not isinstance(done.exception, SystemExit):
            raise done.exception
        if any(mark in done.output for mark in ("\x1b", "\x07", "\u202e")):
            raise WrongAnswerError("something in the answer that a terminal obeys")
        if "Traceback" in done.output:
            trace = done.output.partition("Traceback")[2]
            raised = re.search(r"\n(?! )(.*)", trace)
            said = raised[1][:LONGEST_TOLD] if raised else ""
            raise WrongAnswerError(f"a traceback in the answer ({said}): {trace[:LONGEST_TRACE]}")
        if done.exit_code not in EXIT_CODES:
            raise WrongAnswerError(f"exit code {done.exit_code}")
        self.codes.append(done.exit_code)
        return done.stdout

    def first_attempt(self) -> bytes:
        """The id of one attempt that is in the logbook."""
        with contextlib.closing(sqlite3.connect(self.logbook)) as connection:
            query = "SELECT record_id FROM revision WHERE kind = 'attempt' ORDER BY record_id"
            return str(connection.execute(query).fetchone()[0]).encode()


def new_bench(folder: Path, *, name: str = ADA) -> Bench:
    """A bench with one of everything, where Ada sits, or who is named."""
    folder.mkdir(parents=True)
    bench = Bench(folder)
    bench.types("setter", "add", name, "--course", "small-to-large")
    bench.types(
        "record", "--from", "-", stdin=json.dumps([{"result": "good"}, {"result": "loose"}])
    )
    bench.types("drawer", "add", "measuring", "--name", CALIPER)
    bench.types("plate", "new", "A", "--width", "50", "--height", "30")
    bench.types("teacher", "add", TEACHER)
    bench.types("setter", "use", name)
    bench.types("setter", "add", DOT)
    bench.types("class", "new", "Thursday", name, DOT)
    known = [f"{place}={'loose 2' if place % 3 else 'good'}" for place in range(1, 13)]
    bench.types("seeing", "keep", PLATE, *known)
    attempt = bench.first_attempt().decode()
    bench.types("class", "inspect", attempt, "loose", "--comment", "1", "--by", TEACHER)
    bench.types("message", "Well held.", "--to", name, "--by", TEACHER)
    bench.types("next")
    bench.types("progress")
    return bench


def _words(data: bytes) -> str:
    """What a shell hands over of these bytes."""
    return data.decode("utf-8", "surrogateescape").replace("\0", "?")[:LARGEST_LINE]


def types_file(bench: Bench, data: bytes, *, suffix: str, command: tuple[str, ...]) -> None:
    """Hand a file to a command."""
    file = bench.folder / f"given{suffix}"
    file.write_bytes(data)
    bench.types(*(str(file) if word == "{file}" else word for word in command))


def types_words(bench: Bench, data: bytes, *, command: tuple[str, ...]) -> None:
    """Hand words to a command."""
    bench.types(*(_words(data) if word == "{words}" else word for word in command))


def takes_in(bench: Bench, data: bytes) -> None:
    """A bundle with all that is in it, whoever signed it, and what is shown of it then."""
    file = bench.folder / "given.platebook"
    file.write_bytes(data)
    bench.types("import", str(file), "--all")
    for out in json.loads(bench.types("key", "waiting", "--json"))["left_out"][:3]:
        bench.types("key", "waiting", out["person_id"], "--take")
    for command in (("import", str(file), "--all"), ("log", "--all"), ("next",)):
        bench.types(*command)


def shares(bench: Bench, data: bytes) -> None:
    """A bundle that lies in the folder through which a teacher and a student share."""
    folder = bench.folder / "folder"
    folder.mkdir()
    named = re.search(rb'"replica": ?"([0-9a-f-]{36})"', data)
    name = named[1].decode() if named else "given"
    (folder / f"{name}.platebook").write_bytes(data)
    for command in (
        *(("teacher", "use", TEACHER), ("share", str(folder)), ("class", "roster")),
        *(("setter", "use", ADA), ("share", str(folder)), ("message",)),
    ):
        bench.types(*command)


def types_line(bench: Bench, data: bytes, *, command: tuple[str, ...]) -> None:
    """Hand standard input to a command."""
    bench.types(*command, stdin=data)


def types_by_name(bench: Bench, data: bytes) -> None:
    """Hand each line to its place in one of the commands that take words."""
    name, *lines = data.replace(FIRST_ATTEMPT, bench.first_attempt()).split(b"\n")
    command, _ = TYPED.get(name.decode("ascii", "replace"), ("", ""))
    filled = {
        **SHEETS,
        **dict(zip((f"{{{n}}}" for n in range(9)), map(_words, lines), strict=False)),
    }
    if command:
        bench.types(
            *(filled.get(word, "") if word[:1] == "{" else word for word in command.split())
        )


def opens(bench: Bench, data: bytes, *, command: tuple[str, ...]) -> None:
    """Put it in the logbook's place."""
    bench.logbook.write_bytes(data)
    bench.types(*command)


def beside(bench: Bench, data: bytes, *, folder: Callable[[Path], Path]) -> None:
    """Put it in the place of each file that the program keeps beside the logbook."""
    for file in folder(bench.logbook).glob("*"):
        file.write_bytes(data)
    for command in (("next",), ("progress",), ("record", "--result", "good")):
        bench.types(*command)
