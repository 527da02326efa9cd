"""Four sheets as people keep them: in with a few answers, and again with none."""

import csv
import io
from dataclasses import dataclass
from pathlib import Path

import pytest
from openpyxl import load_workbook
from tests.services.bench import ada_at
from tests.simulated import kept_sheets

from platebook.cli.terminal.asking import Terminal, ask_all
from platebook.practice.results import failed
from platebook.services.attempts.log import attempts_of
from platebook.services.attempts.recording import amend, hide, undo
from platebook.services.attempts.spreadsheets import import_file, taken_in
from platebook.services.courses.followed import own_fields
from platebook.services.session import Session, opened
from platebook.services.sheets.looking import SheetLook, look_at

SAID = {
    "encoding": "1",
    "blanks": "1",
    "unreadable": "1",
    "'Silber'": "sterling silver",
    "'argent'": "sterling silver",
    "'plata'": "sterling silver",
    "'klappert'": "2",
    "'baila'": "loose",
    "pas d'aplomb": "tilted",
    "'meh'": "good",
    "'How it came out'": "",
    "'Musik'": "1",
    "'Humor'": "1",
    "'Satisfaction'": "own",
}
"""What the invented setters answer, by a word of the question; a number chooses from the list."""


@dataclass(frozen=True)
class Kept:
    """One of the sheets: its file, how many attempts it holds, how many answers it takes."""

    file: Path
    attempts: int
    answers: int
    own: str = ""


SHEETS = (
    Kept(kept_sheets.GERMAN, 240, 3, "musik"),
    Kept(kept_sheets.FRENCH, 3000, 4, "satisfaction"),
    Kept(kept_sheets.ENGLISH, 420, 2),
    Kept(kept_sheets.SPANISH, 310, 5, "humor"),
)


def asked(session: Session, file: Path) -> tuple[SheetLook, list[str]]:
    """The sheet with every question answered, and the questions."""
    shown: list[str] = []
    questions: list[str] = []

    def ask(_: str) -> str:
        question = next(line for line in reversed(shown) if line.startswith("("))
        questions.append(question)
        about = {"no UTF-8": "encoding", "is empty in": "blanks", "cannot be read": "unreadable"}
        words = [kind for sign, kind in about.items() if sign in question]
        return next(said for word, said in SAID.items() if word in question or word in words)

    with opened(session) as book:
        look = ask_all(look_at(session, book, file), Terminal(ask, shown.append))
        done = taken_in(session, book, look)
    assert done.stored, [str(problem) for problem in done.problems]
    return look, questions


@pytest.mark.parametrize("kept", SHEETS, ids=lambda kept: kept.file.stem)
def test_a_sheet_comes_in_with_a_few_answers(kept: Kept, tmp_path: Path) -> None:
    """No edit of the file, at most ten answers, every row judged and placed in time."""
    session = ada_at(tmp_path)
    _, questions = asked(session, kept.file)
    assert len(questions) == kept.answers
    found = attempts_of(session)
    assert len(found) == kept.attempts
    assert all(a.began and a.result and a.metal and a.stone_diameter_mm for a in found)
    assert {a.metal for a in found} == {"copper", "brass", "sterling silver"}
    assert all(0.5 < (a.seat_bur_mm or 0) < 3 for a in found)
    if kept.own:
        assert all(kept.own in dict(a.extra) for a in found)


@pytest.mark.parametrize("kept", SHEETS[:1] + SHEETS[2:], ids=lambda kept: kept.file.stem)
def test_the_planted_habit_is_in_the_log(kept: Kept, tmp_path: Path) -> None:
    """Loose goes with a bur nearly as wide as the stone, whatever language said so."""
    session = ada_at(tmp_path)
    asked(session, kept.file)
    shares = []
    for near in (True, False):
        side = [
            "loose" in (a.result or ())
            for a in attempts_of(session)
            if (round(a.stone_diameter_mm or 0, 1) - (a.seat_bur_mm or 0) < 0.03) == near
        ]
        shares.append(sum(side) / len(side))
    assert shares[0] > 3 * shares[1]
    assert any(failed(a) is False and a.result != ("good",) for a in attempts_of(session))


@pytest.mark.parametrize("kept", SHEETS, ids=lambda kept: kept.file.stem)
def test_a_second_time_nothing_is_asked_and_nothing_doubles(kept: Kept, tmp_path: Path) -> None:
    """The answers are remembered by the headings, the rows by what stands in them."""
    session = ada_at(tmp_path)
    asked(session, kept.file)
    before = attempts_of(session)
    again = import_file(session, kept.file)
    assert (again.questions, again.summary) == ((), f"{kept.attempts} known")
    assert attempts_of(session) == before


