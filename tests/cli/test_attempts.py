"""Attempts in by options, by file and by stdin, and out again."""

import json
from pathlib import Path

import pytest
from tests.builders import an_attempt
from tests.cli.shell import ADA, Shell, with_ada

from platebook.practice.reading.attempt_rows import json_row

IDS = ("attempt_id", "setter_id")
GOOD = {"began": "2026-02-03T18:30:00+00:00", "stone_diameter_mm": 2.0, "result": "good"}
WRONG = {"began": "2026-02-03T18:40:00+00:00", "stone_diameter_mm": "forty", "result": "good"}


def _without_ids(rows: list[dict[str, object]]) -> list[dict[str, object]]:
    return [{k: v for k, v in row.items() if k not in IDS} for row in rows]


def test_options_become_the_fields_they_stand_for(ada: Shell) -> None:
    """Each short option lands in its field, `--set` reaches any other."""
    ada.runs(
        *("record", "--when", "2026-02-03 18:30", "--diameter", "5/64in", "--depth", "1,2 mm"),
        *("--metal", "Cu", "--sheet", "20ga", "--pilot", "#71", "--opening", "1.8"),
        *("--bur", "1.9", "--fit", "3", "--trial-height", "flush", "--ledge", "even"),
        *("--result", "loose;marred metal", "--severity", "2;1", "--clock", "3"),
        *("--note", "wax ran", "--set", "lubricant=wax"),
    )
    row = ada.attempts()[0]
    # 5/64 in and gauge 20 from the inch (25.4 mm exactly) and Brown & Sharpe's 0.0320 in;
    # number drill 71 is 0.0260 in (ASME B94.11M).
    assert {key: row[key] for key in ("stone_diameter_mm", "sheet_mm", "pilot_mm")} == {
        "stone_diameter_mm": 1.984,
        "sheet_mm": 0.812,
        "pilot_mm": 0.66,
    }
    assert (row["stone_depth_mm"], row["metal"], row["opening_bur_mm"]) == (1.2, "copper", 1.8)
    assert (row["seat_bur_mm"], row["fit"]) == (1.9, "enters tilted and snaps")
    assert (row["trial_height"], row["ledge"]) == ("flush", "even")
    assert (row["result"], row["severity"], row["clock"]) == ("loose;marred", "2;1", 3)
    assert (row["note"], row["setter"]) == ("wax ran", ADA)


def test_the_id_goes_to_stdout_and_names_the_attempt(ada: Shell) -> None:
    """What `record` prints is what `show` takes."""
    done = ada.runs("record", "--result", "good", "--as-typed")
    assert done.stderr == ""
    assert ada.answers("show", done.stdout.strip())["attempt"]["result"] == "good"


def test_the_first_record_of_the_readme_counts_at_a_grade(ada: Shell) -> None:
    """Metal and sheet come from the course, the next one's from the last; both are said."""
    words = ("record", "--diameter", "2.0", "--bur", "1.9", "--fit", "3", "--result", "good")
    first, second = ada.runs(*words).stderr, ada.runs("record", "--result", "good").stderr
    assert first.splitlines() == [
        "as the course has it: metal copper, sheet 0.812 mm.",
        "It counts at 2.0 mm in copper (copper-2.0).",
    ]
    assert second.splitlines() == [
        "as your last: stone 2 mm, metal copper, grade copper-2.0, sheet 0.812 mm.",
        "It counts at 2.0 mm in copper (copper-2.0).",
    ]
    rows = ada.attempts()
    assert [r["proposed"].split(";")[0] for r in rows] == ["metal", "stone_diameter_mm"]
    two = next(g for g in ada.answers("progress")["grades"] if g["grade"] == "copper-2.0")
    assert two["attempts"] == 2


def test_a_stone_of_another_grade_goes_there_unless_it_is_kept(ada: Shell) -> None:
    """A notice says so, and one says of a fit that no such seat can have."""
    words = ("record", "--grade", "copper-2.0", "--diameter", "1.48", "--bur", "1.9", "--fit", "3")
    moved = ada.runs(*words, "--result", "good").stderr
    assert "that is 1.5 mm in copper, and it is logged there (copper-1.5)" in moved
    assert "a seat at least 1.80 mm wide" in moved
    ada.runs(*words, "--result", "good", "--as-typed")
    assert [r["grade"] for r in ada.attempts()] == ["copper-1.5", "copper-2.0"]
    assert [r["metal"] for r in ada.attempts()] == ["copper", None]


@pytest.mark.parametrize("form", ["one", "list", "log"])
def test_a_file_holds_one_object_a_list_or_a_log(ada: Shell, form: str) -> None:
    """What a person writes by hand and what `log --json` prints are both read."""
    text = json.dumps({"one": GOOD, "list": [GOOD], "log": {"attempts": [GOOD]}}[form])
    file = ada.folder / "tonight.json"
    file.write_text(text, encoding="utf-8-sig")
    ids = ada.answers("record", "--from", str(file))["ids"]
    assert [row["attempt_id"] for row in ada.attempts()] == ids
    assert len(ada.answers("record", "--from", "-", stdin=text)["ids"]) == 1


