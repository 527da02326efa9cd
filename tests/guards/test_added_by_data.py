"""A defect, an exercise and a rule of thumb are rows of data: one of each added, nothing else.

The program is copied, a row is added to each table of the copy, and the copy is run as a person
runs it: by commands and in a terminal. Nothing of this process is asked.
"""

import csv
import json
import os
import shutil
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from tests.tui.terminal import Terminal

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
PROGRAM = ("-c", "from platebook.cli.main import main; main()")

DEFECT = """
[[defect]]
name = "ragged"
aliases = ["torn"]
key = "r"
sign = "R"
spoken = "a ragged rim"
many = "ragged rims"
check = "follow the rim with a needle"
slight = "the needle drags"
clear = "the needle catches"
lost = "torn through"
saved = "yes"
do = ["Stone the rim and burnish it once more."]
why = "Saved while metal is left over the girdle."
comments = ["Wax the burnisher before each round."]
speaks_against = [{ "fit check" = 1.0 }]
"""
PART = """
[[part]]
name = "fit check"
cautions = "check fit"
readings = ["fit"]
"""
EXERCISE = """
[[exercises]]
id = "fit-check"
title = "Naming the fit"
kind = "part"
part = "fit check"
task = "Lay ten stones in seats of known width and name the fit."
criterion = "The fit is named right."
row = 5
pass_at = 4
"""
RULE = """
[[rule]]
id = "pilot-six-tenths"
purpose = "pilot"
times = 0.6
low_mm = -0.11
high_mm = 0.11
kind = "common practice"
say = "A pilot of six tenths of the stone."
"""
ADDED = {
    "practice/data/defects.toml": DEFECT,
    "practice/data/parts.toml": PART,
    "curricula/small-to-large.toml": EXERCISE,
    "trade/data/rules.toml": RULE,
}
ADVICE = """
import datetime, json, sys
from platebook.advice import next_exercise
from platebook.practice import load_course, read_attempts, shipped_course
from platebook.values import as_dict
rows = json.load(sys.stdin)
attempts, problems = read_attempts(rows)
course = load_course(shipped_course("small-to-large"))
print(json.dumps(as_dict(next_exercise(course, attempts, today=datetime.date(2026, 2, 28)))))
"""
PAGES = """
from tests.practice.test_fields_page import fields_page
from tests.tui.test_commands import keys_page
print(fields_page(), keys_page())
"""


