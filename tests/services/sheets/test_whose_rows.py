"""Whose the rows of a sheet are: asked where nobody is in use, and where a name is nearly known."""

from pathlib import Path

from tests.services.bench import ADA, a_row, ada_at, logged, new_session

from platebook.exchange.sheets.answers import KEEP
from platebook.services.attempts.log import attempts_of
from platebook.services.attempts.recording import undo
from platebook.services.attempts.spreadsheets import export_file, import_file, taken_in
from platebook.services.people.setters import erase_setter, list_setters
from platebook.services.session import Session, opened
from platebook.services.sheets.looking import SheetLook, answer, look_at

HEAD = "Date,Stone (mm),Metal,Result"
ROW = "2026-01-12 18:30,1.98,copper,good"


def _a_file(folder: Path, head: str, *rows: str) -> Path:
    file = folder / "sheet.csv"
    file.write_text("\n".join((head, *rows)) + "\n", encoding="utf-8")
    return file


def _look(session: Session, file: Path) -> SheetLook:
    with opened(session) as book:
        return look_at(session, book, file)


def _answered(session: Session, look: SheetLook, typed: str) -> SheetLook:
    again, expected = answer(look, look.questions[0], typed)
    assert again is not None, expected
    with opened(session) as book:
        assert taken_in(session, book, again).stored
    return again


def test_a_first_sheet_asks_whose_it_is(tmp_path: Path) -> None:
    """A new logbook knows nobody: a name is enough, and that person is in use from then on."""
    session = new_session(tmp_path)
    look = _look(session, _a_file(tmp_path, HEAD, ROW))
    (question,) = look.questions
    assert question.sentence == "Whose settings are these? No column says it."
    _answered(session, look, "Ida Moss")
    assert [(s.setter.name, s.attempts, s.in_use) for s in list_setters(session)] == [
        ("Ida Moss", 1, True)
    ]


def test_without_a_terminal_the_same_is_listed(tmp_path: Path) -> None:
    """With the option that answers it."""
    done = import_file(new_session(tmp_path), _a_file(tmp_path, HEAD, ROW))
    assert [(q.about, q.must) for q in done.questions] == [("person", True)]
    assert "--setter NAME" in done.questions[0].option_text
    assert not done.stored


def test_a_sheet_that_names_people_does_not_ask(tmp_path: Path) -> None:
    """A column says whose each row is."""
    session = new_session(tmp_path)
    file = _a_file(tmp_path, f"{HEAD},Setter", f"{ROW},Ida Moss", f"{ROW},Bram Osk")
    assert import_file(session, file).stored
    assert [s.setter.name for s in list_setters(session)] == ["Ida Moss", "Bram Osk"]


def test_a_name_a_letter_off_is_asked_about(tmp_path: Path) -> None:
    """It is the person known, where that is the answer, and no second one of nearly that name."""
    session = ada_at(tmp_path)
    logged(session, a_row())
    near = ADA[:-1]
    look = _look(session, _a_file(tmp_path, f"{HEAD},Setter", *[f"{ROW},{near}"] * 3))
    (question,) = look.questions
    assert question.sentence == (
        f"Setter: {near!r} \N{MULTIPLICATION SIGN} 3: a new person, or {ADA}? (lines 2, 3, 4)"
    )
    _answered(session, look, ADA)
    assert [(s.setter.name, s.attempts) for s in list_setters(session)] == [(ADA, 4)]


def test_or_it_is_another_person(tmp_path: Path) -> None:
    """Names may be alike."""
    session = ada_at(tmp_path)
    look = _look(session, _a_file(tmp_path, f"{HEAD},Setter", f"{ROW},{ADA}e"))
    _answered(session, look, KEEP)
    assert [s.setter.name for s in list_setters(session)] == [ADA, f"{ADA}e"]
    assert len(attempts_of(session, everyone=True)) == 1


def test_a_name_that_is_nobodys_nearly_is_not_asked_about(tmp_path: Path) -> None:
    """A class's sheet asks nothing of people who are new altogether."""
    session = ada_at(tmp_path)
    look = _look(session, _a_file(tmp_path, f"{HEAD},Setter", f"{ROW},Bram Osk"))
    assert look.questions == ()


def test_answers_about_a_sheet_of_several_go_with_whom_they_name(tmp_path: Path) -> None:
    """They are nobody's record; who is named in them and erased is in no byte of them."""
    session = ada_at(tmp_path)
    slip = ADA[:-1]
    head = f"{HEAD},Setter"
    file = _a_file(tmp_path, head, f"{ROW},{slip}", f"{ROW},Bram Osk")
    _answered(session, _look(session, file), ADA)
    assert _look(session, file).questions == ()
    assert slip.encode() in session.path.read_bytes()
    erase_setter(session, ADA)
    assert slip.encode() not in session.path.read_bytes()


def test_a_sheet_that_brings_nothing_is_nothing_to_take_back(tmp_path: Path) -> None:
    """Undo reaches what was done before it."""
    session = ada_at(tmp_path)
    logged(session, a_row())
    export_file(session, tmp_path / "out.csv")
    assert import_file(session, tmp_path / "out.csv").summary == "1 known"
    assert undo(session).startswith("Taken back: ")


def test_without_a_terminal_a_name_a_letter_off_keeps_the_sheet_out(tmp_path: Path) -> None:
    """Until it is said whose it is; `--map` says it."""
    session = ada_at(tmp_path)
    slip = ADA[:-1]
    file = _a_file(tmp_path, f"{HEAD},Setter", f"{ROW},{slip}", f"{ROW},{slip}")
    done = import_file(session, file)
    assert (done.stored, [(p.field, p.read, p.expected) for p in done.problems]) == (
        False,
        [("Setter", slip, f"{ADA}, or a new person")],
    )
    assert import_file(session, file, maps=[f"{slip}=keep"], dry_run=True).summary == "2 new"
    assert import_file(session, file, maps=[f"{slip}={ADA}"]).stored
    assert [s.setter.name for s in list_setters(session)] == [ADA]