def test_stdin_is_utf8_with_or_without_its_mark(ada: Shell) -> None:
    """The same bytes mean the same on stdin as in a file."""
    row = json.dumps({**GOOD, "note": "Öse zu groß"}, ensure_ascii=False)
    for data in (row.encode(), b"\xef\xbb\xbf" + row.encode()):
        ada.runs("record", "--from", "-", stdin=data)
    assert [r["note"] for r in ada.attempts()] == ["Öse zu groß"] * 2


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"{",
        b"7",
        b'["good"]',
        b'{"attempts": 3}',
        b'{"note": "\xe9"}',
        b'{"result": {"good": 1}}',
        b'{"minutes": NaN, "result": "good"}',
        b"[" * 100_000,
    ],
    ids=["empty", "cut off", "number", "words", "no list", "latin-1", "nested", "NaN", "deep"],
)
def test_what_is_no_list_of_attempts_is_refused_in_words(ada: Shell, data: bytes) -> None:
    """Nothing is stored, and the fault is told."""
    done = ada.runs("record", "--from", "-", stdin=data, code=1)
    assert (done.stdout, bool(done.stderr)) == ("", True)
    assert ada.attempts() == []


def test_one_problem_among_many_stores_none(ada: Shell) -> None:
    """All or nothing: the good rows beside the faulty ones do not land either."""
    rows = json.dumps([GOOD, WRONG, GOOD, {**WRONG, "fit": "3"}])
    done = ada.runs("record", "--from", "-", stdin=rows, code=1)
    told = [line for line in done.stderr.splitlines() if line.startswith("row ")]
    assert [line.partition(":")[0] for line in told] == [
        "row 2, stone_diameter_mm",
        "row 4, stone_diameter_mm",
    ]
    assert ada.attempts() == []


def test_many_are_one_change(ada: Shell) -> None:
    """One undo takes the whole evening back, one redo puts it back."""
    ada.runs("record", "--from", "-", stdin=json.dumps([GOOD] * 3))
    ada.runs("undo")
    assert ada.attempts() == []
    ada.runs("redo")
    assert len(ada.attempts()) == 3


def test_a_list_of_none_says_so(ada: Shell) -> None:
    """An empty list is no fault, and no blank line on stdout."""
    done = ada.runs("record", "--from", "-", stdin="[]")
    assert (done.stdout, "No attempts" in done.stderr) == ("", True)


def test_an_attempt_that_is_there_is_not_added_twice(ada: Shell) -> None:
    """Recording a logbook's own log again is refused by id."""
    ada.runs("record", "--result", "good")
    again = ada.runs("log", "--json").stdout
    done = ada.runs("record", "--from", "-", stdin=again, code=1)
    assert "attempt_id" in done.stderr
    assert len(ada.attempts()) == 1


def test_a_log_recorded_in_another_logbook_is_the_same_log(season: Shell, tmp_path: Path) -> None:
    """Every field of 64 attempts and their ids survive the way out and in."""
    other = Shell(tmp_path)
    other.runs("record", "--from", "-", stdin=season.runs("log", "--all", "--json").stdout)
    assert other.attempts() == season.attempts()


def test_without_ids_the_fields_are_the_same(tmp_path: Path) -> None:
    """A row of the record, written by hand into a file, reads back as it was."""
    ada = with_ada(tmp_path)
    attempt = an_attempt(setter=ADA, note="first of the plate", severity=(1,), result=("high",))
    ada.runs("record", "--from", "-", stdin=json.dumps(json_row(attempt)))
    expected = {**json_row(attempt), "course": "small-to-large", "course_version": 3}
    got = _without_ids(ada.attempts())[0]
    assert {k: v for k, v in expected.items() if k not in {*IDS, "grade"}} == {
        k: v for k, v in got.items() if k != "grade"
    }


def test_a_dry_run_leaves_no_logbook_where_there_was_none(shell: Shell) -> None:
    """Sound or not, a record or a table: nothing is stored and no file is made."""
    (shell.folder / "one.csv").write_text("setter,result\nAda Quill,good\n", encoding="utf-8")
    before = sorted(shell.folder.iterdir())
    row = '{"setter": "Ada Quill", "result": "good"}'
    assert shell.answers("record", "--from", "-", "--dry-run", stdin=row) == {
        "schema": 1,
        "ids": [],
        "stored": False,
        "proposed": [],
        "counted": [
            {
                "what": "findings",
                "grade": None,
                "part": None,
                "attempts": 1,
                "sentence": "It counts for findings alone: "
                "without stone and metal no grade is known.",
            }
        ],
    }
    shell.runs("record", "--set", "setter=Ada Quill", "--diameter", "two", "--dry-run", code=1)
    shell.runs("import", "one.csv", "--dry-run")
    assert sorted(shell.folder.iterdir()) == before


def test_a_dry_run_beside_a_logbook_stores_nothing(ada: Shell) -> None:
    """It says the same notices as storing would."""
    words = ("record", "--result", "good", "--set", "seat_measured_with=boar gauge")
    tried = ada.runs(*words, "--dry-run").stderr
    assert tried.endswith("Read without a problem; nothing stored (dry run).\n")
    assert ada.attempts() == []
    assert ada.runs(*words).stderr.splitlines()[0] == tried.splitlines()[0]