class Copy:
    """The program with the rows added, and a logbook of somebody who tears the rim when dry."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        package = folder / "platebook"
        shutil.copytree(ROOT / "src" / "platebook", package)
        shutil.copytree(ROOT / "curricula", package / "curricula")
        for name, row in ADDED.items():
            with (package / name).open("a", encoding="utf-8") as table:
                table.write(row)
        self.environment = {
            "PYTHONPATH": f"{folder}{os.pathsep}{ROOT}",
            "PLATEBOOK_LOGBOOK": str(folder / "logbook.sqlite"),
            "HOME": str(folder),
            "XDG_STATE_HOME": str(folder),
            "TZ": "Europe/Lisbon",
        }
        self.sheet = folder / "sheet.csv"
        with self.sheet.open("w", encoding="utf-8", newline="") as file:
            sheet = csv.DictWriter(file, list(planted()[0]))
            sheet.writeheader()
            sheet.writerows(planted())
        self.runs("setter", "add", "Wren Calder")
        self.runs("import", str(self.sheet))

    def python(self, *arguments: str, read: str = "", **environment: str) -> str:
        """What Python prints, with the copy in place of the program."""
        done = subprocess.run(
            [sys.executable, *arguments],
            env={**os.environ, **self.environment, **environment},
            cwd=self.folder,
            input=read,
            capture_output=True,
            text=True,
            check=False,
            timeout=300,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    def runs(self, *arguments: str, **environment: str) -> str:
        """What one command prints."""
        return self.python(*PROGRAM, *arguments, **environment)

    def asks(self, *arguments: str, **environment: str) -> Any:
        """The JSON answer of one command."""
        return json.loads(self.runs(*arguments, "--json", **environment))

    def opens_the_app(self, **environment: str) -> "Bench":
        """The app in a terminal of 80 by 24, at Now."""
        bench = Bench(Terminal(*PROGRAM, **{**self.environment, **environment}))
        bench.sees("Enter start")
        return bench


class Bench:
    """The app of the copy, by keys and by what is read on the screen."""

    def __init__(self, terminal: Terminal) -> None:
        self.terminal = terminal

    def types(self, keys: str, *words: str) -> None:
        """Type keys once the picture stands, and wait until all these words are on the screen."""
        self.terminal.settle()
        self.terminal.type(keys)
        self.sees(*words)

    def sees(self, *words: str) -> None:
        """Wait until all these words stand on the screen, wherever its lines break."""
        self.terminal.wait_for(lambda text: all(word in _flat(text) for word in words))

    def ends(self) -> None:
        """Leave the app."""
        self.terminal.type("\x11")
        assert self.terminal.ended() == 0


def _flat(text: str) -> str:
    return " ".join(text.replace("│", " ").split())


def planted() -> list[dict[str, str]]:
    """Sixty-four settings in eight evenings: torn mostly where no wax was used."""
    rows = []
    for n in range(64):
        dry = n * (7 * n + 3) % 11 < 5 or n >= 60
        torn = n % 4 != 0 if dry else n % 16 == 3
        evening, place = divmod(n, 8)
        began = datetime(2026, 2, 20, 18, tzinfo=UTC) + timedelta(days=evening, minutes=5 * place)
        rows.append(
            {
                "began": f"{began:%Y-%m-%d %H:%M}",
                "grade": "copper-1.5",
                "exercise": "whole",
                "plate": f"P{1 + n // 10}",
                "position": str(1 + n % 10),
                "stone_diameter_mm": "1.5",
                "seat_bur_mm": "1.4",
                "lubricant": "none" if dry else "wax",
                "result": "torn" if torn else "good",
                "severity": "2" if torn else "",
            }
        )
    return rows


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Copy:
    """The copy with its rows and its log."""
    return Copy(tmp_path_factory.mktemp("copy"))


def test_the_copy_is_what_is_asked(copy: Copy) -> None:
    """Else all of this would ask the program without the rows."""
    where = copy.python("-c", "import platebook; print(platebook.__file__)")
    assert Path(where.strip()).parent == copy.folder / "platebook"


def test_a_new_defect_is_read_found_and_told_of(copy: Copy) -> None:
    """By its other spelling and its key; in the log, on the plate, in findings and the report."""
    spelt = {attempt["result"] for attempt in copy.asks("log", "--all")["attempts"]}
    assert spelt == {"good", "ragged"}
    signs = {c["result"]: c["sign"] for c in copy.asks("plate", "show", "P3")["positions"]}
    assert signs["ragged"] == "R"
    found = copy.asks("findings")["findings"][0]
    assert (found["variable"], found["defect"]) == ("lubricant", "ragged")
    assert found["sentence"].startswith("A ragged rim went with no lubricant: ")
    comments = copy.asks("class", "inspect", "--comments")["comments"]
    assert comments["ragged"] == ["Wax the burnisher before each round."]
    page = copy.folder / "page.html"
    copy.runs("report", str(page))
    assert "A ragged rim went with no lubricant" in page.read_text(encoding="utf-8")


def test_a_new_defect_goes_out_and_comes_back(copy: Copy) -> None:
    """A CSV file read into an empty logbook, and written from there, is the same file."""
    first, second = copy.folder / "first.csv", copy.folder / "second.csv"
    elsewhere = {"PLATEBOOK_LOGBOOK": str(copy.folder / "other.sqlite")}
    copy.runs("export", str(first), "--everyone")
    copy.runs("import", str(first), **elsewhere)
    copy.runs("export", str(second), "--everyone", **elsewhere)
    assert _without_ids(first) == _without_ids(second)
    assert "ragged" in {row["result"] for row in _without_ids(first)}


def _without_ids(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    return [{k: v for k, v in row.items() if not k.endswith("_id")} for row in rows]


def test_a_new_exercise_is_offered_once_its_skill_fails(copy: Copy, tmp_path: Path) -> None:
    """The defect speaks against the new part, which the course's new exercise then trains."""
    advice = json.loads(copy.python("-c", ADVICE, read=json.dumps(planted())))
    assert (advice["purpose"], advice["part"]) == ("remedial", "fit check")
    assert (advice["exercise"], advice["title"]) == ("fit-check", "Naming the fit")
    logbook = {"PLATEBOOK_LOGBOOK": str(tmp_path / "parts.sqlite")}
    copy.runs("setter", "add", "Wren Calder", **logbook)
    copy.runs("record", "--kind", "part", "--part", "fit check", "--result", "missed", **logbook)
    (attempt,) = copy.asks("log", **logbook)["attempts"]
    assert (attempt["part"], attempt["result"]) == ("fit check", "missed")


