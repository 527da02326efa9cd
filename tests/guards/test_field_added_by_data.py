"""A field is one row: it is added to a copy of the program, and everything follows.

The row goes into `practice/data/fields.csv`, the command writes the migration; nothing else of the
copy is touched. DEVELOPERS.md tells the same as a recipe.
"""

import json
import os
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
FIELD, LABEL = "lamp_height_mm", "lamp height"
ROW = f"{FIELD},tools,length,cause,plate,plate to lamp,{LABEL},mm,20,900,Measured to the bulb."
AFTER = "light,tools,"

pytestmark = [pytest.mark.slow]


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the program and of the frozen logbooks, with one field more."""
    copy = tmp_path_factory.mktemp("copy")
    for part in ("src/platebook", "curricula", "tests/logbook/versions"):
        shutil.copytree(ROOT / part, copy / part)
    table = copy / "src" / "platebook" / "practice" / "data" / "fields.csv"
    lines = table.read_text(encoding="utf-8").splitlines()
    place = next(n for n, line in enumerate(lines) if line.startswith(AFTER))
    lines.insert(place + 1, ROW)
    table.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return copy


def runs(copy: Path, module: str, *words: str) -> str:
    """What this module prints, run in a new interpreter on the copy."""
    path = os.pathsep.join((str(copy / "src"), str(ROOT)))
    done = subprocess.run(
        [sys.executable, "-m", module, *words],
        env={**os.environ, "PYTHONPATH": path},
        cwd=copy / "src",
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def migration(copy: Path) -> str:
    """What the command wrote for the field: the next step of the schema."""
    steps = set((copy / "src/platebook/logbook/schema").glob("*.sql"))
    runs(copy, "tests.logbook.new_migration")
    (new,) = set((copy / "src/platebook/logbook/schema").glob("*.sql")) - steps
    return new.read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def seen(copy: Path, migration: str) -> dict[str, Any]:
    """What the copy does with the field, on a logbook of the schema before."""
    assert migration
    folder = copy / "bench"
    folder.mkdir()
    before = max((ROOT / "tests/logbook/versions").glob("*.sql"))
    book = sqlite3.connect(folder / "logbook.sqlite")
    book.executescript(before.read_text(encoding="utf-8"))
    _came_in_a_bundle(book)
    book.close()
    found = json.loads(runs(copy, "tests.guards.added_field", FIELD, LABEL, str(folder)))
    assert isinstance(found, dict)
    return found


def _came_in_a_bundle(book: sqlite3.Connection) -> None:
    """A newer program's bundle brought the field before this logbook had a column for it."""
    with book:
        book.execute(
            "UPDATE revision SET record = json_set(record, '$.lamp_height_um', 250000),"
            " checksum = NULL"
            " WHERE revision_id = (SELECT min(revision_id) FROM attempt)"
        )


def test_the_command_writes_one_line(migration: str) -> None:
    """A comment, and the column that the type asks for; once is enough."""
    lines = [line for line in migration.splitlines() if not line.startswith("--")]
    assert lines == ["ALTER TABLE attempt ADD COLUMN lamp_height_um INTEGER;"]


def test_the_command_is_done_once(copy: Path, migration: str) -> None:
    """Nothing is missing any more, and the frozen logbook of the new schema is there."""
    assert "nothing was written" in runs(copy, "tests.logbook.new_migration")
    frozen = sorted((copy / "tests/logbook/versions").glob("*.sql"))
    assert len(frozen) == len(list((ROOT / "tests/logbook/versions").glob("*.sql"))) + 1
    assert migration.split()[-2] in frozen[-1].read_text(encoding="utf-8")


def test_an_older_logbook_gains_the_column(seen: dict[str, Any]) -> None:
    """Nothing is lost, rows are what their revisions make them, and what came early is found."""
    assert seen["before"] == 3
    assert [text.endswith(": whole.\n") for text in seen["checked"]] == [True, True]
    assert 250.0 in seen["logged"]


def test_the_attempt_screen_asks_it(seen: dict[str, Any]) -> None:
    """In the set-up, under its label, and the answer goes into the row that is saved."""
    line, saved = seen["asked"]
    assert LABEL in line
    assert saved == "300"


def test_record_takes_it_within_its_limits(seen: dict[str, Any]) -> None:
    """A number out of the row's limits is refused with them."""
    assert "expected 20 to 900 mm" in seen["outside"]


def test_the_log_shows_it(seen: dict[str, Any]) -> None:
    """One attempt by its group and name, all of them in JSON; a correction stands."""
    assert seen["shown"][0].split() == ["tools", FIELD, "150"]
    assert seen["logged"] == [250.0, None, None, 150.0]


def test_a_csv_file_keeps_it(seen: dict[str, Any]) -> None:
    """Written, read into another logbook and written again it is the same."""
    assert seen["kept"]
    assert seen["column"].count("300") == 30


def test_findings_judge_it(seen: dict[str, Any]) -> None:
    """Loose stones went with a low lamp; the label and the unit of the row say it."""
    (found,) = (f for f in seen["findings"] if f["defect"] in {"loose", "any"})
    assert (found["family"], found["direction"]) == (LABEL, "lower")
    assert f"{LABEL} below" in found["sentence"]