def _grown(folder: Path, *, change: bool = False) -> Path:
    """The German book with two evenings more, and one verdict of the first evening changed."""
    text = kept_sheets.german().decode("utf-8-sig")
    rows = list(csv.reader(io.StringIO(text), delimiter=";"))
    table, tail = rows[:241], rows[241:]
    if change:
        table[1][13] = "schief"
    table += [["01.02.26", "19:00 Uhr", "P90", str(n), *table[5][4:]] for n in range(1, 13)]
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=";").writerows([*table, *tail])
    file = folder / "grown.csv"
    file.write_text(out.getvalue(), encoding="utf-8")
    return file


def test_a_sheet_grown_by_an_evening_adds_only_that(tmp_path: Path) -> None:
    """New rows come in, a changed one is corrected, and one undo takes both back."""
    session = ada_at(tmp_path)
    asked(session, kept_sheets.GERMAN)
    before = attempts_of(session)
    done = import_file(session, _grown(tmp_path, change=True))
    assert (done.questions, done.summary) == ((), "12 new, 1 corrected, 239 known")
    assert [c.after for c in done.rows.corrected[0].changes] == ["tilted"]
    undo(session)
    assert attempts_of(session) == before
    again = import_file(session, _grown(tmp_path, change=True), dry_run=True)
    assert again.summary == "12 new, 1 corrected, 239 known"


def test_what_was_amended_here_is_not_taken_back_by_the_sheet(tmp_path: Path) -> None:
    """The sheet never changed there, so the logbook's word stands; what was hidden stays so."""
    session = ada_at(tmp_path)
    asked(session, kept_sheets.GERMAN)
    first, second = (str(a.attempt_id) for a in attempts_of(session)[:2])
    amend(session, first, {"result": "gap", "severity": ""})
    hide(session, second)
    done = import_file(session, kept_sheets.GERMAN)
    assert done.summary == "239 known, 1 taken out before"
    assert [a.result for a in attempts_of(session) if a.attempt_id == first] == [("gap",)]


def test_an_import_taken_back_comes_in_again(tmp_path: Path) -> None:
    """What undo took out is new to the next import, and asked again: an answer may be wrong."""
    session = ada_at(tmp_path)
    _, first = asked(session, kept_sheets.GERMAN)
    undo(session)
    with opened(session) as book:
        assert own_fields(book, session.setter_id) == ()
    _, again = asked(session, kept_sheets.GERMAN)
    assert (again, len(attempts_of(session))) == (first, 240)


def test_without_a_terminal_the_questions_are_listed(tmp_path: Path) -> None:
    """Each once, with column, value, how often, first lines and the nearest answers."""
    done = import_file(ada_at(tmp_path), kept_sheets.GERMAN)
    assert not done.stored
    assert [(q.about, q.heading, q.value, q.count) for q in done.questions] == [
        ("column", "Musik", "", 240),
        ("value", "Metall", "Silber", 80),
        ("value", "Ergebnis", "klappert", 8),
    ]
    assert [o.answer for o in done.questions[1].options[:2]] == ["sterling silver", "fine silver"]
    faults = [p for p in done.problems if p.level == "problem"]
    assert [(p.field, p.read, p.times) for p in faults] == [("Ergebnis", "klappert", 8)]


def test_answers_on_the_line_do_as_well(tmp_path: Path) -> None:
    """`--map` means headings and values, whichever stands in the file."""
    session = ada_at(tmp_path)
    maps = ["klappert=loose", "Silber=sterling silver", "Musik=own"]
    done = import_file(session, kept_sheets.GERMAN, maps=maps)
    assert (done.stored, done.summary) == (True, "240 new")
    assert {dict(a.extra)["musik"] for a in attempts_of(session)} == {"Radio", "keine", "Klavier"}


def test_the_sheets_are_what_the_script_makes() -> None:
    """So that nobody edits a sheet to make it come in."""
    assert kept_sheets.GERMAN.read_bytes() == kept_sheets.german()
    assert kept_sheets.FRENCH.read_bytes() == kept_sheets.french()
    assert kept_sheets.ENGLISH.read_bytes() == kept_sheets.english()
    kept, made = load_workbook(kept_sheets.SPANISH), kept_sheets.spanish()
    assert [list(page.values) for page in kept] == [
        [tuple(_day(cell) for cell in row) for row in page.values] for page in made
    ]


def _day(cell: object) -> object:
    """A day as the file gives it back: at its midnight."""
    import datetime as dt

    if isinstance(cell, dt.date) and not isinstance(cell, dt.datetime):
        return dt.datetime(cell.year, cell.month, cell.day)  # noqa: DTZ001 - as a sheet has it
    return cell
