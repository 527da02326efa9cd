"""The class workbook, read back: every cell is what the other commands say."""

import shutil
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from tests.cli.shell import ADA, Shell, with_ada

from platebook.reports.text.figures import GRADES

COURSE_FILE = Path(__file__).parents[3] / "curricula" / "small-to-large.toml"
DEMO = ("--logbook", "class/invented-class.sqlite")
PEOPLE = ("Kofi Asante-Lund", "Rashid Benkara")
SIXTEEN_DIGITS = 1e-15
"""What a cell keeps of a number."""
SIGNS = {"good": "+", "failed": "x"}

Rows = list[dict[str, Any]]


def sheets_of(file: Path) -> dict[str, Rows]:
    """The rows of every sheet, by heading; the first line has to be the headings."""
    sheets: dict[str, Rows] = {}
    for sheet in load_workbook(file):
        names, *rows = sheet.iter_rows(values_only=True)
        assert sheet.freeze_panes == "A2"
        sheets[sheet.title] = [dict(zip(map(str, names), row, strict=True)) for row in rows]
    return sheets


def day_of(value: object) -> str:
    """A date cell as JSON has a day."""
    assert isinstance(value, datetime)
    return value.date().isoformat()


@pytest.fixture(scope="module")
def demo(
    kept_class: Path, tmp_path_factory: pytest.TempPathFactory
) -> tuple[Shell, dict[str, Rows]]:
    """The invented class and its workbook."""
    shell = Shell(tmp_path_factory.mktemp("demo"))
    shutil.copytree(kept_class, shell.folder / "class")
    shell.runs("class", "export", "class.xlsx", "--worn-at", "14", *DEMO)
    return shell, sheets_of(shell.folder / "class.xlsx")


Demo = tuple[Shell, dict[str, Rows]]


def the_row_of(rows: Rows, name: str) -> dict[str, Any]:
    """The only row of this student."""
    (row,) = [row for row in rows if row["name"] == name]
    return row


def test_the_sheets_are_there_in_their_order(demo: Demo) -> None:
    """Students first."""
    assert list(demo[1]) == ["Students", "Looks", "Attempts", "To order", "Worn burs"]


@pytest.mark.parametrize("name", PEOPLE)
def test_a_student_stands_as_in_class_progress(demo: Demo, name: str) -> None:
    """Grade, state, points to go, share with its band, the last eight, looks of the eye."""
    shell, sheets = demo
    row = the_row_of(sheets["Students"], name)
    (line,) = [s for s in shell.answers("class", "progress", *DEMO)["setters"] if s["name"] == name]
    clock = f" at {line['clock']} o'clock" if line["clock"] is not None else ""
    expected = {
        "name": line["name"],
        "grade": line["grade"],
        "state": GRADES[line["state"]].words,
        "good ones to go": line["good_to_go"],
        "share good": line["lately"],
        "share good from": line["lately_low"],
        "share good to": line["lately_high"],
        "mostly": f"{line['defect']}{clock}",
        "attempts": line["attempts"],
        "attempts a week": line["practice"]["a_week"],
        "eye": line["eye"],
        "setter_id": line["setter_id"],
        "waits for a sign-off": line["sign_off_title"] or None,
    }
    assert {key: row[key] for key in expected} == pytest.approx(expected, rel=SIXTEEN_DIGITS)
    assert "".join(SIGNS[word] for word in row["last eight"].split(", ")) == line["signs"]
    kept = shell.answers("class", "register", *DEMO)["setters"]
    (came,) = [(p["came"], p["of"]) for p in kept if p["setter_id"] == line["setter_id"]]
    assert (row["evenings came"], row["of evenings"]) == came
    assert 0 < came[0] <= came[1]


