"""Spreadsheets in and out by command."""

import csv
from pathlib import Path

import pytest
from tests.cli.shell import ADA, Shell

OWN_WORDS = "When;Ø stone;Bur I used;How it went\n3/2/2026 18:30;2,0;1,9;good\n"
MAPS = (
    *("--map", "When=began", "--map", "Ø stone=stone_diameter_mm"),
    *("--map", "Bur I used=seat_bur_mm", "--map", "How it went=result"),
)


def _file(shell: Shell, text: str) -> Path:
    file = shell.folder / "notebook.csv"
    file.write_text(text, encoding="utf-8")
    return file


@pytest.mark.parametrize(("dates", "began"), [("dmy", "2026-02-03"), ("mdy", "2026-03-02")])
def test_headings_and_dates_of_their_own(ada: Shell, dates: str, began: str) -> None:
    """`--map` says what a heading means, `--dates` how 3/2/2026 is meant, `--zone` where."""
    file = _file(ada, OWN_WORDS)
    done = ada.runs("import", str(file), *MAPS, "--dates", dates, "--zone", "Europe/Lisbon")
    row = ada.attempts()[0]
    assert (row["began"], row["setter"]) == (f"{began}T18:30:00+00:00", ADA)
    assert (row["stone_diameter_mm"], row["seat_bur_mm"], row["result"]) == (2.0, 1.9, "good")
    assert done.stdout == "1 attempt stored.\n"


def test_an_ambiguous_date_is_a_problem_that_names_the_option(ada: Shell) -> None:
    """Nothing is guessed, nothing is stored."""
    done = ada.runs("import", str(_file(ada, OWN_WORDS)), *MAPS, code=1)
    assert ("--dates" in done.stderr, ada.attempts()) == (True, [])


def test_a_dry_run_checks_everything_and_stores_nothing(ada: Shell) -> None:
    """The same words as an import, and the logbook byte for byte as it was."""
    before = ada.logbook.read_bytes()
    words = ("import", str(_file(ada, OWN_WORDS)), *MAPS, "--dates", "dmy", "--dry-run")
    said = ada.runs(*words).stdout
    assert (said.startswith("As they will stand in the log:"), "1 attempt " in said) == (True, True)
    told = ada.answers(*words)
    assert (told["attempts"], told["stored"]) == (1, False)
    assert ada.logbook.read_bytes() == before


def test_all_problems_are_told_and_none_of_the_rows_lands(ada: Shell) -> None:
    """Each problem has its row, line and heading, as text and as JSON."""
    text = "Sheet mm,Result\n20 ga,good\n200 ga,good\n0.8,good;loose\n"
    file = _file(ada, text)
    done = ada.runs("import", str(file), code=1)
    assert [
        line.partition(":")[0] for line in done.stderr.splitlines() if line.startswith("row ")
    ] == ["row 2 (line 3), Sheet mm", "row 3 (line 4), Result"]
    printed = ada.runs("import", str(file), "--json", code=1).stdout
    assert ('"row": 3' in printed, '"stored": false' in printed) == (True, True)
    assert ada.attempts() == []


def test_a_zone_or_a_map_that_does_not_exist_is_refused(ada: Shell) -> None:
    """A mistyped option does not import at a wrong hour or without a column."""
    file = str(_file(ada, OWN_WORDS))
    ada.runs("import", file, *MAPS, "--dates", "dmy", "--zone", "Europe/Lisboa", code=1)
    ada.runs("import", file, "--map", "How it went=outcome", code=1)
    assert ada.attempts() == []


def test_a_sheet_is_not_chosen_of_a_table_that_has_none(ada: Shell) -> None:
    """`--sheet` of a CSV file is told, not left out in silence."""
    done = ada.runs("import", str(_file(ada, OWN_WORDS)), "--sheet", "2024", code=2)
    assert "--sheet chooses a sheet of an XLSX file; notebook.csv is one table." in done.stderr


def test_an_export_imported_elsewhere_is_the_same_log(season: Shell, tmp_path: Path) -> None:
    """64 attempts by CSV into another logbook keep every field and id."""
    file = tmp_path / "ada.csv"
    assert season.answers("export", str(file))["attempts"] == 64
    other = Shell(tmp_path)
    other.runs("import", str(file))
    assert other.attempts() == season.attempts()


def test_an_export_can_hold_everyone(ada: Shell) -> None:
    """`--everyone` writes the others' attempts too; without it they stay at home."""
    ada.runs("record", "--result", "good")
    ada.runs("record", "--result", "loose", "--set", "setter=Bram Osk")
    for words, names in (((), {ADA}), (("--everyone",), {ADA, "Bram Osk"})):
        file = ada.folder / f"out{len(words)}.csv"
        ada.runs("export", str(file), *words)
        with file.open(encoding="utf-8-sig", newline="") as opened:
            assert {row["setter"] for row in csv.DictReader(opened)} == names


def test_an_unknown_field_is_not_just_left_out(ada: Shell) -> None:
    """`record --set` names the nearest field, and stores nothing."""
    done = ada.runs("record", "--result", "good", "--set", "sheetmm=0.8", code=1)
    assert (
        "sheetmm: read '0.8', expected a field of the record; the nearest is sheet_mm"
        in done.stderr
    )
    assert ada.attempts() == []


def test_an_empty_log_says_why(ada: Shell) -> None:
    """No such words, nobody's attempts yet, or no logbook where one was named."""
    ada.runs("record", "--result", "good")
    assert "has all of these words: zzz" in ada.runs("log", "--words", "zzz").stderr
    named = ada.folder / "logbok.sqlite"
    told = ada.runs("log", "--logbook", str(named)).stderr
    assert (f"There is no logbook at {named} yet" in told, named.exists()) == (True, False)


def test_a_second_import_says_what_is_known(ada: Shell) -> None:
    """Nothing doubles, and it does not claim to have stored anything."""
    file = str(
        _file(ada, "began,plate,position,result\n2026-02-03,P1,1,good\n2026-02-03,P1,2,loose\n")
    )
    assert ada.runs("import", file).stdout == "2 attempts stored.\n"
    assert ada.runs("import", file).stdout == "2 attempts read: 2 known.\n"
    assert len(ada.attempts()) == 2


def test_answers_in_a_file_repeat_an_import(ada: Shell) -> None:
    """Headings, values and what is left out."""
    file = str(_file(ada, "Tag,Ausgang,Blurb\n3.2.26,klappert,red\n"))
    answers = ada.folder / "answers.toml"
    columns = '[columns]\n"Ausgang" = "result"\n"Blurb" = "own"\n'
    answers.write_text(columns + '[values."Ausgang"]\n"klappert" = "loose"\n')
    ada.runs("import", file, "--answers", str(answers))
    (row,) = ada.attempts()
    assert (row["result"], row["blurb"]) == ("loose", "red")
    ada.runs("import", file, "--answers", "nowhere.toml", code=1)