def test_a_new_rule_of_thumb_is_listed_and_gone_by(copy: Copy) -> None:
    """Beside the others of its purpose, and for once with `sizes --rule`."""
    listed = {rule["id"]: rule["purpose"] for rule in copy.asks("setter", "rules")["rules"]}
    assert listed["pilot-six-tenths"] == "pilot"
    pilot = copy.asks("sizes", "2.0", "--rule", "pilot-six-tenths")["pilot_drill"]
    assert (pilot["rule"], pilot["target_mm"]) == ("pilot-six-tenths", 1.2)


def test_the_pages_that_are_made_from_tables_name_them(copy: Copy) -> None:
    """docs/fields.md has the values, docs/keys.md the letter."""
    pages = copy.python("-c", PAGES)
    assert "`culet out`, `ragged`" in pages
    assert "`spacing`, `fit check`" in pages
    assert "| 0 … 9, r | answer |" in pages


@pytest.mark.pty
def test_a_tenth_defect_is_keyed_on_attempt_plate_and_second_look(copy: Copy) -> None:
    """By its letter, with its test, its severities, its remedy and its place in the help."""
    before, count = _ragged(copy), len(planted()) + 2
    bench = copy.opens_the_app()
    bench.types("\r", "A digit answers")
    bench.types("2222", "How did it come out?", "r ragged follow the rim with a needle")
    bench.types("?", "Here: result", "r ragged")
    bench.types("\x1b", "How did it come out?")
    bench.types("r", "How bad is ragged?", "2 clear the needle catches")
    bench.types("2\r", "ragged, clearly", "Enter saves")
    bench.types("\r", "Saved: ragged, clearly", "Ragged (can be saved): Stone the rim")
    bench.types("\x1b", "Enter start")
    bench.types("w", " judged")
    bench.types("\x1b[C" * 4, "9 off mark r ragged")
    bench.types("r", "How bad is ragged", "2 clear: the needle catches")
    bench.types("2*", "Enter start", f"{count} whole settings")
    bench.types("j", "A digit or letter: 0 good", "9 off mark, r ragged")
    bench.types("r", "ragged: How bad?")
    bench.types("2", "Now: ragged. The first time:")
    bench.types("\x1b", "Enter start")
    bench.types("l", "ragged")
    bench.ends()
    assert _ragged(copy) == before + 2


def _ragged(copy: Copy) -> int:
    return [attempt["result"] for attempt in copy.asks("log", "--all")["attempts"]].count("ragged")


@pytest.mark.pty
def test_a_tenth_defect_is_keyed_by_an_instructor(copy: Copy, tmp_path: Path) -> None:
    """On the Class screen, with its stock comment."""
    logbook = {"PLATEBOOK_LOGBOOK": str(tmp_path / "class.sqlite")}
    copy.runs("setter", "add", "Wren Calder", **logbook)
    copy.runs("import", str(copy.sheet), **logbook)
    copy.runs("setter", "add", "Marta Corvo", **logbook)
    copy.runs("setter", "use", "Marta Corvo", **logbook)
    bench = copy.opens_the_app(**logbook)
    bench.types("k", "Wren Calder")
    bench.types("q", "Look first at", "Wren Calder")
    bench.types("r", "ragged: How bad?")
    bench.types("2", "ragged, clearly: A comment?", "1 Wax the burnisher")
    bench.types("1", "Yours: ragged, clearly. Wren Calder's own:")
    bench.ends()


@pytest.mark.parametrize("lacks", ["sign", "saved", "do", "why", "speaks_against"])
def test_a_row_that_lacks_something_says_what(lacks: str, tmp_path: Path) -> None:
    """A defect without one of its values is refused by name, when the table is read."""
    package = tmp_path / "platebook"
    shutil.copytree(ROOT / "src" / "platebook" / "practice", package / "practice")
    for file in (ROOT / "src" / "platebook").glob("*.py"):
        shutil.copy(file, package)
    kept = [row for row in DEFECT.splitlines(keepends=True) if not row.startswith(f"{lacks} ")]
    with (package / "practice" / "data" / "defects.toml").open("a", encoding="utf-8") as table:
        table.writelines(kept)
    done = subprocess.run(
        [sys.executable, "-c", "from platebook.practice.defects import defects; defects()"],
        env={**os.environ, "PYTHONPATH": str(tmp_path)},
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert done.returncode != 0
    assert "defects.toml, ragged: " in done.stderr
    assert f"'{lacks}'" in done.stderr