@pytest.mark.parametrize("name", PEOPLE)
def test_a_student_has_passed_what_their_progress_says(demo: Demo, name: str) -> None:
    """Each passed grade with the day of the attempt that passed it, and what comes next."""
    shell, sheets = demo
    row = the_row_of(sheets["Students"], name)
    grades = shell.answers("progress", "--setter", name, *DEMO)["grades"]
    log = shell.answers("log", "--all", "--setter", name, *DEMO)["attempts"]
    began = {a["attempt_id"]: a["began"][:10] for a in log}
    passed = {
        g["title"]: [began[s["attempt_id"]] for s in g["path"] if s["event"] == "passed"][-1]
        for g in grades
        if g["state"] == "passed"
    }
    assert passed
    assert row["passed on"] == "; ".join(f"{title}: {day}" for title, day in passed.items())
    assert row["grades passed"] == len(passed)
    assert day_of(row["last passed"]) == max(passed.values())
    assert day_of(row["last practised"]) == max(began.values())
    assert row["days practised"] == len(set(began.values()))
    advice = shell.answers("next", "--setter", name, *DEMO)
    assert row["next"] == f"{advice['title']}, {advice['grade_title']}"


@pytest.mark.parametrize("name", PEOPLE)
def test_looks_stand_beside_the_students_own_result(demo: Demo, name: str) -> None:
    """As `show` tells each of them; the agreement is that of `class findings`."""
    shell, sheets = demo
    row = the_row_of(sheets["Students"], name)
    looks = [look for look in sheets["Looks"] if look["whose"] == name]
    assert row["looks"] == len(looks) > 0
    eyes = shell.answers("class", "findings", *DEMO)["eyes"]
    (eye,) = [eye for eye in eyes if eye["setter"] == name]
    assert row["drawn and looked at"] == eye["looks"]
    agreed = [row[key] for key in ("same verdict", "same verdict from", "same verdict to")]
    told = [eye["verdict"][key] for key in ("same", "low", "high")]
    assert agreed == pytest.approx(told, rel=SIXTEEN_DIGITS)
    look = looks[-1]
    shown = shell.answers("show", look["attempt_id"], *DEMO)
    attempt, (seen,) = shown["attempt"], shown["inspections"]
    assert (look["plate"], look["position"]) == (attempt["plate"], attempt["position"])
    assert look["own result"] == attempt["result"]
    assert (look["who"], look["look"]) == (seen["inspector"], ";".join(seen["result"]))
    assert (look["comment"] or "") == seen["comment"]


def test_attempts_are_those_of_the_export(demo: Demo) -> None:
    """Cell by cell, and the sheet is read back as attempts that are all known."""
    shell, sheets = demo
    shell.runs("export", "all.xlsx", "--everyone", *DEMO)
    assert sheets["Attempts"] == sheets_of(shell.folder / "all.xlsx")["attempts"]
    again = shell.answers("import", "class.xlsx", "--sheet", "Attempts", "--dry-run", *DEMO)
    assert (again["attempts"], again["known"]) == (len(sheets["Attempts"]),) * 2


def test_stones_to_order_add_up_to_what_the_class_used_and_needs(demo: Demo) -> None:
    """Used in all is `class progress`'s count; what is next is each student's `next`."""
    shell, sheets = demo
    stones = {r["what"]: r for r in sheets["To order"] if r["kind"] == "stone"}
    used = shell.answers("class", "progress", *DEMO)["practice"]["stones"]
    assert {what: row["used in all"] for what, row in stones.items()} == {
        stone["what"]: stone["count"] for stone in used
    }
    everyone = [row["name"] for row in sheets["Students"]]
    advised = [shell.answers("next", "--setter", name, *DEMO) for name in everyone]
    assert {a["part"] for a in advised} == {None, "depth"}, "each has a stone in it"
    wanted = sum(a["repeat"] for a in advised)
    places = [row for row in sheets["To order"] if row["kind"] == "sheet"]
    key = "for the next exercises"
    assert sum(row[key] for row in stones.values()) == wanted
    assert sum(row[key] for row in places) == wanted
    assert sum(row["students"] for row in places) == len(everyone)


