"""Three students and an instructor, each with a home and a logbook of their own, one folder."""

import contextlib
import json
import os
import subprocess
import sys
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from platebook.cli.main import main
from platebook.logbook import open_logbook, setter_records
from platebook.logbook.attempts.attempt_queries import select_attempts
from platebook.logbook.records import add_inspections
from platebook.practice.records import Inspection

pytestmark = [pytest.mark.slow]

NAMES = ("Ada Quill", "Bram Osk", "Cleo Finch")
TUTOR = "Tutor Vale"


@dataclass(frozen=True)
class Machine:
    """One person's machine: a folder with a logbook, and `platebook` to be typed there."""

    home: Path
    shared: Path

    @property
    def logbook(self) -> Path:
        """The logbook on it."""
        return self.home / "logbook.sqlite"

    def runs(self, *words: str) -> str:
        """What a command prints."""
        with contextlib.chdir(self.home):
            done = CliRunner().invoke(main, words, env=self._named, catch_exceptions=False)
        assert done.exit_code == 0, done.stderr
        return done.stdout

    def runs_alone(self, *words: str) -> None:
        """A command in a process of its own, which only knows what lies on the disk."""
        program = [sys.executable, "-m", "platebook", *words]
        subprocess.run(program, env={**os.environ, **self._named}, cwd=self.home, check=True)

    @property
    def _named(self) -> dict[str, str]:
        return {"PLATEBOOK_LOGBOOK": str(self.logbook), "HOME": str(self.home)}

    def shares(self) -> dict[str, Any]:
        """Share with the folder that everybody can open."""
        shared = json.loads(self.runs("share", str(self.shared), "--json"))
        assert isinstance(shared, dict)
        return shared

    def attempts(self) -> list[dict[str, Any]]:
        """Every attempt on the machine, oldest first."""
        attempts = json.loads(self.runs("log", "--all", "--everyone", "--json"))["attempts"]
        assert isinstance(attempts, list)
        return attempts


def the_school(tmp_path: Path) -> tuple[list[Machine], Machine]:
    """Three students who have logged two settings each, and an instructor."""
    shared = tmp_path / "shared"
    shared.mkdir()
    machines = []
    for name in (*NAMES, TUTOR):
        home = tmp_path / name.partition(" ")[0].lower()
        home.mkdir()
        machines.append(Machine(home, shared))
    *students, tutor = machines
    for student, name in zip(students, NAMES, strict=True):
        student.runs("setter", "add", name, "--course", "small-to-large")
        for result in ("good", "loose"):
            student.runs("record", "--diameter", "2.0", "--bur", "1.9", "--result", result)
    return students, tutor


def inspected(machine: Machine) -> None:
    """The instructor looks at every attempt and finds a gap."""
    with open_logbook(machine.logbook) as book:
        looks = [
            Inspection(attempt_id=str(a.attempt_id), inspector=TUTOR, result=("gap",))
            for a in book.ask(select_attempts)
        ]
        stamp = book.stamp(TUTOR, datetime.now(UTC), "inspect", signed_by="")
        book.tell(add_inspections, looks, stamp)


def test_log_share_inspect_share_back_correct_share_again(tmp_path: Path) -> None:
    """In the end everyone sees the same of the same attempt, and nobody sees too much."""
    students, tutor = the_school(tmp_path)
    for student in students:
        student.shares()
    assert {each["name"] for each in tutor.shares()["waiting"]} == set(NAMES)
    tutor.runs("share", str(tutor.shared), "--all")
    assert {a["setter"] for a in tutor.attempts()} == set(NAMES)

    inspected(tutor)
    tutor.shares()
    for student, name in zip(students, NAMES, strict=True):
        received = student.shares()["received"]
        told = {r["kind"]: r["count"] for one in received for r in one["records"]}
        assert told == {"inspection": 2}
        with open_logbook(student.logbook) as book:
            assert [i.result for i in book.ask(setter_records.inspections)] == [("gap",), ("gap",)]
            assert {s.name for s in book.ask(setter_records.setters)} == {name}
        assert f"{TUTOR}: gap" in student.runs("show", student.attempts()[0]["attempt_id"])

    # One student corrects an attempt, the instructor another, and both correct a third at once.
    ada, bram, _ = students
    mine, other = (a["attempt_id"] for a in ada.attempts())
    both = bram.attempts()[0]["attempt_id"]
    ada.runs("amend", mine, "fit=2")
    tutor.runs("amend", other, "note=look at the girdle")
    bram.runs("amend", both, "note=mine")
    tutor.runs("amend", both, "note=yours")
    for machine in (*students, tutor, *students):
        shared = machine.shares()
        assert shared["unread"] == []
    # What the instructor changed is asked about where the students work.
    for student, name in ((ada, "Ada Quill"), (bram, "Bram Osk")):
        student.runs("key", "waiting", name, "--take")
        student.shares()
    clash = [{"kind": "attempt", "record_id": both}]
    assert [m.shares()["clashes"] for m in (ada, bram, tutor)] == [[], clash, clash]
    assert "two versions: " in bram.runs("log")
    assert "Two versions stand side by side" in tutor.runs("show", both)

    bram.runs("amend", both, "note=settled")
    for machine in (bram, tutor, *students):
        assert machine.shares()["clashes"] == []
    everywhere = {a["attempt_id"]: a for a in tutor.attempts()}
    assert len(everywhere) == 6
    for student, name in zip(students, NAMES, strict=True):
        own = {a["attempt_id"]: a for a in student.attempts()}
        assert own == {k: a for k, a in everywhere.items() if a["setter"] == name}
    assert everywhere[both]["note"] == "settled"
    assert everywhere[other]["note"] == "look at the girdle"
    assert everywhere[mine]["fit"] == "enters with a firm push"
    for machine in (*students, tutor):
        machine.runs_alone("check")


def test_an_anonymous_study_of_the_class(tmp_path: Path) -> None:
    """Each leaves a file without names, and whoever studies them has all attempts and no name."""
    students, study = the_school(tmp_path)
    for student in students:
        student.runs("share", str(student.shared), "--anonymous")
        student.runs("share", str(student.shared), "--anonymous")
    study.shares()
    assert len(study.attempts()) == 6
    assert not {a["setter"] for a in study.attempts()} & set(NAMES)
    assert len(list(study.shared.iterdir())) == 4
    assert study.shares()["notices"] == []
    assert [s["revisions"] for s in study.shares()["received"]] == [0, 0, 0]
