"""A CSV or XLSX file in and out: dry, whole or not at all, and back as it was."""

from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, COURSE, a_row_a_minute, ada_at, logged, new_session
from tests.simulated.planted import Cause, Plan, planted

from platebook.exchange import write_csv, write_xlsx
from platebook.logbook import open_logbook
from platebook.logbook.records import add_attempts, add_setter
from platebook.practice.attempt import Attempt
from platebook.practice.reading.attempt_rows import write_row
from platebook.practice.records import Setter
from platebook.services.attempts.log import attempts_of
from platebook.services.attempts.recording import undo
from platebook.services.attempts.spreadsheets import export_file, import_file, write_typed
from platebook.services.people.setters import list_setters
from platebook.services.session import Refused, Session

PLAN = Plan(attempts=24, causes=(Cause("clearance_mm", "loose"),))
SHEET = "began,stone_diameter_mm,metal,How it went\n"


def _file(folder: Path, text: str, name: str = "notebook.csv") -> Path:
    file = folder / name
    file.write_text(text, encoding="utf-8")
    return file


def _people_at_work(session: Session) -> tuple[Attempt, ...]:
    """Two people's logs, as the planted habits make them, in this session's logbook."""
    with open_logbook(session.path) as book:
        for seed, name in enumerate((ADA, BRAM)):
            setter = book.tell(
                add_setter,
                Setter(name=name, course=COURSE),
                book.stamp(name, session.clock(), "add"),
            )
            made = [
                a.with_values(
                    attempt_id=None,
                    setter_id=setter.setter_id,
                    setter=name,
                    course=COURSE,
                    course_version=1,
                    note=f"{name}; 1,5",
                )
                for a in planted(PLAN, seed).attempts
            ]
            book.tell(add_attempts, made, book.stamp(name, session.clock(), "record"))
    return attempts_of(session, everyone=True)


@pytest.mark.parametrize("name", ["all.csv", "all.xlsx"])
def test_what_was_written_reads_back_the_same(name: str, tmp_path: Path) -> None:
    """Into an empty logbook: the same attempts and the same people, ids and all (RFC 4180)."""
    here, there = new_session(tmp_path / "here"), new_session(tmp_path / "there")
    made = _people_at_work(here)
    assert export_file(here, tmp_path / name, everyone=True) == len(made) == 48
    done = import_file(there, tmp_path / name)
    assert (done.attempts, done.stored) == (48, True)
    found = attempts_of(there, everyone=True)
    assert found == made
    assert [write_row(a) for a in found] == [write_row(a) for a in made]
    people = {(x.setter.setter_id, x.setter.name, x.attempts) for x in list_setters(there)}
    assert people == {(x.setter.setter_id, x.setter.name, x.attempts) for x in list_setters(here)}


def test_an_export_comes_back_as_nothing_new(tmp_path: Path) -> None:
    """The attempts are there already, and nothing doubles."""
    session = new_session(tmp_path)
    _people_at_work(session)
    export_file(session, tmp_path / "all.csv")
    again = import_file(session, tmp_path / "all.csv")
    assert (again.stored, again.summary) == (True, "48 known")
    assert len(attempts_of(session, everyone=True)) == 48


@pytest.mark.parametrize("name", ["mine.csv", "mine.xlsx"])
def test_an_edited_export_amends_and_adds(name: str, tmp_path: Path) -> None:
    """An edited row is a correction, a row more is new, a row less is left alone; one change."""
    session = ada_at(tmp_path)
    ids = logged(session, *a_row_a_minute(4))
    before = attempts_of(session)
    edited = [
        before[0].with_values(result=("loose",), note=None),
        before[1],
        before[2].with_values(attempt_id=None, note="n9"),
    ]
    write = write_xlsx if name.endswith("xlsx") else lambda some: write_csv(some).encode()
    (tmp_path / name).write_bytes(write(edited))
    done = import_file(session, tmp_path / name)
    assert (done.problems, done.summary) == ((), "1 new, 1 corrected, 1 known")
    assert [(c.field, c.before, c.after) for c in done.rows.corrected[0].changes] == [
        ("result", "good", "loose"),
        ("note", "n0", ""),
    ]
    assert [a.result for a in attempts_of(session) if a.attempt_id == ids[0]] == [("loose",)]
    assert len(attempts_of(session)) == 5
    undo(session)
    assert attempts_of(session) == before


def test_a_dry_run_checks_and_stores_nothing(tmp_path: Path) -> None:
    """It says how many there are and what is to be told; the real run then agrees."""
    session = ada_at(tmp_path)
    file = _file(tmp_path, SHEET + "2026-01-08,1.98,copper,good\n")
    dry = import_file(session, file, maps=["How it went=result"], dry_run=True)
    assert (dry.attempts, dry.stored, attempts_of(session)) == (1, False, ())
    real = import_file(session, file, maps=["How it went=result"])
    assert (real.attempts, real.problems, real.stored) == (dry.attempts, dry.problems, True)