@pytest.mark.parametrize("name", PEOPLE)
def test_burs_have_cut_what_the_drawer_says(demo: Demo, name: str) -> None:
    """Most first; from the limit said they are marked."""
    shell, sheets = demo
    tools = shell.answers("drawer", "list", "--setter", name, *DEMO)["tools"]
    burs = {t["name"]: t["seats_cut"] for t in tools if t["kind"] == "bur" and t["seats_cut"]}
    mine = [row for row in sheets["Worn burs"] if row["student"] == name]
    assert {row["bur"]: row["seats cut"] for row in mine} == burs
    assert {row["bur"]: row["14 seats or more"] for row in mine} == {
        bur: seats >= 14 for bur, seats in burs.items()
    }
    everyones = [row["seats cut"] for row in sheets["Worn burs"]]
    assert everyones == sorted(everyones, reverse=True)


def test_a_signed_grade_names_its_signer_and_the_day_it_was_signed(tmp_path: Path) -> None:
    """Points alone pass nothing where the course asks for a sign-off."""
    shell = with_ada(tmp_path)
    text = COURSE_FILE.read_text(encoding="utf-8")
    text = text.replace('id = "small-to-large"', 'id = "signed"', 1)
    (tmp_path / "own.toml").write_text(f"sign_off = true\n{text}", encoding="utf-8")
    shell.runs("course", "use", "own.toml")
    for _ in range(11):
        shell.runs("record", "--grade", "copper-1.5", "--result", "good")
    shell.runs("class", "export", "before.xlsx")
    (before,) = sheets_of(tmp_path / "before.xlsx")["Students"]
    assert (before["grades passed"], before["signed by"]) == (0, None)
    assert before["waits for a sign-off"] == "1.5 mm in copper"
    signed = shell.answers("class", "sign-off", ADA, "copper-1.5", "--by", "Marta Corvo")
    day = date.fromisoformat(signed["sign_off"]["signed"][:10])
    shell.runs("class", "export", "after.xlsx")
    (after,) = sheets_of(tmp_path / "after.xlsx")["Students"]
    assert after["signed by"] == "1.5 mm in copper: Marta Corvo"
    assert after["passed on"] == f"1.5 mm in copper: {day}"


def test_one_class_is_written_without_the_others(tmp_path: Path) -> None:
    """With its name beside each student, also of one who has logged nothing."""
    shell = with_ada(tmp_path)
    shell.runs("class", "new", "Thursday", "Bram Osk", "--new", "Bram Osk")
    shell.runs("record", "--result", "good")
    shell.runs("class", "export", "thursday.xlsx", "--group", "thursday")
    sheets = sheets_of(tmp_path / "thursday.xlsx")
    (row,) = sheets["Students"]
    assert (row["class"], row["name"], row["attempts"]) == ("Thursday", "Bram Osk", 0)
    assert (sheets["Attempts"], sheets["Looks"], sheets["Worn burs"]) == ([], [], [])


def test_what_cannot_be_written_is_refused_and_leaves_no_file(tmp_path: Path) -> None:
    """Another kind of file, one that is there, a class nobody knows, nobody at all, no seats."""
    shell = Shell(tmp_path)
    assert "nobody is in it yet" in shell.runs("class", "export", "a.xlsx", code=1).stderr
    with_ada(tmp_path)
    assert "expected *.xlsx" in shell.runs("class", "export", "a.csv", code=1).stderr
    unknown = shell.runs("class", "export", "a.xlsx", "--group", "Friday", code=1)
    assert "read 'Friday'" in unknown.stderr
    none = shell.runs("class", "export", "a.xlsx", "--worn-at", "0", code=1)
    assert "expected 1 seat or more" in none.stderr
    assert list(tmp_path.glob("*.xlsx")) == []
    (tmp_path / "a.xlsx").write_text("kept", encoding="utf-8")
    assert "is there already" in shell.runs("class", "export", "a.xlsx", code=1).stderr
    assert (tmp_path / "a.xlsx").read_text(encoding="utf-8") == "kept"
