"""Columns of one's own: kept with the setter, asked, shown, exported, judged; told from values."""

from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, a_row, ada_at, minutes_on, new_session

from platebook.practice.courses.course import ExtraField
from platebook.services.attempts.log import attempt_values, attempts_of
from platebook.services.attempts.recording import amend, record, undo
from platebook.services.attempts.spreadsheets import export_file, import_file
from platebook.services.courses.followed import own_fields
from platebook.services.findings import findings
from platebook.services.now.now_view import now
from platebook.services.people.at_the_bench import seat_new
from platebook.services.people.setters import erase_setter, merge_setters
from platebook.services.session import Session, opened
from platebook.services.sharing.single_bundle import export_bundle, import_bundle
from platebook.tui.entry.entry import MORE
from platebook.tui.entry.start import entry_for

HEAD = "began,stone_diameter_mm,metal,result,Musik,Laune,Heizung\n"


def _imported(folder: Path, rows: int = 8) -> Path:
    """A sheet in which the radio goes with loose stones."""
    lines = []
    for n in range(rows):
        came_out, music = ("loose", "Radio") if n % 2 else ("good", "keine")
        warm = "ja" if n % 3 else "nein"
        when = f"2026-01-{8 + n // 8:02} 18:{n % 8:02}"
        lines.append(f"{when},1.98,copper,{came_out},{music},{n % 5},{warm}\n")
    file = folder / "own.csv"
    file.write_text(HEAD + "".join(lines), encoding="utf-8")
    return file


MAPS = ["Musik=own", "Laune=own", "Heizung=own"]


def test_the_type_is_told_from_the_values(tmp_path: Path) -> None:
    """A choice of words, a number, yes or no; nobody writes a course file."""
    session = ada_at(tmp_path)
    assert import_file(session, _imported(tmp_path), maps=MAPS).stored
    with opened(session) as book:
        own = own_fields(book, session.setter_id)
    assert [(f.name, f.type, f.choices) for f in own] == [
        ("musik", "choice", ("keine", "Radio")),
        ("laune", "number", ()),
        ("heizung", "yes/no", ()),
    ]
    assert attempts_of(session)[0].extra == (("musik", "keine"), ("laune", 0.0), ("heizung", False))


def test_they_are_the_setters_own(tmp_path: Path) -> None:
    """Another person at the same logbook has none of them."""
    session = ada_at(tmp_path)
    import_file(session, _imported(tmp_path), maps=MAPS)
    bram = seat_new(session, BRAM)
    with opened(bram) as book:
        assert own_fields(book, bram.setter_id) == ()


def test_they_are_asked_typed_shown_and_corrected(tmp_path: Path) -> None:
    """First under "more" on the Attempt screen, by `record --set` and by `amend`."""
    session = ada_at(tmp_path)
    import_file(session, _imported(tmp_path), maps=MAPS)
    entry = entry_for(now(session), attempt_id="x", began=minutes_on(0))
    assert entry.lists[MORE][:3] == ("musik", "laune", "heizung")
    assert entry.others["musik"].keys == (("1", "keine"), ("2", "Radio"))
    done = record(session, [a_row(musik="Radio", laune="4")])
    assert done.stored, done.problems
    (made,) = done.ids
    assert attempt_values(session, made)["musik"] == "Radio"
    amend(session, made, {"musik": "keine"})
    assert attempt_values(session, made)["musik"] == "keine"
    assert [p.level for p in record(session, [a_row(musiik="Radio")]).problems] == ["problem"]


@pytest.mark.parametrize("name", ["out.csv", "out.xlsx"])
def test_they_go_out_and_come_back(name: str, tmp_path: Path) -> None:
    """Into another logbook too, where they are the setter's own again."""
    session = ada_at(tmp_path / "here")
    import_file(session, _imported(tmp_path), maps=MAPS)
    export_file(session, tmp_path / name)
    there = ada_at(tmp_path / "there")
    done = import_file(there, tmp_path / name)
    assert ([p for p in done.problems if p.level == "problem"], done.stored) == ([], True)
    assert [a.extra for a in attempts_of(there, everyone=True)] == [
        a.extra for a in attempts_of(session)
    ]


def test_they_are_judged_in_findings(tmp_path: Path) -> None:
    """What goes with failure may be the music; the role is process: a lead at most."""
    session = ada_at(tmp_path)
    import_file(session, _imported(tmp_path, 64), maps=MAPS)
    found = findings(session)
    assert "musik" in {finding.variable for finding in found.findings}
    assert "sheet_row" not in {finding.variable for finding in found.findings}


def _music_asked(session: Session) -> tuple[ExtraField, ...]:
    with opened(session) as book:
        return own_fields(book, session.setter_id)


def test_they_travel_with_the_person(tmp_path: Path) -> None:
    """A bundle brings the columns and the answers along: nothing is asked there either."""
    session = ada_at(tmp_path / "here")
    file = _imported(tmp_path)
    import_file(session, file, maps=MAPS)
    export_bundle(session, tmp_path / "ada.platebook")
    there = new_session(tmp_path / "there")
    import_bundle(there, tmp_path / "ada.platebook", everyone=True)
    there = there.for_setter(session.setter_id or "", session.setter_name)
    assert _music_asked(there) == _music_asked(session)
    again = import_file(there, file)
    assert (again.questions, again.summary) == ((), "8 known")


def test_two_entries_made_one_have_the_columns_of_both(tmp_path: Path) -> None:
    """Of one name the choices are united; undo parts them again."""
    session = ada_at(tmp_path)
    import_file(session, _imported(tmp_path), maps=MAPS)
    bram = seat_new(session, BRAM)
    other = tmp_path / "other.csv"
    other.write_text(
        "began,stone_diameter_mm,metal,result,Musik,Lampe\n"
        "2026-02-01 18:00,1.98,copper,good,Tango,LED\n",
        encoding="utf-8",
    )
    import_file(bram, other, maps=["Musik=own", "Lampe=own"])
    merge_setters(session, ADA, BRAM)
    united = {field.name: field.choices for field in _music_asked(session)}
    assert united == {
        "musik": ("keine", "Radio", "Tango"),
        "laune": (),
        "heizung": (),
        "lampe": ("LED",),
    }
    undo(session)
    assert [field.name for field in _music_asked(session)] == ["musik", "laune", "heizung"]
    assert [field.name for field in _music_asked(bram)] == ["musik", "lampe"]


def test_erasing_a_person_takes_them_along(tmp_path: Path) -> None:
    """Neither the columns nor the answers are left in the file's bytes."""
    session = ada_at(tmp_path)
    import_file(session, _imported(tmp_path), maps=MAPS)
    assert b"Musik" in session.path.read_bytes()
    erase_setter(session, ADA)
    assert b"Musik" not in session.path.read_bytes()