def test_one_bad_cell_keeps_all_out(tmp_path: Path) -> None:
    """Told with row, line, heading as typed, what was read and what was expected."""
    session = ada_at(tmp_path)
    text = SHEET + "2026-01-08,1.98,copper,good\n2026-01-08,1.98,copper,losse\n"
    done = import_file(session, _file(tmp_path, text), maps=["How it went=result"])
    assert (done.stored, attempts_of(session)) == (False, ())
    (problem,) = [p for p in done.problems if p.level == "problem"]
    assert str(problem).startswith("row 2 (line 3), How it went: read 'losse', expected ")


def test_a_map_that_maps_nothing_is_a_problem(tmp_path: Path) -> None:
    """Badly written, or for a heading or field there is not."""
    session = ada_at(tmp_path)
    file = _file(tmp_path, SHEET + "2026-01-08,1.98,copper,good\n")
    for pair in ("How it went", "How it goes=result", "How it went=resultat"):
        done = import_file(session, file, maps=[pair])
        assert not done.stored, pair
        assert any(p.level == "problem" for p in done.problems), pair
    assert attempts_of(session) == ()


def test_the_course_in_use_places_the_rows(tmp_path: Path) -> None:
    """A blank grade is proposed from stone and metal, and the row is the setter's in use."""
    session = ada_at(tmp_path)
    file = _file(tmp_path, SHEET + "2026-01-08,1.98,copper,good\n")
    import_file(session, file, maps=["How it went=result"])
    assert [(a.grade, a.setter, a.day_only) for a in attempts_of(session)] == [
        ("copper-2.0", ADA, True)
    ]


def test_an_import_tells_rows_done_of_rows(tmp_path: Path) -> None:
    """From the first to the last and never back, also while they are stored."""
    session = ada_at(tmp_path)
    file = tmp_path / "log.csv"
    rows = (f"2026-02-03 18:{minute:02d},2.0,copper,good\n" for minute in range(40))
    file.write_text("began,stone_diameter_mm,metal,result\n" + "".join(rows), encoding="utf-8")
    told: list[tuple[float, int]] = []
    assert import_file(session, file, watch=lambda done, of: told.append((done, of))).stored
    assert told == sorted(told)
    assert {of for _, of in told} == {40}
    assert len({done for done, _ in told}) == 41
    assert told[-1] == (40, 40)


def test_an_import_is_one_change(tmp_path: Path) -> None:
    """One undo takes all of it back, the new people too."""
    session = ada_at(tmp_path)
    rows = "".join(f"2026-01-08,1.98,copper,good,{name}\n" for name in (ADA, BRAM, BRAM))
    file = _file(tmp_path, "began,stone_diameter_mm,metal,result,setter\n" + rows)
    assert import_file(session, file).stored
    assert undo(session) == "Taken back: import of 3 attempts and 1 setter."
    assert (
        attempts_of(session, everyone=True),
        [x.setter.name for x in list_setters(session)],
    ) == (
        (),
        [ADA],
    )


def test_another_kind_of_file_and_none_are_refused(tmp_path: Path) -> None:
    """In words."""
    session = ada_at(tmp_path)
    with pytest.raises(Refused, match=r"read a file named \*\.pdf, expected \*\.csv"):
        import_file(session, _file(tmp_path, "", "notebook.pdf"))
    with pytest.raises(Refused, match="No such file"):
        import_file(session, tmp_path / "nowhere.csv")


def test_a_file_that_is_there_is_not_overwritten(tmp_path: Path) -> None:
    """Nor is half a file left behind where it cannot be written."""
    session = ada_at(tmp_path)
    logged(session, *a_row_a_minute(2))
    mine = _file(tmp_path, "mine")
    with pytest.raises(Refused, match="is there already; name another file"):
        export_file(session, mine)
    assert mine.read_text(encoding="utf-8") == "mine"
    with pytest.raises(Refused, match="No such file"):
        export_file(session, tmp_path / "no folder" / "out.csv")
    assert not (tmp_path / "no folder").exists()


def test_a_typed_name_may_stand_for_the_home_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was done says where the file is now."""
    monkeypatch.setenv("HOME", str(tmp_path))
    session = ada_at(tmp_path)
    logged(session, *a_row_a_minute(2))
    done = write_typed(session, "~/out.csv", everyone=False, words="n1", attempt_ids=())
    assert done == f"1 attempt written to {tmp_path / 'out.csv'}"
    assert (tmp_path / "out.csv").is_file()


def test_a_setter_exports_their_own(tmp_path: Path) -> None:
    """Everyone's only when asked."""
    session = ada_at(tmp_path)
    logged(session, *a_row_a_minute(2), *a_row_a_minute(3, setter=BRAM))
    assert export_file(session, tmp_path / "mine.csv") == 2
    assert export_file(session, tmp_path / "all.csv", everyone=True) == 5
    assert not list(tmp_path.glob("*.part"))


def test_a_file_of_another_kind_is_refused_both_ways(tmp_path: Path) -> None:
    """With the kinds there are, and nothing is written."""
    session = ada_at(tmp_path)
    (tmp_path / "log.ods").write_bytes(b"x")
    for call in (import_file, export_file):
        with pytest.raises(Refused, match=r"read a file named \*.ods, expected \*.csv or \*.xlsx"):
            call(session, tmp_path / "log.ods")
    assert (tmp_path / "log.ods").read_bytes() == b"x"
